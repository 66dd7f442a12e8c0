"""The link from a plan of what is left to the plan before it: a small file beside plan.json."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from cattrs.errors import BaseValidationError

from nesting.findings import Finding, InputError
from nesting.write.archive import CONVERTER

NAME = "follows.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Follow:
    """What a plan follows.

    Parameters
    ----------
    number
        Of the plan in its line: 1 for the plan of the job, which has no such file.
    after
        Name of the folder of the plan before.
    plan
        Fingerprint of that plan.
    made
        (mark, pieces) made by all plans before.
    same
        (mark in this plan, mark on the drawing) where they differ.
    """

    number: int = 1
    after: str = ""
    plan: str = ""
    made: tuple[tuple[str, int], ...] = ()
    same: tuple[tuple[str, str], ...] = ()


def follow_text(follow: Follow) -> str:
    """The text of the file."""
    return json.dumps(CONVERTER.unstructure(follow, Follow), indent=1) + "\n"


def read_follow(folder: Path) -> Follow:
    """What a plan follows; number 1 if it is the plan of a job.

    Raises
    ------
    InputError
        If the file is there and cannot be read.
    """
    file = folder / NAME
    if not file.is_file():
        return Follow()
    try:
        return CONVERTER.structure(json.loads(file.read_text(encoding="utf-8")), Follow)
    except (OSError, BaseValidationError, ValueError, TypeError, KeyError) as error:
        sentence = f"cannot be read ({error}); plan what is left of the plan before once more"
        raise InputError([Finding(code="follows-broken", sentence=sentence, file=str(file))]) from error

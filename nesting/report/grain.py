"""Which way the grain or finish of a sheet runs for the parts that ask for it: along its length."""

from __future__ import annotations

from collections.abc import Sequence

from nesting.job import Job
from nesting.plan import Placed


def has_grain(pieces: Sequence[Placed], job: Job) -> bool:
    """Whether a piece may not be turned by a quarter, so that the direction of the sheet matters."""
    return bool(_marks(pieces, job))


def grain_words(pieces: Sequence[Placed], job: Job) -> str:
    """Which way the grain runs and for which parts; "" if none of them minds."""
    marks = ", ".join(_marks(pieces, job))
    return f"grain and finish run along x, as the length of {marks}: mind how the sheet lies" if marks else ""


def _marks(pieces: Sequence[Placed], job: Job) -> tuple[str, ...]:
    bound = {part.mark for part in job.parts if part.is_plate and part.turn != "quarter"}
    return tuple(dict.fromkeys(p.mark for p in pieces if p.mark in bound))

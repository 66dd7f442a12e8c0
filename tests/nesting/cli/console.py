"""Runs a command as the terminal does, in this process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from nesting.cli.commands import steelyard
from nesting.cli.failures import run

JOBS = Path(__file__).parents[3] / "jobs"


@dataclass(frozen=True, slots=True)
class Said:
    """Exit code, and the lines on both streams."""

    code: int
    out: list[str]
    err: list[str]


Console = Callable[..., Said]


def console_of(capsys: pytest.CaptureFixture[str]) -> Console:
    """A console that takes the words of a command line."""

    def say(*words: str | Path) -> Said:
        capsys.readouterr()
        code = run(steelyard, [str(word) for word in words])
        said = capsys.readouterr()
        return Said(code, said.out.splitlines(), said.err.splitlines())

    return say


def write_tables(folder: Path, **tables: str) -> Path:
    """A job of .csv files from their texts."""
    folder.mkdir()
    for name, text in tables.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8", newline="\n")
    return folder


PARTS = "MARK,QTY,MATERIAL,LENGTH\nA1,4,tube 2 x 2 x 1/8,48\nA2,6,tube 2 x 2 x 1/8,24\n"
OFFERS = "YARD,MATERIAL,LENGTH,price,per\nNorth yard,tube 2 x 2 x 1/8,20 ft,62.47,each\n"
SAWS = "SAW,KERF,trim\nchop saw,1/8,1/4\n"
SHOP = "SETTING,VALUE\ncurrency,$\n"


def bench_job(folder: Path) -> Path:
    """Four of 48 in and six of 24 in from 20 ft tubes.

    They take 4 x 48 1/8 + 6 x 24 1/8 = 337 1/4 in with their kerfs, a stick holds 239 5/8: two sticks, 124.94.
    """
    return write_tables(folder, parts=PARTS, offers=OFFERS, saws=SAWS, shop=SHOP)

"""Which way the grain or finish of a sheet runs for the parts that ask for it: along its length."""

from __future__ import annotations

from nesting.job import Job
from nesting.report.sheet_list import Sheet


def has_grain(sheet: Sheet, job: Job) -> bool:
    """Whether a part on a sheet may not be turned by a quarter, so that the direction of the sheet matters."""
    return bool(_marks(sheet, job))


def grain_words(sheet: Sheet, job: Job) -> str:
    """Which way the grain runs and for which parts; "" if none of them minds."""
    marks = ", ".join(_marks(sheet, job))
    return f"grain and finish run along x, as the length of {marks}: mind how the sheet lies" if marks else ""


def _marks(sheet: Sheet, job: Job) -> tuple[str, ...]:
    bound = {part.mark for part in job.parts if part.is_plate and part.turn != "quarter"}
    return tuple(dict.fromkeys(p.mark for p in sheet.layout.pieces if p.mark in bound))

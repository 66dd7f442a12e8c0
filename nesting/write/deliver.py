"""Writes everything a plan is handed over as, after the checker has gone through it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from nesting.findings import PlanBroken
from nesting.plan import Plan
from nesting.write.archive import plan_text
from nesting.write.drawings import drawings_of, is_drawing
from nesting.write.folder import write_folder
from nesting.write.inquiry import inquiry_csv
from nesting.write.page import page_html
from nesting.write.paper import paper_bytes
from nesting.write.workbook import workbook_bytes

_NAMES = frozenset(
    {"plan.html", "plan.pdf", "plan.xlsx", "plan.json", "inquiry.csv", "changes.txt", "follows.json"}
)


def write_plan(plan: Plan, out: Path, beside: Mapping[str, bytes] | None = None) -> tuple[Path, ...]:
    """Check a plan and write it to a folder.

    Parameters
    ----------
    out
        The folder to make; an earlier plan there is replaced once the new one is whole, unless work on it is
        recorded.
    beside
        Further files by name, for a plan of what is left of another.

    Returns
    -------
    tuple[Path, ...]
        What was written: plan.html, plan.pdf, plan.xlsx, plan.json, inquiry.csv if something has no price, and the
        folder drawings if sheets are cut.

    Raises
    ------
    PlanBroken
        If the checker finds a breach; nothing is written.
    OccupiedError
        If something else than an earlier plan stands there.
    OutputError
        If the folder cannot be written; nothing is left half-written.
    """
    from nesting.check import check_plan  # late: the checker's kernels need not load to read a plan

    if breaches := check_plan(plan):
        raise PlanBroken(breaches)
    files = {
        "plan.html": page_html(plan).encode("utf-8", "replace"),
        "plan.pdf": paper_bytes(plan),
        "plan.xlsx": workbook_bytes(plan),
        "plan.json": plan_text(plan).encode("utf-8"),
    }
    if inquiry := inquiry_csv(plan):
        files["inquiry.csv"] = inquiry.encode("utf-8-sig", "replace")
    files |= drawings_of(plan) | dict(beside or {})
    return write_folder(Path(out), files, is_ours)


def is_ours(name: str) -> bool:
    """Whether the folder of a plan may hold a file of that name, or a folder if it ends in "/"."""
    return name in _NAMES or is_drawing(name)

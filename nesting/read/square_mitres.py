"""Mitred parts that are laid square after all: told, since their bars could hold more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from nesting.findings import Finding
from nesting.job import Job
from nesting.read.places import Places, some
from nesting.rules.sources import groups_of


def find_square_mitres(job: Job, files: Mapping[str, str]) -> Iterator[Finding]:
    """A notice for each group in which mitred bar parts share their sources with plate parts."""
    places = Places(files)
    for group in groups_of(job):
        mitred = [part for part in group.parts if part.is_mitred]
        if mitred and any(part.is_plate for part in group.parts):
            yield places.at(
                "parts",
                code="mitre-square",
                sentence=(
                    f"plate parts may come from the same flat bars as {some(part.mark for part in mitred)}, "
                    "so these are laid square at their longest points, not nested"
                ),
                row=mitred[0].row,
                severity="notice",
            )

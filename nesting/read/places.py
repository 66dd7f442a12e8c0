"""Findings about a job that has been read: at a table, or at the row of a part."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from nesting.findings import Finding, Severity
from nesting.job import Part

Found = tuple[Part, str, str, str]
"""What is found about a part: the part, code, sentence, column."""


@dataclass(frozen=True, slots=True)
class Places:
    """Makes findings with their place; `files` is the file of each table."""

    files: Mapping[str, str]

    def at(
        self,
        table: str,
        *,
        code: str,
        sentence: str,
        row: int = 0,
        column: str = "",
        severity: Severity = "error",
    ) -> Finding:
        """A finding about a table."""
        return Finding(
            code=code,
            sentence=sentence,
            file=self.files.get(table, ""),
            table=table,
            row=row,
            column=column,
            severity=severity,
        )

    def part(self, part: Part, code: str, sentence: str, column: str = "MATERIAL") -> Finding:
        """An error about a part."""
        return self.at(
            "parts", code=code, sentence=f"part {part.mark}: {sentence}", row=part.row, column=column
        )


def some(names: Iterable[str], most: int = 6) -> str:
    """The first few names, and how many more there are.

    >>> some(["A", "B", "C"], 2), some([])
    ('A, B and 1 more', '')
    """
    every = list(names)
    shown = ", ".join(every[:most])
    return f"{shown} and {len(every) - most} more" if len(every) > most else shown

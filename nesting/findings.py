"""What is wrong, or worth knowing, about a user's job: findings with a place and one sentence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from stock.errors import SteelyardError

Severity = Literal["error", "notice"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One sentence about one place of a job.

    Parameters
    ----------
    code
        Stable short name, for tests and scripts ("part-too-long").
    sentence
        The value, what is allowed and what to do, as one sentence without the place.
    file, table, row, column
        The place; row is the number a spreadsheet or editor shows (1 = the first line of the file), 0 if none.
    severity
        "error" stops the run, "notice" is shown and kept with the plan.
    """

    code: str
    sentence: str
    file: str = ""
    table: str = ""
    row: int = 0
    column: str = ""
    severity: Severity = "error"

    def __str__(self) -> str:
        place = [self.file]
        if self.table and not self.file.endswith(f"{self.table}.csv"):
            place.append(f"table {self.table}")
        if self.row:
            place.append(f"row {self.row}")
        if self.column:
            place.append(f"column {self.column}")
        where = ", ".join(p for p in place if p)
        return f"{where}: {self.sentence}" if where else self.sentence


class InputError(SteelyardError):
    """A job cannot be used as it stands; holds every finding, not the first only."""

    def __init__(self, findings: tuple[Finding, ...] | list[Finding]) -> None:
        self.findings = tuple(findings)
        super().__init__("\n".join(str(f) for f in self.findings))


class OutputError(SteelyardError):
    """A result could not be written; nothing of it is left half-written."""


class OccupiedError(OutputError):
    """Something else than an earlier plan stands where the results should go; it is left alone."""


class PlanBroken(SteelyardError):
    """The checker found breaches in a plan this program made: its own fault, so nothing is written."""

    def __init__(self, breaches: tuple[str, ...] | list[str]) -> None:
        self.breaches = tuple(breaches)
        super().__init__("\n".join(self.breaches))

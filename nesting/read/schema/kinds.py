"""What a column, a table and a setting are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "text",
    "material",
    "length",
    "range",
    "count",
    "number",
    "money",
    "weight",
    "cut rate",
    "choice",
    "unused",
    "refused",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    name
        As the template and the messages write it.
    explanation
        One sentence, shown in the template.
    kind
        How a cell is converted. "unused": kept out of the plan with a notice. "refused": a rule that would be
        broken in silence, so a filled cell stops the job.
    required
        Whether the column must be there and every row must fill it.
    may_be_blank
        Of a required column: whether rows may leave it empty after all.
    others
        Common other names.
    choices
        Canonical word to its other spellings, for a "choice".
    idle
        What may stand in a "refused" column all the same, because it asks for nothing.
    """

    name: str
    explanation: str
    kind: Kind = "text"
    required: bool = False
    may_be_blank: bool = False
    idle: tuple[str, ...] = ("no",)
    others: tuple[str, ...] = ()
    choices: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table of a job.

    Parameters
    ----------
    name
        Of the sheet or file.
    explanation
        One sentence, shown in the template.
    others
        Common other names of the sheet or file.
    carries
        Whether columns of the user's own are shown in the reports.
    """

    name: str
    explanation: str
    columns: tuple[Column, ...]
    others: tuple[str, ...] = ()
    carries: bool = False

    def column(self, name: str) -> Column:
        """The column of that name; KeyError if there is none."""
        for column in self.columns:
            if column.name == name:
                return column
        raise KeyError(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting of the shop table.

    Parameters
    ----------
    used
        False: known, kept with the job, but without effect in this version.
    """

    name: str
    explanation: str
    example: str = ""
    others: tuple[str, ...] = ()
    choices: tuple[tuple[str, tuple[str, ...]], ...] = ()
    used: bool = True

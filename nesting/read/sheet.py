"""From grids to the tables of the schema: which sheet is which table, which column is which."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from nesting.findings import Finding, Severity
from nesting.read.grid import Container, Grid, Row, lookup, plain
from nesting.read.schema import TABLES, Column, Table

_SLIP = 0.81
"""Likeness from which an unknown name counts as a slip of a known one: lenght, materal, but not place for plane."""
HeaderUnit = Literal["in", "ft", "mm", "cm", "m", "lb", "kg", "in2/min", "mm2/min", "cm2/min"]
_SPELLINGS: dict[HeaderUnit, tuple[str, ...]] = {
    "in": ("in", "inch", "inches", '"'),
    "ft": ("ft", "feet", "foot", "'"),
    "mm": ("mm", "millimetres", "millimeters"),
    "cm": ("cm",),
    "m": ("m", "metres", "meters"),
    "lb": ("lb", "lbs", "pounds"),
    "kg": ("kg", "kilograms"),
    "in2/min": ("in2/min", "in²/min", "sq in/min"),
    "mm2/min": ("mm2/min", "mm²/min"),
    "cm2/min": ("cm2/min", "cm²/min"),
}
_UNITS_OF: dict[str, tuple[HeaderUnit, ...]] = {
    "length": ("in", "ft", "mm", "cm", "m"),
    "range": ("in", "ft", "mm", "cm", "m"),
    "weight": ("lb", "kg"),
    "cut rate": ("in2/min", "mm2/min", "cm2/min"),
}
"""Units that the header of a column may name, by the column's kind."""
_UNITS = {spelling: unit for unit, spellings in _SPELLINGS.items() for spelling in spellings}
_IN_BRACKETS = re.compile(r"(.*?)\s*[(\[]\s*([^)\]]*?)\s*[)\]]\s*")


@dataclass(slots=True)
class Findings:
    """Collects what is found, in the order of reading."""

    found: dict[Finding, None] = field(default_factory=dict)

    def add(
        self,
        code: str,
        sentence: str,
        *,
        file: str = "",
        table: str = "",
        row: int = 0,
        column: str = "",
        severity: Severity = "error",
    ) -> None:
        """Keep one finding; a thing said twice is kept once."""
        finding = Finding(
            code=code, sentence=sentence, file=file, table=table, row=row, column=column, severity=severity
        )
        self.found[finding] = None

    @property
    def errors(self) -> tuple[Finding, ...]:
        """Those that stop the run."""
        return tuple(finding for finding in self.found if finding.severity == "error")


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table of the job with its columns found.

    Parameters
    ----------
    places
        Column name of the schema to its position.
    units
        Column name to the unit its header names.
    extras
        (header, position) of the user's own columns.
    width
        Cells of the header.
    unnamed
        Positions whose header is empty.
    """

    table: Table
    file: str
    places: Mapping[str, int]
    units: Mapping[str, HeaderUnit]
    extras: tuple[tuple[str, int], ...]
    rows: tuple[Row, ...]
    width: int
    unnamed: tuple[int, ...]


def slip_of(word: str, known: Iterable[str]) -> str | None:
    """The known plain name that a plain word is probably meant to be; None if it is like none of them."""
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=_SLIP)
    return near[0] if near else None


def find_tables(container: Container, findings: Findings) -> dict[str, Sheet]:
    """The sheets of a container by table name; those with a broken header are reported and left out."""
    known = lookup({table.name: table.others for table in TABLES})
    tables = {table.name: table for table in TABLES}
    taken: dict[str, Grid] = {}
    for grid in container.grids:
        name = known.get(plain(grid.name))
        if name is None:
            _unknown(grid, known, findings)
        elif name in taken:
            findings.add(
                "table-twice",
                f"{taken[name].name!r} and {grid.name!r} are both the table {name}; keep one of them",
                file=grid.file,
                table=name,
            )
        elif grid.trouble is not None:
            taken[name] = grid
            findings.found[grid.trouble] = None
        else:
            taken[name] = grid
    if "parts" not in taken:
        seen = ", ".join(repr(grid.name) for grid in container.grids[:9])
        findings.add(
            "no-parts",
            f"there is no table of parts, only {seen}; add a sheet or file called parts",
            file=container.file,
            table="parts",
        )
    sheets = {
        name: sheet_of(tables[name], taken[name], findings)
        for name in tables
        if name in taken and taken[name].trouble is None
    }
    return {name: sheet for name, sheet in sheets.items() if sheet is not None}


def _unknown(grid: Grid, known: Mapping[str, str], findings: Findings) -> None:
    slip = slip_of(plain(grid.name), known)
    names = ", ".join(table.name for table in TABLES)
    if slip is not None:
        findings.add(
            "table-slip",
            f"{grid.name!r} looks like a slip of {known[slip]}; rename it (tables are {names})",
            file=grid.file,
        )
    elif grid.rows or grid.trouble:
        findings.add(
            "unknown-table",
            f"{grid.name!r} is not a table of a job and is not read (tables are {names})",
            file=grid.file,
            severity="notice",
        )


def sheet_of(table: Table, grid: Grid, findings: Findings) -> Sheet | None:
    """The table with its columns found; None if the header is broken."""
    if not grid.rows:
        if table.name == "parts":
            findings.add(
                "empty-table",
                f"the table is empty; write the header {_required(table)} and a row for every part",
                file=grid.file,
                table=table.name,
            )
        return None
    header = grid.rows[0]
    before = len(findings.errors)
    places, units, extras = _columns(table, grid.file, header, findings)
    _check_missing(table, grid.file, header, places, findings)
    if len(findings.errors) > before:
        return None
    if table.name == "parts" and len(grid.rows) == 1:
        findings.add(
            "empty-table",
            "the table has a header but no parts; add a row a part",
            file=grid.file,
            table="parts",
        )
    unnamed = tuple(at for at, cell in enumerate(header.cells) if not cell)
    return Sheet(table, grid.file, places, units, extras, grid.rows[1:], len(header.cells), unnamed)


def _columns(
    table: Table, file: str, header: Row, findings: Findings
) -> tuple[dict[str, int], dict[str, HeaderUnit], tuple[tuple[str, int], ...]]:
    known = lookup({column.name: column.others for column in table.columns})
    places: dict[str, int] = {}
    units: dict[str, HeaderUnit] = {}
    extras: list[tuple[str, int]] = []
    by_name = {plain(column.name) for column in table.columns}
    named = {known[word] for cell in header.cells for word in _plain_words(cell.text) if word in by_name}

    def report(code: str, sentence: str, severity: Severity = "error") -> None:
        findings.add(code, sentence, file=file, table=table.name, row=header.number, severity=severity)

    for at, cell in enumerate(header.cells):
        if cell.trouble:
            report("bad-header", f"header {at + 1}: {cell.trouble}")
        if not cell.text:
            continue
        words, unit, odd = _split_header(cell.text)
        name = known.get(plain(cell.text)) or known.get(plain(words))
        # Beside a column of the very name, another word for it is a column of the user's own.
        is_own = name in named and by_name.isdisjoint(_plain_words(cell.text))
        if name is None or is_own:
            slip = None if is_own else slip_of(plain(words), known)
            if slip is not None:
                report("column-slip", f"column {cell.text!r} looks like a slip of {known[slip]}; rename it")
            elif table.carries:
                extras.append((cell.text, at))
                report(
                    "extra-column",
                    f"column {cell.text!r} is carried through to the reports as it is",
                    "notice",
                )
            else:
                report("extra-column", f"column {cell.text!r} is not used", "notice")
            continue
        if name in places:
            first = header.cells[places[name]].text
            report("column-twice", f"columns {first!r} and {cell.text!r} are both {name}; keep one of them")
        places[name] = at
        allowed = _UNITS_OF.get(table.column(name).kind, ())
        if unit in allowed:
            units[name] = unit
        elif allowed and (unit or odd):
            report(
                "bad-unit",
                f"the unit {unit or odd!r} of column {cell.text!r} is unknown; write one of {', '.join(allowed)}",
            )
    return places, units, tuple(extras)


def _plain_words(header: str) -> tuple[str, str]:
    """A header as a whole and without its unit, for comparing."""
    return plain(header), plain(_split_header(header)[0])


def _split_header(text: str) -> tuple[str, HeaderUnit | None, str]:
    """Name, unit and an odd unit in a header such as "Len (mm)" or "length, in"."""
    if found := _IN_BRACKETS.fullmatch(text):
        inside = found[2].lower()
        return found[1], _UNITS.get(inside), "" if inside in _UNITS else inside
    name, comma, last = text.rpartition(",")
    if comma and last.strip().lower() in _UNITS:
        return name, _UNITS[last.strip().lower()], ""
    name, blank, last = text.rpartition(" ")
    if blank and last.lower() in _UNITS and last.lower() not in ("'", '"'):
        return name.removesuffix(" in"), _UNITS[last.lower()], ""
    return text, None, ""


def _check_missing(
    table: Table, file: str, header: Row, places: Mapping[str, int], findings: Findings
) -> None:
    slips = " ".join(f.sentence for f in findings.found if f.code == "column-slip" and f.table == table.name)
    missing = [
        c for c in table.columns if c.required and c.name not in places and f"slip of {c.name};" not in slips
    ]
    if not missing:
        return
    found = ", ".join(repr(cell.text) for cell in header.cells if cell.text)
    findings.add(
        "missing-column",
        f"the header lacks {_names(missing)}; it has {found}, and needs {_required(table)}"
        + ("" if places else "; nothing but the header may stand in the first row"),
        file=file,
        table=table.name,
        row=header.number,
    )


def _required(table: Table) -> str:
    return _names([column for column in table.columns if column.required])


def _names(columns: list[Column]) -> str:
    return ", ".join(column.name for column in columns)

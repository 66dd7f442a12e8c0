"""A table of rack pieces in a file of its own, to be brought into the ledger."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from nesting.findings import Finding, InputError
from nesting.read.cells import Style
from nesting.read.containers import open_container, shown
from nesting.read.csv_file import read_csv
from nesting.read.grid import Grid, plain
from nesting.read.guards import Unreadable
from nesting.read.line import Line
from nesting.read.schema import RACK, Column
from nesting.read.sheet import Findings, sheet_of
from nesting.read.sheets import has_its_width, sheet_ends
from stock.errors import BadValue
from stock.length import Unit
from stock.rack.record import NewPiece
from stock.rack.tag import read_tag

_ID = replace(
    RACK.column("ID"), required=False, explanation="What is written on it; blank: it is given an id."
)
_ORIGIN = Column(name="origin", others=("from", "source"), explanation="Where it comes from.")
RACK_FILE = replace(RACK, columns=(_ID, *(c for c in RACK.columns if c.name != "ID"), _ORIGIN))
"""The rack table of a job, in which ids may be left blank."""


def read_rack_grid(file: Path, unit: Unit) -> tuple[tuple[NewPiece, ...], tuple[Finding, ...]]:
    """The pieces of a file and everything that is wrong with it.

    Parameters
    ----------
    file
        A .csv file, or a workbook with a sheet called rack, or with one sheet.
    unit
        Of bare numbers.
    """
    findings = Findings()
    grid = _grid(file)
    if not grid.rows:
        findings.add(
            "empty-table", "the table is empty; write its header and a row for every piece", file=grid.file
        )
        return (), findings.errors
    sheet = sheet_of(RACK_FILE, grid, findings)
    if sheet is None:
        return (), findings.errors
    seen: dict[str, int] = {}
    lines = [Line(sheet, row, Style(unit), findings) for row in sheet.rows]
    pieces = [piece for line in lines if (piece := _piece(line, unit, seen)) is not None]
    if not lines:
        findings.add("empty-table", "the table has a header but no pieces; add a row a piece", file=grid.file)
    return tuple(pieces), findings.errors


def _piece(line: Line, unit: Unit, seen: dict[str, int]) -> NewPiece | None:
    line.check_shape()
    name, material = line.text("ID"), line.material("MATERIAL")
    length, width = line.length("LENGTH", positive=True), line.length("width", positive=True)
    ends, value = line.clean_ends(), line.money("value")
    line.check_once("ID", name.upper(), seen)
    if line.failed or material is None or length is None or not has_its_width(line, material, width):
        return None
    try:
        return NewPiece(
            material=material,
            unit=unit,
            length=length,
            width=width if material.is_plate else None,
            clean_ends=sheet_ends(line, material, ends),
            value=value or Decimal(0),
            place=_text(line, "place"),
            heat=_text(line, "heat"),
            certificate=_text(line, "certificate"),
            origin=_text(line, "origin"),
            id=name and read_tag(name),
        )
    except BadValue as error:
        line.report("bad-piece", str(error))
        return None


def _text(line: Line, column: str) -> str:
    """A cell without the mark that keeps spreadsheets from taking it for a formula."""
    text = line.text(column)
    return text[1:] if text[:1] == "'" and text[1:2] in ("=", "+", "-", "@") else text


def _grid(file: Path) -> Grid:
    if file.suffix.lower() == ".csv" and file.is_file():
        try:
            return Grid(file.stem, shown(file), read_csv(file))
        except Unreadable as trouble:
            raise InputError(
                [Finding(code="unreadable", sentence=str(trouble), file=shown(file), row=trouble.row)]
            ) from trouble
    grids = open_container(file).grids
    named = [grid for grid in grids if plain(grid.name) == RACK.name] or list(grids)
    if len(named) != 1:
        names = ", ".join(repr(grid.name) for grid in grids)
        sentence = f"which of its sheets is the rack? it has {names}; call that one rack"
        raise InputError([Finding(code="no-rack", sentence=sentence, file=shown(file))])
    if named[0].trouble is not None:
        raise InputError([named[0].trouble])
    return named[0]

"""The rack as a table: written for people and for other ledgers, read back row by row with every finding at once."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Sequence
from pathlib import Path

from nesting.findings import InputError, OutputError
from nesting.read.rack_file import RACK_FILE, read_rack_grid
from nesting.write.inquiry import safe_cell
from stock.errors import BadMaterial, RackRefused
from stock.length import Unit, exact_decimal, show_length
from stock.material import parse_material
from stock.rack.record import Held, NewPiece

_ENDS = {0: "none", 1: "one", 2: "both"}
_COLUMNS = [column.name for column in RACK_FILE.columns if column.kind != "refused"]


def read_rack_file(file: Path, unit: Unit) -> tuple[NewPiece, ...]:
    """The pieces of a workbook or a .csv file; formulas count as the values they show.

    Raises
    ------
    InputError
        With everything that is wrong, each with its row and column.
    """
    pieces, findings = read_rack_grid(file, unit)
    if findings:
        raise InputError(findings)
    return pieces


def write_rack(pieces: Sequence[Held], file: Path) -> None:
    """Write pieces as a table; every size carries its unit, so that it reads the same anywhere.

    Raises
    ------
    RackRefused
        If there is something of that name, or its ending is neither .xlsx nor .csv.
    OutputError
        If it cannot be written; nothing of it is left then.
    """
    ending = file.suffix.lower()
    if ending not in (".xlsx", ".csv"):
        raise RackRefused(f"{file}: the rack is written as .xlsx or .csv; give the file one of these endings")
    if os.path.lexists(file):
        raise RackRefused(
            f"there is something called {file} already, and it is not overwritten; choose another name"
        )
    rows = [_COLUMNS, *(_row(piece) for piece in pieces)]
    content = _csv(rows) if ending == ".csv" else _workbook(rows)
    fresh = file.with_name(f".{file.name}.{os.getpid()}.new")
    try:
        fresh.write_bytes(content)
        fresh.rename(file)
    except OSError as error:
        raise OutputError(
            f"{file} cannot be written ({error.strerror or error}); check that its folder is there and may be "
            "written to"
        ) from error
    finally:
        fresh.unlink(missing_ok=True)


def _row(piece: Held) -> list[str]:
    state, unit = piece.state, piece.unit
    cells = {
        "ID": piece.id,
        "MATERIAL": designation_anywhere(piece),
        "LENGTH": length_anywhere(state.length, unit),
        "width": "" if state.width is None else length_anywhere(state.width, unit),
        "grade": piece.material.grade,
        "finish": piece.material.finish,
        "clean_ends": _ENDS[state.clean_ends],
        "value": f"{state.value:f}" if state.value else "",
        "place": state.place,
        "heat": state.heat,
        "certificate": state.certificate,
        "origin": piece.origin,
    }
    return [cells[name] for name in _COLUMNS]


def designation_anywhere(piece: Held) -> str:
    """A designation that is the same material whatever unit bare numbers count in."""
    material = piece.material
    for text in (material.designation, f"{material.designation} {piece.unit}"):
        try:
            found = [
                parse_material(text, unit=unit, grade=material.grade, finish=material.finish)
                for unit in ("in", "mm")
            ]
        except BadMaterial:
            continue
        if found == [material, material]:
            return text
    raise RackRefused(
        f"{piece.id}: {material.designation} cannot be written so that it reads the same in both units"
    )


def length_anywhere(ticks: int, unit: Unit) -> str:
    """A length with its unit, exactly."""
    shown = show_length(ticks, unit)
    if not shown.startswith("~"):
        return shown
    exact = exact_decimal(ticks, unit)
    return f"{exact_decimal(ticks, 'mm'):f} mm" if exact is None else f"{exact:f} {unit}"


def _csv(rows: list[list[str]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerows([[safe_cell(cell) for cell in row] for row in rows])
    return text.getvalue().encode("utf-8-sig")


def _workbook(rows: list[list[str]]) -> bytes:
    from xlsxwriter import Workbook

    stream = io.BytesIO()
    with Workbook(
        stream, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    ) as book:
        bold, text = book.add_format({"bold": True}), book.add_format({"num_format": "@"})
        sheet = book.add_worksheet("rack")
        for at, row in enumerate(rows):
            for column, cell in enumerate(row):
                sheet.write_string(at, column, cell, text if at else bold)
        sheet.freeze_panes(1, 1)
        sheet.set_column(0, len(rows[0]) - 1, 16)
    return stream.getvalue()

"""The rack as a table reads the same anywhere; workbooks are taken at the values they show."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from nesting.cli.rack_tables import designation_anywhere, length_anywhere, read_rack_file
from nesting.findings import InputError
from stock.length import LONGEST, Unit, parse_length
from stock.material import parse_material
from stock.rack.record import Held, State

MATERIALS: tuple[tuple[str, Unit], ...] = (
    ("tube 2 x 2 x 1/8", "in"),
    ("tube 2 x 2 x 0.12", "in"),
    ("tube 2 x 2 x 11 ga", "in"),
    ("rectangular tube 3 x 2 x 3/16", "in"),
    ("round tube 1-1/2 x 0.065", "in"),
    ("pipe 1-1/2 sch 40", "in"),
    ("angle 2 x 2 x 3/16", "in"),
    ("C3x4.1", "in"),
    ("flat 1/4 x 2", "in"),
    ("round 3/4", "in"),
    ("square 1/2", "in"),
    ("plate 3/8", "in"),
    ("sheet 14 ga", "in"),
    ("galvanised sheet 16 ga", "in"),
    ("stainless sheet 16 ga", "in"),
    ("aluminium plate 0.25", "in"),
    ("SHS 50x50x3", "mm"),
    ("RHS 60x40x3", "mm"),
    ("CHS 42.4x3", "mm"),
    ("L 50x50x5", "mm"),
    ("L 60x40x5", "mm"),
    ("UPN 80", "mm"),
    ("flat 40x5", "mm"),
    ("round 12", "mm"),
    ("plate 10", "mm"),
    ("sheet 1.5", "mm"),
)


@pytest.mark.parametrize(("text", "unit"), MATERIALS)
def test_a_designation_is_written_so_that_it_reads_the_same_in_both_units(text: str, unit: Unit) -> None:
    material = parse_material(text, unit=unit)
    state = State(standing="on hand", length=1, width=1 if material.is_plate else None)
    held = Held(id="A", material=material, unit=unit, parent="", origin="", step=1, state=state)
    written = designation_anywhere(held)
    for other in ("in", "mm"):
        assert parse_material(written, unit=other, grade=material.grade, finish=material.finish) == material


@given(st.integers(1, LONGEST), st.sampled_from(["in", "mm"]), st.sampled_from(["in", "mm"]))
def test_a_length_is_written_exactly_whatever_bare_numbers_count_in(
    ticks: int, unit: Unit, other: Unit
) -> None:
    assert parse_length(length_anywhere(ticks, unit), other) == ticks


def test_a_workbook_is_read_as_the_values_it_shows(tmp_path: Path) -> None:
    file = tmp_path / "shelf.xlsx"
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["Tag", "Material", "Len (ft)", "heat", "Worth"])
    sheet.append(["", "tube 2 x 2 x 1/8", 10.5, "0071", 12.5])
    sheet["A3"], sheet["B3"], sheet["C3"] = "R1", "round 1/2", "=2*6"
    book.save(file)
    with pytest.raises(InputError) as told:
        read_rack_file(file, "in")
    assert "row 3, column LENGTH: this formula has no stored value" in str(told.value)
    sheet["C3"] = 12
    book.save(file)
    one, two = read_rack_file(file, "in")
    assert (one.id, one.length, one.heat, one.value) == ("", parse_length("10' 6"), "0071", Decimal("12.5"))
    assert (two.id, two.length) == ("R1", parse_length("12 ft"))


def test_files_that_hold_no_rack_are_told(tmp_path: Path) -> None:
    book = Workbook()
    book.create_sheet("other")
    for sheet in book.worksheets:
        sheet["A1"] = "x"
    book.save(tmp_path / "two.xlsx")
    (tmp_path / "empty.csv").write_text("\n", encoding="utf-8", newline="\n")
    (tmp_path / "head.csv").write_text("MATERIAL,LENGTH\n", encoding="utf-8", newline="\n")
    (tmp_path / "odd.csv").write_text("MATERIAL,length,x\nround 1/2,1,2\n", encoding="utf-8", newline="\n")
    for name, words in (
        ("two.xlsx", "which of its sheets is the rack"),
        ("empty.csv", "the table is empty"),
        ("head.csv", "a header but no pieces"),
        ("none.csv", "there is no file or folder of this name"),
    ):
        with pytest.raises(InputError, match=words):
            read_rack_file(tmp_path / name, "in")
    assert len(read_rack_file(tmp_path / "odd.csv", "in")) == 1

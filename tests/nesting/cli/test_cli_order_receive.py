"""The commands order and receive: what is sent to a yard, filled in, and read back."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from nesting.check import check_plan
from nesting.write import read_plan
from tests.nesting.cli.console import Console, bench_job

WORK = ("--work", "100")


@pytest.fixture
def plan(console: Console, tmp_path: Path) -> Path:
    """The plan of the bench: one line, two sticks of 20 ft at 62.47."""
    assert console("plan", bench_job(tmp_path / "bench"), *WORK).code == 0
    return tmp_path / "bench.plan"


def filled(plan: Path, *rows: dict[str, object]) -> Path:
    """The order's workbook with what came, a row each."""
    file = plan / "order-north-yard.xlsx"
    book = openpyxl.load_workbook(file)
    sheet = book["order"]
    head = next(n for n in range(1, 20) if sheet.cell(n, 1).value == "Line")
    columns = {sheet.cell(head, n).value: n for n in range(1, sheet.max_column + 1)}
    for below, row in enumerate(rows, 1):
        for name, value in row.items():
            sheet.cell(head + below, columns[name]).value = value
    book.save(file)
    return file


def test_an_order_says_size_count_weight_and_price_for_each_yard(console: Console, plan: Path) -> None:
    """HSS2X2X1/8 weighs 3.05 lb/ft (AISC, published): two sticks of 20 ft some 122 lb; 2 x 62.47 = 124.94."""
    said = console("order", plan)
    assert (said.code, len(said.out)) == (0, 2)
    sheet = openpyxl.load_workbook(plan / "order-north-yard.xlsx")["order"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    line = next(row for row in rows if row[0] == 1)
    assert (line[1], line[4], line[5], line[9]) == ("tube 2 x 2 x 1/8", "20'", 2, 62.47)
    assert line[7] == pytest.approx(61.0, rel=0.005)
    assert (plan / "order-north-yard.pdf").read_bytes().startswith(b"%PDF")


def test_an_order_that_may_be_filled_in_is_not_written_over(console: Console, plan: Path) -> None:
    console("order", plan)
    before = filled(plan, {"Came count": 2}).read_bytes()
    assert console("order", plan).code == 1
    assert (plan / "order-north-yard.xlsx").read_bytes() == before


def test_what_came_is_told_beside_the_order_and_planned_with(console: Console, plan: Path) -> None:
    """One stick as ordered, one of 19' 6 and dearer by 1.00, of heat H91: parts cut from it are listed with it."""
    console("order", plan)
    file = filled(
        plan,
        {"Came count": 1, "Heat": "H90"},
        {"Line": 1, "Came count": 1, "Came length": "19' 6", "Paid each": 63.47, "Heat": "H91"},
    )
    said = console("receive", plan, file)
    assert said.code == 0
    assert any('1 came as 234"' in line for line in said.out)
    assert any("paid $125.94 for what came, reckoned $124.94" in line for line in said.out)
    assert console("receive", plan, file).code == 2
    assert any(line.startswith("heat H90: ") for line in console("done", plan, "1").out)
    assert console("replan", plan, *WORK).code == 0
    new = read_plan(plan.parent / "bench.2.plan")
    assert check_plan(new) == ()
    assert {piece.heat for piece in new.job.rack} <= {"H90", "H91"}


@pytest.mark.parametrize(
    ("word", "sentence"),
    [
        ("7=1", "there is no line '7'; the order has lines 1 to 1"),
        ("1=2 of 1/3", "not exact"),
        ("1=2, at cheap", "'cheap' is no price of one"),
        ("two", "says of no line what came"),
        ("1=0", "'0' is no count"),
    ],
)
def test_slips_in_what_came_are_told_and_nothing_is_recorded(
    console: Console, plan: Path, word: str, sentence: str
) -> None:
    said = console("receive", plan, "--came", word)
    assert (said.code, sentence in said.err[0]) == (2, True)
    assert not (plan / "work.record").exists()


def test_without_any_word_receive_says_what_to_do(console: Console, plan: Path) -> None:
    said = console("receive", plan)
    assert (said.code, "nothing is said to have come" in said.err[0]) == (2, True)

"""Fill parts and what may be made shorter, as the parts table says them."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from nesting.read import read_job
from stock.length import PER_INCH
from tests.nesting.read.test_meaning import folder, notices


@pytest.mark.parametrize(
    ("text", "worth"),
    [("", None), ("no", None), ("N", None), ("yes", Decimal(0)), ("Y", Decimal(0)), ("x", Decimal(0)),
     ("2.50", Decimal("2.50")), ("$1.2", Decimal("1.2")), ("1", Decimal(1))],
)  # fmt: skip
def test_fill_says_whether_a_part_must_be_made_or_what_a_spare_is_worth(
    tmp_path: Path, text: str, worth: Decimal | None
) -> None:
    parts = f"MARK,QTY,MATERIAL,LENGTH,fill\nA,1,flat 1/4 x 2,10,\nB,3,flat 1/4 x 2,2,{text}\n"
    job = read_job(folder(tmp_path, parts=parts))
    assert [part.fill for part in job.parts] == [None, worth]
    assert [part.mark for part in job.needed] == (["A"] if worth is not None else ["A", "B"])


def test_may_shorten_is_a_length_in_the_unit_of_the_job(tmp_path: Path) -> None:
    parts = "MARK,QTY,MATERIAL,LENGTH,may_shorten\nA,1,flat 1/4 x 2,10,1/2\nB,1,flat 1/4 x 2,10,6.35 mm\n"
    job = read_job(folder(tmp_path, parts=parts))
    assert [part.may_shorten for part in job.parts] == [PER_INCH // 2, PER_INCH // 4]


def test_a_spare_gets_no_hints_and_needs_no_source(tmp_path: Path) -> None:
    """A fill part of a material that nobody offers is no reason to refuse a job: it only finds no place."""
    parts = "MARK,QTY,MATERIAL,LENGTH,fill,may_shorten\nA,1,flat 1/4 x 2,10,,\nB,3,round 1,2,yes,1\n"
    job = read_job(folder(tmp_path, parts=parts))
    assert job.parts[1].may_shorten == 0
    assert "fill-shorten" in notices(job)

"""Parts bound to a stick, safety and doubt of the kerf, and saws that cut bundles, as they are read."""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.read import read_job
from stock.length import PER_INCH, PER_MM
from tests.nesting.read.test_meaning import codes, folder

RACK = "ID,MATERIAL,LENGTH,heat,clean_ends\nR1,flat 1/4 x 2,40,H 7,both\n"


def test_words_and_sources_are_read_as_written(tmp_path: Path) -> None:
    parts = (
        "MARK,QTY,MATERIAL,LENGTH,From one stick,cut from\n"
        "A,1,flat 1/4 x 2,10,Left pair,R1\n"
        "B,1,flat 1/4 x 2,10,no,H 7\n"
    )
    first, second = read_job(folder(tmp_path, parts=parts, rack=RACK)).parts
    assert (first.together, first.source) == ("Left pair", "R1")
    assert (second.together, second.source) == ("", "H 7")


@pytest.mark.parametrize(
    ("unit", "rows", "safety", "doubt"),
    [
        ("in", "", 0, PER_INCH // 64),
        ("mm", "", 0, 4 * PER_MM // 10),
        ("in", "kerf safety,1/32\nkerf doubt,0\n", PER_INCH // 32, 0),
        ("mm", "kerf_safety,0.25\nkerf_doubt,1\n", PER_MM // 4, PER_MM),
    ],
)
def test_safety_and_doubt_of_the_kerf(tmp_path: Path, unit: str, rows: str, safety: int, doubt: int) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH\nA,1,flat 50 x 6 mm,100 mm\n",
        "offers": "YARD,MATERIAL,LENGTH\nY,flat 50 x 6 mm,6 m\n",
    }
    shop = read_job(folder(tmp_path, shop=f"SETTING,VALUE\nunits,{unit}\n{rows}", **tables)).shop
    assert (shop.kerf_safety, shop.kerf_doubt) == (safety, doubt)


def test_a_saw_cuts_one_stick_at_once_unless_it_says_more(tmp_path: Path) -> None:
    saws = "SAW,KERF,bundle\nchop,1/8,\nband,1/16,6\n"
    assert [saw.bundle for saw in read_job(folder(tmp_path, saws=saws)).saws] == [1, 6]


@pytest.mark.parametrize("text", ["0", "2.5", "many"])
def test_a_bundle_is_a_whole_number(tmp_path: Path, text: str) -> None:
    assert codes(folder(tmp_path, saws=f"SAW,KERF,bundle\nchop,1/8,{text}\n")) == ["bad-count"]


def test_a_part_that_names_a_rack_piece_needs_no_offer(tmp_path: Path) -> None:
    parts = "MARK,QTY,MATERIAL,LENGTH,source\nA,3,flat 1/4 x 2,10,R1\n"
    assert read_job(folder(tmp_path, parts=parts, rack=RACK, offers="")).parts[0].source == "R1"


def test_a_safety_can_make_a_part_too_long_for_its_stick(tmp_path: Path) -> None:
    """By hand: two parts of 19 7/8 and a kerf of 1/8 lie in 40 with 1/8 to spare; a safety of 1/4 is too much."""
    parts = "MARK,QTY,MATERIAL,LENGTH,together\nA,2,flat 1/4 x 2,19 7/8,pair\n"
    offers = "YARD,MATERIAL,LENGTH,clean_ends\nY,flat 1/4 x 2,40,both\n"
    assert read_job(folder(tmp_path, parts=parts, offers=offers)).parts
    shop = "SETTING,VALUE\nunits,in\nkerf_safety,1/4\n"
    assert codes(folder(tmp_path, parts=parts, offers=offers, shop=shop)) == ["together-too-long"]

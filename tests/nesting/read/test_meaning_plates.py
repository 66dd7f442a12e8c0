"""Plate parts, sheets and the settings of the torch: read by name, in any spelling a shop uses."""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.findings import InputError
from nesting.job import Allow, default_saw
from nesting.read import read_job
from stock.length import PER_INCH, PER_MM
from tests.nesting.read.test_meaning import codes, folder, notices


def test_plate_parts_sheets_and_the_settings_of_the_torch_are_read(tmp_path: Path) -> None:
    tables = {
        "parts": (
            "MARK,QTY,MATERIAL,LENGTH,Width (mm),turn,process,end_a,lean\n"
            "A,2,plate 3/8,8,152.4,grain,plasma,0,opposite\nB,1,plate 9.525 mm,10,63.5,180°,,,\n"
            "C,1,plate 3/8,4,50.8,,Guillotine,,\nD,1,plate 3/8,4,50.8,no,,,\nE,1,flat 1/4 x 2,10,50.8,90,saw,,\n"
        ),
        "offers": (
            "YARD,MATERIAL,LENGTH,width,price,per,clean_ends,available,from_qty\n"
            "Y,plate 3/8,8 ft,4 ft,3,sq ft,both,9,1\nY,plate 3/8,8 ft,4 ft,2.5,sq ft,both,,4\n"
            "Y,plate 3/8,24,48,80,each,one,,\nY,flat 1/4 x 2,20 ft,2,1,lb,,,\n"
        ),
        "rack": "ID,MATERIAL,LENGTH,width,value\nR1,plate 3/8,30,20,4\n",
        "shop": (
            'SETTING,VALUE\nunits,in\nProcesses,"plasma, saw and shear"\ntorch kerf,0.06\nclearance,3/8\nedge,1/2\n'
            "bed,24 in x 610 mm\nkeep_width,6\nshear trim,1/4\ntorch hole,2\n"
        ),
    }
    job = read_job(folder(tmp_path, **tables))
    assert [(p.length, p.width, p.turn, p.process) for p in job.parts] == [
        (8 * PER_INCH, 6 * PER_INCH, "half", "torch"),
        (10 * PER_INCH, 5 * PER_INCH // 2, "half", None),
        (4 * PER_INCH, 2 * PER_INCH, "quarter", "shear"),
        (4 * PER_INCH, 2 * PER_INCH, "none", None),
        (10 * PER_INCH, None, "quarter", None),  # as wide as the flat bar that it is made of
    ]
    assert job.parts[0].material == job.parts[1].material
    assert [(o.length, o.width, o.clean_ends, o.available) for o in job.offers] == [
        (96 * PER_INCH, 48 * PER_INCH, 2, 9),
        (96 * PER_INCH, 48 * PER_INCH, 2, 9),  # a quantity break of the same size
        (24 * PER_INCH, 48 * PER_INCH, 0, None),
        (240 * PER_INCH, None, 0, None),
    ]
    assert job.offers[0].unit_price() == 96  # 8 ft x 4 ft at 3 a square foot
    assert (job.rack[0].width, job.rack[0].value) == (20 * PER_INCH, 4)
    shop = job.shop
    assert shop.processes == ("torch", "saw", "shear")
    assert shop.bed == (24 * PER_INCH, 610 * PER_MM)
    assert (shop.torch_kerf, shop.gap_between) == (4876800, 3 * PER_INCH // 8)  # 0.06 in is 1.524 mm
    assert (shop.edge, shop.keep_width) == (PER_INCH // 2, 6 * PER_INCH)
    assert (shop.shear_trim, shop.torch_hole) == (PER_INCH // 4, 2)
    assert notices(job) == ["flat-part", "turn-of-bars", "one-clean-end", "flat-width", "plate-saws"]


@pytest.mark.parametrize(
    ("text", "bed"),
    [
        ("24 x 24", (24 * PER_INCH, 24 * PER_INCH)),
        ("610 x 500 mm", (610 * PER_MM, 500 * PER_MM)),
        ("4 by 8 ft", (48 * PER_INCH, 96 * PER_INCH)),
        ("4' × 49 1/2\"", (48 * PER_INCH, 99 * PER_INCH // 2)),
        ("2 ft x 60 cm", (24 * PER_INCH, 600 * PER_MM)),
    ],
)
def test_a_bed_has_two_sides_and_one_unit_behind_both_counts_for_both(
    tmp_path: Path, text: str, bed: tuple[int, int]
) -> None:
    quoted = text.replace('"', '""')
    job = read_job(folder(tmp_path, shop=f'SETTING,VALUE\nunits,in\nbed,"{quoted}"\n'))
    assert job.shop.bed == bed


PLATE = {
    "parts": "MARK,QTY,MATERIAL,LENGTH,width\nA,2,plate 10,200,150\n",
    "offers": "YARD,MATERIAL,LENGTH,width\nY,plate 10,2000,1000\n",
}


def test_a_metric_shop_starts_from_round_millimetres_and_is_told_so(tmp_path: Path) -> None:
    """Starting values: common practice, no source."""
    job = read_job(folder(tmp_path, **PLATE, shop="SETTING,VALUE\nunits,mm\nedge,8\n"))
    shop = job.shop
    assert (shop.torch_kerf, shop.clearance, shop.edge) == (3 * PER_MM // 2, 6 * PER_MM, 8 * PER_MM)
    assert shop.keep_width == 100 * PER_MM
    (told,) = job.notices
    assert told.table == "shop"
    assert told.sentence == (
        "starting values for plates; measure your own: processes torch, torch_kerf 1.5 mm, clearance 6 mm"
    )


def test_settings_of_the_torch_that_are_given_are_taken_without_a_word(tmp_path: Path) -> None:
    given = "SETTING,VALUE\nunits,mm\nprocesses,torch\ntorch_kerf,2\nclearance,5\nedge,5\n"
    assert read_job(folder(tmp_path, **PLATE, shop=given)).notices == ()


def test_a_clearance_below_the_kerf_is_told_and_the_kerf_kept(tmp_path: Path) -> None:
    given = "SETTING,VALUE\nunits,mm\nprocesses,torch\ntorch_kerf,2\nclearance,1\nedge,5\n"
    job = read_job(folder(tmp_path, **PLATE, shop=given))
    assert job.shop.gap_between == 2 * PER_MM
    assert [(n.code, n.row) for n in job.notices] == [("clearance-kerf", 5)]


def test_a_shop_of_sheets_that_are_sheared_needs_no_saw_and_no_torch(tmp_path: Path) -> None:
    job = read_job(folder(tmp_path, **PLATE, saws="", shop="SETTING,VALUE\nunits,mm\nprocesses,shear\n"))
    assert job.notices == ()
    assert job.saws == (default_saw("mm"),)


def test_sheets_and_flat_bars_that_hold_no_part_are_told(tmp_path: Path) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH,width\nA,2,plate 3/8,10,8\n",
        "offers": (
            "YARD,MATERIAL,LENGTH,width\nY,plate 3/8,48,24\nY,plate 3/8,10,8\nY,flat 3/8 x 8,10 1/2,\n"
            "Y,flat 3/8 x 8,11,\nY,flat 3/8 x 4,20 ft,\nY,plate 1/2,48,24\nY,flat 3/8 x 12,20 ft,\n"
        ),
    }
    job = read_job(folder(tmp_path, **tables, shop="SETTING,VALUE\nunits,in\nprocesses,torch\n"))
    assert [n.sentence for n in job.notices if n.code == "idle-source"] == [
        "no part can be cut from the material of: offer 6",
        # one piece of 10 in needs 10 1/2 with both trims: offer 3 just yields it
        "too short or narrow for any part: offer 5",
        "too small for any part: offer 2",
    ]


def test_a_plate_part_as_wide_as_a_flat_bar_may_be_sawn_without_saw_among_the_processes(
    tmp_path: Path,
) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH,width,process\nA,2,plate 3/8,8,10,saw\n",
        "offers": "YARD,MATERIAL,LENGTH\nY,flat 3/8 x 8,20 ft\n",
    }
    assert read_job(folder(tmp_path, **tables)).parts[0].process == "saw"


def test_a_row_of_allow_lets_a_near_flat_bar_serve_a_plate_part(tmp_path: Path) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH,width\nA,2,plate 3/8,10,4\n",
        "offers": "YARD,MATERIAL,LENGTH\nY,flat 200 x 10 mm,6 m\n",
    }
    place = folder(tmp_path, **tables)
    with pytest.raises(InputError, match=r"is not the same \(9.525 mm against 10 mm\)") as caught:
        read_job(place)
    words = caught.value.findings[0].sentence.split("'")
    assert (words[1], words[3]) == ("plate 3/8", "flat 200 x 10 mm")
    job = read_job(folder(place, **tables, allow=f"PART_MATERIAL,OFFER_MATERIAL\n{words[1]},{words[3]}\n"))
    assert job.allow == (Allow(part=job.parts[0].material, offer=job.offers[0].material),)


def test_a_cell_that_asks_for_nothing_is_no_rule_that_would_be_broken(tmp_path: Path) -> None:
    parts = "MARK,QTY,MATERIAL,LENGTH,together,drawing\nA,1,flat 1/4 x 2,10,no,No\n"
    assert read_job(folder(tmp_path, parts=parts)).parts
    assert codes(folder(tmp_path, parts=parts.replace("no,No", "no,1"))) == ["not-supported"]


def test_a_sheet_longer_than_can_be_carried_is_told_by_its_longer_side(tmp_path: Path) -> None:
    tables = {
        "yards": "YARD,haul_limit\nY,1500\n",
        "parts": PLATE["parts"],
        "offers": "YARD,MATERIAL,LENGTH,width\nY,plate 10,1000,2000\nY,plate 10,1000,1500\n",
    }
    job = read_job(folder(tmp_path, **tables, shop="SETTING,VALUE\nunits,mm\n"))
    (told,) = (notice for notice in job.notices if notice.code == "too-long-to-haul")
    assert told.sentence.endswith("so not bought: offer 1 (Y)")

"""The commands `start` and `look`."""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.read import read_job
from tests.nesting.cli.console import JOBS, OFFERS, PARTS, SHOP, Console, bench_job, write_tables


@pytest.mark.parametrize(("form", "name"), [("workbook", "new.xlsx"), ("csv", "new")])
def test_start_makes_a_job_that_can_be_planned_and_says_what_to_do_next(
    tmp_path: Path, console: Console, form: str, name: str
) -> None:
    said = console("start", tmp_path / "new", "--as", form)
    made = tmp_path / name
    assert said.out == [f"made {made}: overwrite the example rows, then run: steelyard plan {made}"]
    assert (said.code, said.err) == (0, [])
    assert read_job(made).parts


def test_start_leaves_what_is_there_alone(tmp_path: Path, console: Console) -> None:
    there = tmp_path / "new.xlsx"
    there.write_bytes(b"mine")
    said = console("start", tmp_path / "new")
    assert said.code == 2
    assert said.err == [
        f"{there}: there is something of this name already, and it is not overwritten; choose another name"
    ]
    assert there.read_bytes() == b"mine"


def test_look_tells_materials_as_taken_sources_and_saws(tmp_path: Path, console: Console) -> None:
    said = console("look", bench_job(tmp_path / "bench"))
    assert said.out == [
        "bench: 2 parts; bare numbers are inches",
        "to be made",
        "  tube 2 x 2 x 1/8: 10 pieces, 28' in all, 85.5 lb",
        "      taken as structural tube (HSS), nominal wall; corners: outer radius 2t,",
        "        inner t",
        "can be cut from",
        "  tube 2 x 2 x 1/8: parts A1, A2",
        "      North yard: 20'",
        "saws",
        '  chop saw: kerf 1/8", an end that is not clean loses 1/4"',
    ]
    assert (said.code, said.err) == (0, [])


def test_look_tells_mitred_parts_and_how_far_the_saws_go(tmp_path: Path, console: Console) -> None:
    """Both ends 45, 2 in deep: 44 to the short points is 48 from point to point."""
    parts = (
        "MARK,QTY,MATERIAL,LENGTH,end_a,end_b,measured,flip\n"
        "A1,4,tube 2 x 2 x 1/8,44,45,45,short,\nA2,6,tube 2 x 2 x 1/8,24,22.5,,,no\n"
    )
    saws = "SAW,KERF,trim,max_size,max_angle\nchop saw,1/8,1/4,4,45\n"
    said = console("look", write_tables(tmp_path / "bench", parts=parts, offers=OFFERS, saws=saws, shop=SHOP))
    assert said.code == 0
    joined = " ".join(line.strip() for line in said.out)
    assert (
        'A1: 4 of 44" to the short points, ends 45° / 45° from square on the wide side, leaning against each other; '
        '48" from point to point'
    ) in joined
    assert "the same side stays up" in joined
    assert 'A2: 6 of 24", ends 22.5° / 0° from square on the wide side; 24" from point to point' in joined
    assert (
        'chop saw: kerf 1/8", an end that is not clean loses 1/4", sections up to 4", turns to 45° from square'
        in joined
    )


def test_look_tells_the_rack_stock_of_other_names_and_what_no_part_needs(
    tmp_path: Path, console: Console
) -> None:
    offers = OFFERS + (
        "South yard,tube 2 x 2 x 0.120,24 ft,68,each\nSouth yard,tube 2 x 2 x 1/8,16-22 ft,3,ft\n"
        "South yard,round 1/2,20 ft,9,each\n"
    )
    rack = "ID,MATERIAL,LENGTH\nK1,tube 2 x 2 x 1/8,7 ft\n"
    allow = "PART_MATERIAL,OFFER_MATERIAL\ntube 2 x 2 x 1/8,tube 2 x 2 x 0.120\n"
    said = console(
        "look", write_tables(tmp_path / "bench", parts=PARTS, offers=offers, rack=rack, allow=allow)
    )
    assert said.code == 0
    start = said.out.index("  tube 2 x 2 x 1/8: parts A1, A2")
    assert said.out[start + 1 : start + 7] == [
        "      North yard: 20'",
        "      South yard: 24' of tube 2 x 2 x 0.12; 16' to 22'",
        "      rack: K1 7'",
        "other materials offered or on the rack",
        "  tube 2 x 2 x 0.12: mechanical tube, sharp corners",
        "  round 1/2: solid bar, full size",
    ]
    assert any(line.startswith("note: ") for line in said.out)


def test_look_shows_what_was_understood_beside_why_it_cannot_be_planned(
    tmp_path: Path, console: Console
) -> None:
    job = write_tables(tmp_path / "bench", parts=PARTS, offers=OFFERS.replace("20 ft", "3 ft"))
    said = console("look", job)
    assert said.code == 2
    assert said.out[0] == "bench: 2 parts; bare numbers are inches"
    assert len(said.err) > 0
    assert said.err[0].startswith("problem: ")
    assert 'part A1: it needs 48"' in " ".join(said.err)


def test_look_tells_plate_parts_sheets_flat_bars_that_serve_them_and_how_they_are_cut(
    tmp_path: Path, console: Console
) -> None:
    """Ten of 10 x 8 and two of 24 x 12 in of 3/8 plate: 1,376 sq in, 9.6 sq ft; at 15.31 lb a sq ft (derived: 3/8 in at
    490 lb a cubic foot) about 146 lb."""
    tables = {
        "parts": (
            "MARK,QTY,MATERIAL,LENGTH,width,turn,process\n"
            "P1,10,plate 3/8,10,8,,\nP2,2,plate 3/8,24,12,none,torch\nB1,1,flat 3/8 x 8,30,,,\n"
        ),
        "offers": (
            "YARD,MATERIAL,LENGTH,width,price,per\nNorth yard,plate 3/8,48,24,90,each\n"
            "North yard,flat 3/8 x 8,20 ft,,4,ft\nSouth yard,flat 3/8 x 2,20 ft,,1,ft\n"
        ),
        "rack": "ID,MATERIAL,LENGTH,width\nR1,plate 3/8,30,20\n",
        "saws": "SAW,KERF,trim,plates\nchop saw,1/8,1/4,yes\nmitre saw,1/8,1/4,no\n",
        "shop": (
            "SETTING,VALUE\nprocesses,torch saw shear\ntorch_kerf,1/16\nclearance,3/8\nedge,1/2\nbed,36 x 24\n"
            "shear_trim,1/8\n"
        ),
    }
    said = console("look", write_tables(tmp_path / "bench", **tables))
    assert (said.code, said.err) == (0, [])
    assert said.out[:23] == [
        "bench: 3 parts; bare numbers are inches",
        "to be made",
        "  plate 3/8: 12 pieces, 9.6 sq ft in all, 146 lb",
        "      taken as thickness as written",
        '      P1: 10 of 10" × 8"',
        '      P2: 2 of 24" × 12", not turned, by torch',
        "  flat 3/8 x 8: 1 piece, 2' 6\" in all, 25.5 lb",
        "      taken as sharp corners",
        "can be cut from",
        "  plate 3/8: parts P1, P2, B1",
        '      North yard: 48" × 24"; 20\' of flat 3/8 x 8',
        '      rack: R1 30" × 20"',
        "      flat bars for plate parts: flat 3/8 x 8 for P1",
        "other materials offered or on the rack",
        "  flat 3/8 x 2: sharp corners",
        "saws",
        '  chop saw: kerf 1/8", an end that is not clean loses 1/4"',
        '  mitre saw: kerf 1/8", an end that is not clean loses 1/4"',
        "plates are cut by",
        '  torch: kerf 1/16", 3/8" between parts, 1/2" to the edge, bed 36" × 24", 1/16"',
        "    a cut between blanks",
        "  saw: chop saw, kerf and trim as above",
        '  shear: trim 1/8"',
    ]
    assert " ".join(said.out[23:]).endswith("too short or narrow for any part: offer 3")


def test_look_tells_every_plate_part_however_its_thickness_is_written(
    tmp_path: Path, console: Console
) -> None:
    parts = (
        "MARK,QTY,MATERIAL,LENGTH,width,turn\nP1,1,plate 3/8,10,8,\nP2,2,plate 9.525 mm,6,4,half\n"
        "P3,1,plate 3/8,5,5,none\n"
    )
    offers = "YARD,MATERIAL,LENGTH,width\nNorth yard,plate 3/8,48,24\n"
    said = console("look", write_tables(tmp_path / "bench", parts=parts, offers=offers))
    assert said.code == 0
    assert said.out[2].startswith("  plate 3/8: 4 pieces")
    assert said.out[4:7] == [
        '      P1: 1 of 10" × 8"',
        '      P2: 2 of 6" × 4", turned end for end at most',
        '      P3: 1 of 5" × 5", not turned',
    ]


def test_look_tells_parts_that_nothing_serves(tmp_path: Path, console: Console) -> None:
    job = write_tables(tmp_path / "bench", parts=PARTS, offers=OFFERS.replace("1/8", "1/4"))
    said = console("look", job)
    assert said.code == 2
    assert "      nothing" in said.out
    assert any(line.startswith("problem: ") for line in said.err)


def test_every_slip_in_the_tables_is_told_at_once(tmp_path: Path, console: Console) -> None:
    job = write_tables(
        tmp_path / "bench", parts=PARTS.replace("A1,4", "A1,four").replace("24", "2x4"), offers=OFFERS
    )
    for command in ("look", "plan"):
        said = console(command, job)
        assert (said.code, said.out) == (2, [])
        assert said.err == [
            f"{job / 'parts.csv'}, row 2, column QTY: 'four' is not a count; "
            "write a whole number from 1 to 100,000",
            f"{job / 'parts.csv'}, row 3, column LENGTH: '2x4' is not a length; "
            "write for example 5' 3-1/2\", 63.5 in, 3 5/16, 400 mm or 1.25 m",
        ]


@pytest.mark.parametrize("job", [JOBS / "garden-gate", JOBS / "greenhouse" / "greenhouse.xlsx"])
def test_look_fits_eighty_columns(job: Path, console: Console, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(JOBS.parent)
    said = console("look", job.relative_to(JOBS.parent))
    assert said.code == 0
    assert said.out
    assert max(len(line) for line in said.out) <= 80

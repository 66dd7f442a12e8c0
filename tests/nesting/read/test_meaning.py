"""Tables become a job by named column: nothing guessed, nothing lost, and what has no effect is told."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from nesting.findings import InputError
from nesting.job import Allow, Assembly, Hole, Job, Saw, default_saw
from nesting.read import find_source_problems, read_job, read_tables
from nesting.read.understood import understood
from stock.length import PER_INCH, PER_MM
from stock.material import parse_material
from stock.offer import Basis, Yard

PARTS = "MARK,QTY,MATERIAL,LENGTH\nA,2,flat 1/4 x 2,10\n"
OFFERS = "YARD,MATERIAL,LENGTH\nY,flat 1/4 x 2,20 ft\n"
SAWS = "SAW,KERF,trim\nchop,1/8,1/4\n"
SHOP = "SETTING,VALUE\nunits,in\n"


def folder(place: Path, **tables: str) -> Path:
    """A sound job, with some of its tables changed."""
    for name, text in ({"parts": PARTS, "offers": OFFERS, "saws": SAWS, "shop": SHOP} | tables).items():
        if text:
            (place / f"{name}.csv").write_text(text, encoding="utf-8", newline="\n")
    return place


def notices(job: Job) -> list[str]:
    return [notice.code for notice in job.notices]


def codes(place: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_job(place)
    return [finding.code for finding in caught.value.findings]


def test_marks_keep_their_zeros_and_columns_stand_in_any_order_and_case(tmp_path: Path) -> None:
    parts = "Len (mm),Section,Part No,quantity\n254,flat 1/4 x 2,007,3\n5',flat 1/4 x 2,7,1\n"
    first, second = read_job(folder(tmp_path, parts=parts)).parts
    assert (first.mark, first.qty, first.length) == ("007", 3, 10 * PER_INCH)
    assert (second.mark, second.length) == ("7", 60 * PER_INCH)  # a unit in the cell goes before the header's
    assert first.material == parse_material("flat 1/4 x 2", unit="in")


def test_columns_of_the_users_own_are_carried_with_a_notice(tmp_path: Path) -> None:
    job = read_job(folder(tmp_path, parts="MARK,QTY,MATERIAL,LENGTH,Bay\nA,1,flat 1/4 x 2,10,3\n"))
    assert job.parts[0].carried == (("Bay", "3"),)
    assert notices(job) == ["extra-column"]


def test_another_word_for_a_column_is_the_users_own_beside_the_column_itself(tmp_path: Path) -> None:
    parts = "Mark,Qty,Description,Material,Length\nA,1,left leg,flat 1/4 x 2,10\n"
    job = read_job(folder(tmp_path, parts=parts))
    assert job.parts[0].carried == (("Description", "left leg"),)
    assert notices(job) == ["extra-column"]


def test_bare_numbers_take_the_unit_of_the_job(tmp_path: Path) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH\nA,1,SHS 50 x 50 x 3,1613\n",
        "offers": "YARD,MATERIAL,LENGTH\nY,SHS 50 x 50 x 3,6 m\n",
        "saws": "SAW,KERF\nchop,2.5\n",
        "shop": "Setting,Value\nUnit,millimetres\nKeep Length,250\nlift,20\n",
    }
    job = read_job(folder(tmp_path, **tables))
    assert job.parts[0].length == 1613 * PER_MM
    assert job.offers[0].length == 6000 * PER_MM
    assert job.saws == (Saw(name="chop", kerf=5 * PER_MM // 2),)
    assert (job.shop.unit, job.shop.keep_length, job.shop.lift_kg) == ("mm", 250 * PER_MM, 20)


def test_a_decimal_comma_is_read_when_the_shop_says_so(tmp_path: Path) -> None:
    tables = {
        "parts": "MARK;QTY;MATERIAL;LENGTH\nA;1;flat 50 x 5;1,250\n",
        "offers": "YARD;MATERIAL;LENGTH;price;per\nY;flat 50 x 5;6 m;3,25;m\n",
        "saws": "SAW;KERF\nchop;2,5\n",
        "shop": "SETTING;VALUE\nunits;mm\ndecimal;comma\n",
    }
    job = read_job(folder(tmp_path, **tables))
    assert job.parts[0].length == PER_MM * 5 // 4
    assert job.offers[0].price == Decimal("3.25")
    assert job.saws[0].kerf == PER_MM * 5 // 2


def test_an_offer_is_read_with_all_its_terms(tmp_path: Path) -> None:
    offers = (
        "Supplier,Material,Length,Price,Per,Grade,Clean ends,In stock,From qty,Cut to length,Note\n"
        'Y,flat 1/4 x 2,20 ft,"$12.50",ea,A36,both,7,1,no,hot\n'
        "y,flat 1/4 x 2,20 ft,11,each,A36,2,,5,,\n"
        "Z,flat 1/4 x 2,16-22 ft,65,100 lb,,,,,,\n"
        "Z,flat 1/4 x 2,6 m,1.20,/ft,,one,,,yes,\n"
    )
    job = read_job(folder(tmp_path, offers=offers))
    first, break_, random, cut = job.offers
    assert (first.yard, first.price, first.per, first.clean_ends) == ("Y", Decimal("12.50"), Basis.EACH, 2)
    assert (first.available, first.from_qty, first.cut_to_length, first.note) == (7, 1, None, "hot")
    assert (break_.yard, break_.from_qty, break_.available) == ("Y", 5, 7)  # the limit is one of the size
    assert (random.length, random.longest, random.per) == (
        192 * PER_INCH,
        264 * PER_INCH,
        Basis.HUNDREDWEIGHT,
    )
    assert (cut.length, cut.per, cut.clean_ends, cut.cut_to_length) == (6000 * PER_MM, Basis.FOOT, 1, 0)
    assert [offer.id for offer in job.offers] == ["offer 1", "offer 2", "offer 3", "offer 4"]
    assert notices(job) == ["random-length"]


@pytest.mark.parametrize("text", ["-3.10", "−3.10", "(3.10)", "3.10 ft", "10%", "3.10 CWT", "1,250", "3.1.0"])
def test_an_amount_with_signs_that_change_it_is_refused(tmp_path: Path, text: str) -> None:
    offers = f'YARD,MATERIAL,LENGTH,price,per\nY,flat 1/4 x 2,20 ft,"{text}",each\n'
    assert codes(folder(tmp_path, offers=offers)) == ["bad-money"]


@pytest.mark.parametrize("text", ["3.10", "$3.10", "$ 3.10", "3.10 €", "EUR 3.10", "3.10 USD", "US$3.10"])
def test_an_amount_may_name_its_currency(tmp_path: Path, text: str) -> None:
    offers = f"YARD,MATERIAL,LENGTH,price,per\nY,flat 1/4 x 2,20 ft,{text},each\n"
    assert read_job(folder(tmp_path, offers=offers)).offers[0].price == Decimal("3.10")


def test_yards_are_read_and_what_does_not_steer_the_choice_is_told(tmp_path: Path) -> None:
    yards = (
        "YARD,delivery,minimum_order,haul_limit,Payload (kg),cut_charge,cut_tolerance,cut_kerf,lead_days\n"
        "Y,,,10 ft,700,5,1/8,1/8,3\nZ,40,100,10 ft,,,,,\nX,,,10 ft,,,1/8,,\n"
    )
    offers = OFFERS + "Z,flat 1/4 x 2,20 ft\nX,flat 1/4 x 2,20 ft\nX,flat 1/4 x 2,9-12 ft\n"
    job = read_job(folder(tmp_path, yards=yards, offers=offers))
    eighth = PER_INCH // 8
    assert job.yards == (
        Yard(
            name="Y",
            haul_limit=120 * PER_INCH,
            payload_kg=700.0,
            cut_charge=Decimal(5),
            cut_tolerance=eighth,
            cut_kerf=eighth,
            lead_days=3,
        ),
        Yard(name="Z", delivery=Decimal(40), minimum_order=Decimal(100), haul_limit=120 * PER_INCH),
        Yard(name="X", haul_limit=120 * PER_INCH, cut_tolerance=eighth),
    )
    told = {notice.code: notice.sentence for notice in job.notices}
    assert told["too-long-uncut"].endswith("offer 3 (X)")  # Y cuts, Z delivers
    assert told["random-too-long"].endswith("offer 4 (X)")
    assert "no-cut-charge" in told


def test_a_bare_payload_is_in_pounds_in_an_inch_job(tmp_path: Path) -> None:
    job = read_job(folder(tmp_path, yards="YARD,payload\nY,1500\n"))
    assert job.yards[0].payload_kg == pytest.approx(1500 * 0.45359237)  # pound of 1959, exact


def test_rack_pieces_saws_holes_and_assemblies_are_read(tmp_path: Path) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH,assembly\nA,2,flat 1/4 x 2,10,frame\n",
        "assemblies": "ASSEMBLY,QTY\nframe,3\n",
        "holes": "MARK,X,Y,DIAMETER,face,depth\nA,1,1,7/16,wide,\n",
        "rack": "ID,MATERIAL,LENGTH,clean_ends,value,place,heat\n0042,flat 1/4 x 2,84,one,2.50,bay 3,H1\n",
        "saws": "SAW,KERF,trim,grip,max_size,max_angle\nband,1/16,,3,8,60\n",
    }
    job = read_job(folder(tmp_path, **tables))
    (piece,) = job.rack
    assert (piece.id, piece.length, piece.clean_ends, piece.value) == (
        "0042",
        84 * PER_INCH,
        1,
        Decimal("2.5"),
    )
    assert (piece.place, piece.heat) == ("bay 3", "H1")
    assert job.assemblies == (Assembly(name="frame", qty=3),)
    assert job.copies(job.parts[0]) == 6
    assert job.holes == (
        Hole(mark="A", x=PER_INCH, y=PER_INCH, diameter=7 * PER_INCH // 16, face="wide", depth=None),
    )
    assert job.saws == (
        Saw(
            name="band",
            kerf=PER_INCH // 16,
            grip=3 * PER_INCH,
            max_size=8 * PER_INCH,
            max_angle=Decimal(60),
        ),
    )
    assert job.notices == ()


def test_an_assembly_without_a_table_is_built_once_and_told(tmp_path: Path) -> None:
    job = read_job(folder(tmp_path, parts="MARK,QTY,MATERIAL,LENGTH,assembly\nA,2,flat 1/4 x 2,10,frame\n"))
    assert job.assemblies == (Assembly(name="frame", qty=1),)
    assert notices(job) == ["assembly-once"]


def test_a_job_without_saws_takes_starting_values_and_says_which(tmp_path: Path) -> None:
    job = read_job(folder(tmp_path, saws=""))
    assert job.saws == (default_saw("in"),)
    assert notices(job) == ["default-saw"]
    assert 'a kerf of 1/8" and a trim of 1/4"' in job.notices[0].sentence


def test_columns_and_settings_without_effect_are_told_once(tmp_path: Path) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH,weld\nA,1,flat 1/4 x 2,10,yes\nB,1,flat 1/4 x 2,9,yes\n",
        "shop": "SETTING,VALUE\nunits,in\nfavourite colour,red\n",
        "saws": "SAW,KERF,rate\nchop,1/8,60\n",
    }
    job = read_job(folder(tmp_path, **tables))
    assert sorted(notices(job)) == ["unknown-setting", "unused-column"]
    assert job.shop.other == (("favourite colour", "red"),)


def test_whether_a_part_may_be_turned_over_is_read_in_the_words_of_the_trade(tmp_path: Path) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH,turn over\nA,1,flat 1/4 x 2,10,\nB,1,flat 1/4 x 2,9,No\n"
        "C,1,flat 1/4 x 2,8,this side up\nD,1,flat 1/4 x 2,7,yes\n"
    }
    job = read_job(folder(tmp_path, **tables))
    assert [part.flip for part in job.parts] == [True, False, False, True]


def test_sources_that_serve_no_part_are_only_told(tmp_path: Path) -> None:
    tables = {
        "offers": OFFERS + "Y,round 1,20 ft\nY,flat 1/4 x 2,8\n",
        "rack": "ID,MATERIAL,LENGTH,width\nR1,flat 1/4 x 3,90,\nR2,plate 3/8,48,48\n",
    }
    job = read_job(folder(tmp_path, **tables))
    assert [(n.code, n.table, n.sentence.rpartition(": ")[2]) for n in job.notices] == [
        ("idle-source", "offers", "offer 2"),
        ("idle-source", "offers", "offer 3"),
        ("idle-source", "rack", "R1, R2"),
    ]


def test_near_equal_stock_is_taken_after_the_row_that_the_refusal_gives(tmp_path: Path) -> None:
    tables = {
        "parts": "MARK,QTY,MATERIAL,LENGTH,grade\nA,1,tube 2 x 2 x 1/8,10,A500\n",
        "offers": "YARD,MATERIAL,LENGTH,grade\nY,tube 2 x 2 x 0.120,20 ft,A513\n",
    }
    place = folder(tmp_path, **tables)
    with pytest.raises(InputError) as caught:
        read_job(place)
    words = caught.value.findings[0].sentence.split("'")
    folder(place, **tables, allow=f"PART_MATERIAL,OFFER_MATERIAL\n{words[1]},{words[3]}\n")
    job = read_job(place)
    assert job.allow == (Allow(part=job.parts[0].material, offer=job.offers[0].material),)
    assert job.notices == ()


def test_allow_rows_without_effect_are_told(tmp_path: Path) -> None:
    allow = "PART_MATERIAL,OFFER_MATERIAL\nround 1,flat 1/4 x 2\nflat 1/4 x 2,round 1\n"
    job = read_job(folder(tmp_path, allow=allow))
    assert sorted(notices(job)) == ["allow-no-part", "allow-nothing"]


def test_tables_can_be_read_and_understood_although_parts_lack_sources(tmp_path: Path) -> None:
    parts = PARTS + "B,3,tube 2 x 2 x 1/8,20\n"
    place = folder(tmp_path, parts=parts)
    assert codes(place) == ["no-source"]
    job = read_tables(place)
    seen = understood(job)
    assert [(use.name, len(use.parts), use.pieces, use.length) for use in seen.uses] == [
        ("flat 1/4 x 2", 1, 2, 20 * PER_INCH),
        ("tube 2 x 2 x 1/8", 1, 3, 60 * PER_INCH),
    ]
    assert seen.uses[1].taken.startswith("structural tube")
    # 1/2 sq in of steel at 7850 kg/m3 over 20 in: derived
    assert seen.uses[0].weight_kg == pytest.approx(7850 * 0.5 * 20 * 0.0254**3)
    assert [(group.marks, group.offers) for group in seen.groups] == [(("A",), ("offer 1",)), (("B",), ())]
    assert [problem.code for problem in seen.problems] == ["no-source"]
    assert find_source_problems(job) == list(seen.problems)
    assert seen.problems[0].row == 3


def test_mitres_are_read_with_the_bar_they_take(tmp_path: Path) -> None:
    parts = (
        "MARK,QTY,MATERIAL,LENGTH,end_a,end_b,lean,plane,measured,extra_a\n"
        "A,1,flat 1/4 x 2,10,45,45,,,short,1/4\nB,1,flat 1/4 x 2,10,45°,,same,narrow,,\n"
    )
    job = read_job(folder(tmp_path, parts=parts))
    first, second = job.parts
    assert first.extent == 14 * PER_INCH + PER_INCH // 4  # 2 in of slope at each end, and the extra
    assert (second.extent, second.end_a, second.plane) == (10 * PER_INCH, 45, "narrow")
    assert notices(job) == []

"""Drawings of sheets, read back by another reader of the format: true size, closed, each thing on its layer."""

from __future__ import annotations

import io
from dataclasses import replace

import ezdxf
import pytest
from ezdxf import recover
from ezdxf.document import Drawing
from ezdxf.entities import Circle, Line, LWPolyline, Text
from ezdxf.math import Vec2, area

from nesting.job import Hole, Part
from nesting.plan import Placed, Plan
from nesting.report.sheet_list import Sheet, blanks_of, sheet_list
from nesting.write.drawings import drawing_name, drawings_of, drawn_blanks, is_drawing
from nesting.write.dxf import LAYERS, sheet_dxf
from stock.length import PER_INCH, PER_MM
from tests.nesting.made import inch_plan
from tests.nesting.made_sheets import INCH, plate_plan

PLAN = plate_plan()
SHEETS = sheet_list(PLAN).cut


def read(content: bytes) -> Drawing:
    """The drawing, as another program sees it, without a fault."""
    strict = ezdxf.read(io.TextIOWrapper(io.BytesIO(content), encoding="cp1252"))
    document, audit = recover.read(io.BytesIO(content))
    assert audit.errors == audit.fixes == strict.audit().errors == []
    assert len(document.modelspace()) == len(strict.modelspace()) > 0
    return document


def outlines(document: Drawing, layer: str) -> list[list[Vec2]]:
    """The corners of the closed outlines of a layer."""
    found = list(document.modelspace().query(f'*[layer=="{layer}"]'))
    assert all(isinstance(each, LWPolyline) and each.closed for each in found)
    return [[Vec2(x, y) for x, y in each.get_points("xy")] for each in found if isinstance(each, LWPolyline)]


def box(corners: list[Vec2]) -> tuple[float, float, float, float]:
    """Least x and y, extent along both."""
    xs, ys = [point.x for point in corners], [point.y for point in corners]
    return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def sheet_with(mark: str, plan: Plan = PLAN) -> Sheet:
    """The first sheet that holds a part."""
    return next(s for s in sheet_list(plan).cut if any(p.mark == mark for p in s.layout.pieces))


def one_piece(piece: Placed, part: Part, holes: tuple[Hole, ...] = ()) -> tuple[Sheet, Plan]:
    """The quarter-inch sheet with nothing but one piece of a part on it."""
    group = PLAN.groups[0]
    sheets = (replace(group.sheets[0], pieces=(piece,), offcuts=()),)
    plan = replace(
        PLAN,
        job=replace(PLAN.job, parts=(part,), holes=holes),
        groups=(replace(group, sheets=sheets, layouts=()),),
    )
    (sheet,) = sheet_list(plan).cut
    return sheet, plan


@pytest.mark.parametrize("sheet", SHEETS, ids=drawing_name)
def test_a_drawing_holds_the_sheet_and_its_parts_in_true_size(sheet: Sheet) -> None:
    """Outlines closed, as many as there are pieces, in inches; areas agree to a millionth."""
    document, layout = read(sheet_dxf(sheet, PLAN)), sheet.layout
    assert document.units == ezdxf.units.IN
    (whole,) = outlines(document, "SHEET")
    assert box(whole) == pytest.approx((0, 0, layout.length / INCH, layout.width / INCH))
    parts = outlines(document, "PART")
    assert len(parts) == len(layout.pieces)
    real = sum(piece.place.length * piece.place.width for piece in layout.pieces) / INCH**2
    assert sum(area(part) for part in parts) == pytest.approx(real, rel=1e-6)
    for drawn, rects in (("KEEP", layout.offcuts), ("BLANK", layout.blanks)):
        assert sorted(box(each) for each in outlines(document, drawn)) == [
            pytest.approx((r.x / INCH, r.y / INCH, r.length / INCH, r.width / INCH)) for r in sorted(rects)
        ]


def test_everything_lies_on_a_layer_that_is_told() -> None:
    """And readme.txt tells each."""
    files = drawings_of(PLAN)
    told = files["drawings/readme.txt"].decode("utf-8")
    assert all(f"  {layer} " in told and said in told for layer, said in LAYERS.items())
    for name, content in files.items():
        if name.endswith(".dxf"):
            document = read(content)
            assert {each.dxf.layer for each in document.modelspace()} <= set(LAYERS)
            assert set(LAYERS) <= {layer.dxf.name for layer in document.layers}


def test_readme_lists_every_drawing_and_says_that_outlines_are_nominal() -> None:
    """The controller moves the torch by half the kerf; without torch work nothing is said of it."""
    files = drawings_of(PLAN)
    told = files.pop("drawings/readme.txt").decode("utf-8")
    assert all(f"  {name.removeprefix('drawings/')} " in told for name in files)
    assert "nominal" in told
    assert 'kerf of 1/16"' in told
    sawn = replace(PLAN, groups=PLAN.groups[2:])
    assert "orch" not in drawings_of(sawn)["drawings/readme.txt"].decode("utf-8").replace(LAYERS["HOLE"], "")


def test_the_torch_cuts_large_holes_and_small_ones_are_marked_for_the_drill() -> None:
    """BP has two of 9/16 and one of 1/4 in 1/4 plate: less than 1.5 x 1/4 (common practice). Two lines a cross."""
    sheet = sheet_with("BP")
    space = read(sheet_dxf(sheet, PLAN)).modelspace()
    circles = [each for each in space.query('*[layer=="HOLE"]') if isinstance(each, Circle)]
    lines = [each for each in space.query('*[layer=="DRILL"]') if isinstance(each, Line)]
    assert len(circles) == 2 * 5
    assert {each.dxf.radius for each in circles} == {9 / 32}
    assert len(lines) == 2 * 5
    assert {round(each.dxf.start.distance(each.dxf.end), 9) for each in lines} == {1 / 8}


def test_holes_turn_with_their_piece_and_are_not_mirrored() -> None:
    """The turned BP lies at 16.75, 0.25 and is 6 along x: its datum corner is at 22.75, 0.25.

    A hole 1 in along and 1 across is 1 up and 1 to the left of that; one 7 along is 7 up.
    """
    space = read(sheet_dxf(sheet_with("BP"), PLAN)).modelspace()
    centres = {
        (round(each.dxf.center.x, 6), round(each.dxf.center.y, 6))
        for each in space.query('*[layer=="HOLE"]')
        if isinstance(each, Circle)
    }
    assert {(21.75, 1.25), (21.75, 7.25)} <= centres
    assert {(1.25, 1.25), (7.25, 1.25), (9.5, 7.5), (15.5, 7.5)} <= centres


def test_a_hole_to_drill_into_a_named_face_is_left_to_the_hole_list() -> None:
    """Its place is counted on that face, which the drawing does not show."""
    piece = next(piece for piece in sheet_with("BP").layout.pieces if not piece.turned)
    holes = tuple(replace(hole, face="back") for hole in PLAN.job.holes if hole.mark == "BP")
    sheet, plan = one_piece(piece, PLAN.job.parts[0], holes)
    document = read(sheet_dxf(sheet, plan))
    assert len(document.modelspace().query('*[layer=="HOLE"]')) == 2
    assert len(document.modelspace().query('*[layer=="DRILL"]')) == 0


@pytest.mark.parametrize("is_turned", [False, True])
@pytest.mark.parametrize(
    "mark", ["A", "a very long mark of 30 letters", "Füße 7", "%%c 5%", "^J", "中文", "a\nb"]
)
def test_a_mark_stands_in_the_middle_of_its_part_and_inside(mark: str, is_turned: bool) -> None:
    """Letters are at most as wide as high in common fonts; a turned piece reads along its own length."""
    part = replace(PLAN.job.parts[0], mark=mark)
    piece = next(piece for piece in sheet_with("BP").layout.pieces if piece.turned == is_turned)
    sheet, plan = one_piece(replace(piece, mark=mark), part)
    (text,) = read(sheet_dxf(sheet, plan)).modelspace().query('*[layer=="MARK"]')
    assert isinstance(text, Text)
    assert text.plain_text() == mark.replace("\n", " ")
    place = piece.place
    middle = (place.x + place.length / 2) / INCH, (place.y + place.width / 2) / INCH
    assert tuple(text.dxf.align_point)[:2] == pytest.approx(middle)
    assert text.dxf.rotation == (90 if is_turned else 0)
    along, across = (place.width, place.length) if is_turned else (place.length, place.width)
    assert 0 < text.dxf.height * len(mark) < along / INCH
    assert text.dxf.height < across / INCH


def test_a_blank_has_a_drawing_of_its_own_from_its_own_corner() -> None:
    """The second LID put on the second blank, 24 1/16 in along the sheet, is drawn near the origin."""
    group = PLAN.groups[1]
    parted = group.sheets[0]
    first, second = parted.blanks
    moved = replace(
        parted.pieces[0], place=replace(parted.pieces[0].place, x=second.x + INCH // 4, y=INCH // 4)
    )
    sheets = (replace(parted, pieces=(*parted.pieces, moved), offcuts=()),)
    plan = replace(PLAN, groups=(replace(group, sheets=sheets),))
    (sheet,) = sheet_list(plan).cut
    names = [drawing_name(sheet, blank) for blank in drawn_blanks(sheet)]
    assert names == ["drawings/sheet-01-blank-1.dxf", "drawings/sheet-01-blank-2.dxf"]
    files = drawings_of(plan)
    assert set(files) == {"drawings/readme.txt", "drawings/sheet-01.dxf", *names}
    for name, rect in zip(names, (first, second), strict=True):
        document = read(files[name])
        (outline,) = outlines(document, "BLANK")
        assert box(outline) == pytest.approx((0, 0, rect.length / INCH, rect.width / INCH))
        (lid,) = outlines(document, "PART")
        assert box(lid) == pytest.approx((0.25, 0.25, 22, 20))


def test_a_blank_without_pieces_has_no_drawing() -> None:
    """The second blank of the 14 gauge sheet is kept whole."""
    sheet = sheet_with("LID")
    assert len(blanks_of(sheet)) == 2
    assert [blank.number for blank in drawn_blanks(sheet)] == [1]


def test_sheets_cut_alike_have_one_drawing_which_says_how_many() -> None:
    """Three alike are sheets 1 to 3; the next drawing is that of sheet 4."""
    group = PLAN.groups[1]
    plan = replace(
        PLAN, groups=(replace(group, sheets=(replace(group.sheets[0], times=3), group.sheets[1])),)
    )
    files = drawings_of(plan)
    assert [name for name in files if "blank" not in name] == [
        "drawings/readme.txt",
        "drawings/sheet-01.dxf",
        "drawings/sheet-04.dxf",
    ]
    (note,) = read(files["drawings/sheet-01.dxf"]).modelspace().query('*[layer=="NOTE"]')
    assert "sheet 1–3, 3 alike, sheet 14 ga" in note.plain_text()


def test_a_metric_shop_gets_millimetres() -> None:
    """24 in are 609.6 mm."""
    plan = replace(PLAN, job=replace(PLAN.job, shop=replace(PLAN.job.shop, unit="mm")))
    document = read(sheet_dxf(sheet_with("BP", plan), plan))
    assert document.units == ezdxf.units.MM
    assert PER_INCH / PER_MM == 25.4
    assert box(outlines(document, "SHEET")[0]) == pytest.approx((0, 0, 609.6, 609.6))


def test_a_plan_without_sheets_to_cut_has_no_drawings() -> None:
    """Neither bars nor a sheet that stays whole."""
    assert drawings_of(inch_plan()) == {}
    group = PLAN.groups[0]
    whole = replace(group.sheets[0], pieces=())
    assert drawings_of(replace(PLAN, groups=(replace(group, sheets=(whole,)),))) == {}


def test_the_names_of_drawings_are_known_again() -> None:
    """And nothing else that may lie beside them."""
    assert all(
        is_drawing(name) for name in (*drawings_of(PLAN), "drawings/", "drawings/sheet-120-blank-12.dxf")
    )
    others = ("drawings/sheet-01.tap", "drawings/mine.dxf", "sheet-01.dxf", "drawings/old/", "drawings")
    assert not any(is_drawing(name) for name in others)

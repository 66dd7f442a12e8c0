"""Drawings made by a general drawing library (ezdxf) and read back: areas against closed forms, and each that cannot
be understood refused with its place."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.read.drawing.found import Drawn, read_drawing
from nesting.read.drawing.strands import BadDrawing

Draw = Callable[[Any], None]


def drawn(path: Path, draw: Draw, units: int = 4, version: str = "R2010") -> Path:
    document = ezdxf.new(version)
    document.header["$INSUNITS"] = units
    draw(document.modelspace())
    document.saveas(path)
    return path


def read(tmp_path: Path, draw: Draw, **more: Any) -> Drawn:
    return read_drawing(drawn(tmp_path / "part.dxf", draw, **more), "mm")


def square(space: Any, x: float, y: float, side: float, **how: Any) -> None:
    space.add_lwpolyline([(x, y), (x + side, y), (x + side, y + side), (x, y + side)], close=True, **how)


def test_a_plate_with_holes_has_the_area_of_the_closed_form(tmp_path: Path) -> None:
    def draw(space: Any) -> None:
        square(space, 10, 20, 100)
        space.add_circle((60, 70), 20)
        square(space, 12, 22, 10)

    (part,) = read(tmp_path, draw).outlines
    assert part.area == pytest.approx(10_000 - 400 * math.pi - 100, rel=1e-12)
    assert part.size == pytest.approx((100, 100))
    assert part.pierces == 3


def test_lines_and_arcs_in_any_order_and_direction_are_one_contour(tmp_path: Path) -> None:
    """A slot 40 between centres and 20 wide: 800 + 100 pi."""

    def draw(space: Any) -> None:
        space.add_line((40, 10), (0, 10))
        space.add_arc((0, 0), 10, 90, 270)
        space.add_line((40, -10), (0, -10))
        space.add_arc((40, 0), 10, -90, 90)

    found = read(tmp_path, draw)
    assert found.outlines[0].area == pytest.approx(800 + 100 * math.pi, rel=1e-9)
    assert found.outlines[0].cut_length == pytest.approx(80 + 20 * math.pi, rel=1e-9)
    assert found.repairs == ()


@pytest.mark.parametrize(("units", "mm"), [(1, 25.4), (2, 304.8), (4, 1), (5, 10), (6, 1000), (14, 100)])
def test_the_unit_of_the_file_counts(tmp_path: Path, units: int, mm: float) -> None:
    (part,) = read(tmp_path, lambda space: square(space, 0, 0, 2), units=units).outlines
    assert part.size == pytest.approx((2 * mm, 2 * mm))


def test_a_file_without_a_unit_takes_that_of_the_job_and_says_so(tmp_path: Path) -> None:
    path = drawn(tmp_path / "a.dxf", lambda space: square(space, 0, 0, 2), units=0)
    found = read_drawing(path, "in")
    assert found.outlines[0].size == pytest.approx((50.8, 50.8))
    assert "names no unit and is taken as inches" in found.repairs


@pytest.mark.parametrize("version", ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"])
def test_every_version_reads_alike(tmp_path: Path, version: str) -> None:
    def draw(space: Any) -> None:
        add = space.add_polyline2d if version == "R12" else space.add_lwpolyline
        add(
            [(0, 0, 0, 0, 0), (50, 0, 0, 0, 1), (50, 30, 0, 0, 0), (0, 30, 0, 0, 0)],
            format="xyseb",
            close=True,
        )

    document = ezdxf.new(version)
    document.header["$INSUNITS"] = 4
    draw(document.modelspace())
    path = tmp_path / "v.dxf"
    document.saveas(path)
    (part,) = read_drawing(path, "mm").outlines
    assert part.area == pytest.approx(1500 + math.pi * 225 / 2)


def test_a_binary_file_reads_as_its_text(tmp_path: Path) -> None:
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4
    square(document.modelspace(), 0, 0, 5)
    path = tmp_path / "b.dxf"
    document.saveas(path, fmt="bin")
    assert read_drawing(path, "mm").outlines[0].area == pytest.approx(25)


def test_an_ellipse_and_a_spline_are_followed_closely(tmp_path: Path) -> None:
    def ellipse(space: Any) -> None:
        space.add_ellipse((5, 5), major_axis=(50, 0), ratio=0.4)

    (part,) = read(tmp_path, ellipse).outlines
    assert part.area == pytest.approx(math.pi * 50 * 20, rel=1e-6)
    assert part.size == pytest.approx((100, 40), abs=0.005)

    def spline(space: Any) -> None:
        points = [(100 * math.cos(a), 100 * math.sin(a)) for a in (math.tau * n / 24 for n in range(25))]
        space.add_spline(fit_points=[(x, y, 0) for x, y in points])

    (round_part,) = read(tmp_path, spline).outlines
    assert round_part.area == pytest.approx(math.pi * 10_000, rel=2e-3)


def test_blocks_nested_three_deep_scaled_turned_and_mirrored_keep_their_area(tmp_path: Path) -> None:
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = 4
    inner = document.blocks.new("inner")
    inner.add_lwpolyline([(0, 0, 0), (10, 0, 1), (10, 10, 0), (0, 10, 0)], format="xyb", close=True)
    middle = document.blocks.new("middle")
    middle.add_blockref("inner", (5, 5), dxfattribs={"rotation": 30})
    outer = document.blocks.new("outer")
    outer.add_blockref("middle", (0, 0), dxfattribs={"xscale": -1})
    space = document.modelspace()
    space.add_blockref("outer", (100, 0), dxfattribs={"xscale": 2, "yscale": 2})
    path = tmp_path / "blocks.dxf"
    document.saveas(path)
    (part,) = read_drawing(path, "mm").outlines
    assert part.area == pytest.approx(4 * (100 + 25 * math.pi / 2), rel=1e-9)
    assert part.outer.is_left_turning


def test_several_parts_are_told_apart_and_a_part_in_a_hole_is_one(tmp_path: Path) -> None:
    def draw(space: Any) -> None:
        square(space, 200, 0, 50)
        square(space, 0, 0, 100)
        square(space, 20, 20, 60)
        square(space, 30, 30, 20)
        space.add_circle((40, 40), 5)

    areas = [part.area for part in read(tmp_path, draw).outlines]
    assert areas == pytest.approx([10_000 - 3600, 400 - 25 * math.pi, 2500])


def test_marks_are_kept_apart_from_what_is_cut(tmp_path: Path) -> None:
    def draw(space: Any) -> None:
        square(space, 0, 0, 100)
        space.add_line((10, 50), (90, 50), dxfattribs={"layer": "Scribe"})

    path = drawn(tmp_path / "m.dxf", draw)
    (part,) = read_drawing(path, "mm", mark_layers=frozenset({"scribe"})).outlines
    assert part.marks == (((10, 50), (90, 50)),)
    assert part.area == pytest.approx(10_000)


def test_small_gaps_doubles_and_specks_are_mended_and_told(tmp_path: Path) -> None:
    def draw(space: Any) -> None:
        space.add_line((0, 0), (100, 0))
        space.add_line((100, 0.03), (100, 100))
        space.add_line((100, 100), (0, 100))
        space.add_line((0, 100), (100, 100))
        space.add_line((0, 100), (0, 0))
        space.add_line((50, 50), (50, 50))
        space.add_text("P1")

    found = read(tmp_path, draw)
    assert found.outlines[0].area == pytest.approx(10_000, rel=1e-3)
    assert found.repairs == (
        "1 gap between ends was closed, the widest 0.030 mm",
        "1 line that stood twice was dropped",
        "1 line shorter than 0.05 mm was dropped",
        "1 TEXT passed over: not a line",
    )


def test_an_arc_of_359_degrees_with_the_line_that_closes_it(tmp_path: Path) -> None:
    def draw(space: Any) -> None:
        space.add_arc((0, 0), 10, 0.5, 359.5)
        a = math.radians(0.5)
        space.add_line((10 * math.cos(a), 10 * math.sin(a)), (10 * math.cos(a), -10 * math.sin(a)))

    (part,) = read(tmp_path, draw).outlines
    assert part.area == pytest.approx(100 * math.pi, rel=1e-5)


def open_contour(space: Any) -> None:
    space.add_lwpolyline([(0, 0), (100, 0), (100, 100)])


def bow_tie(space: Any) -> None:
    space.add_lwpolyline([(0, 0), (10, 10), (10, 0), (0, 10), (-5, 5)], close=True)


def crossing(space: Any) -> None:
    square(space, 0, 0, 10)
    square(space, 5, 5, 10)


def touching(space: Any) -> None:
    square(space, 0, 0, 10)
    square(space, 0, 0, 5)


def fork(space: Any) -> None:
    for start, end in (
        ((0, 0), (9, 0)),
        ((9, 0), (9, 9)),
        ((9, 9), (0, 0)),
        ((9, 9), (0, 9)),
        ((0, 9), (0, 0)),
    ):
        space.add_line(start, end)


def steep(space: Any) -> None:
    space.add_line((0, 0, 0), (0, 10, 5))


def far(space: Any) -> None:
    square(space, 1e9, 0, 10)


def flat(space: Any) -> None:
    space.add_lwpolyline([(0, 0), (10, 0)], close=True)


@pytest.mark.parametrize(
    ("draw", "why"),
    [
        (
            open_contour,
            "ends where no other goes on at (0.000, 0.000), (100.000, 100.000) (mm); close the contour",
        ),
        (bow_tie, "crosses or touches itself at (5, 5)"),
        (crossing, "two contours overlap or touch at"),
        (touching, "two contours overlap or touch at"),
        (fork, "meets more than one other at (0.000, 0.000), (9.000, 9.000)"),
        (steep, "not flat: a point lies at z = 5"),
        (far, "1000 km from the origin"),
        (flat, "holds no area"),
        (lambda space: None, "no line to cut"),
        (lambda space: space.add_text("only words"), "no line to cut"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_its_place(tmp_path: Path, draw: Draw, why: str) -> None:
    with pytest.raises(BadDrawing) as refused:
        read(tmp_path, draw)
    assert why in str(refused.value)


def test_a_hundred_thousand_corners_are_read(tmp_path: Path) -> None:
    """Written by hand: the drawing library takes a minute to draw as many."""
    count = 100_000
    angles = (math.tau * n / count for n in range(count))
    points = "".join(f"10\n{1000 * math.cos(a):.9f}\n20\n{1000 * math.sin(a):.9f}\n" for a in angles)
    head = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    line = f"0\nLWPOLYLINE\n5\n2F\n100\nAcDbEntity\n8\n0\n100\nAcDbPolyline\n90\n{count}\n70\n1\n{points}"
    path = tmp_path / "many.dxf"
    path.write_text(f"{head}{line}0\nENDSEC\n0\nEOF\n", encoding="ascii", newline="\n")
    (part,) = read_drawing(path, "mm").outlines
    assert len(part.outer.vertices) == count
    assert part.area == pytest.approx(math.pi * 1e6, rel=1e-6)


@pytest.mark.parametrize(
    "content",
    [b"", b"PK\x03\x04", b"\x00" * 500, b"0\nSECTION\n", b"AutoCAD Binary DXF\r\n\x1a\x00" + b"\x07" * 99],
)
def test_what_is_no_drawing_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "no.dxf"
    path.write_bytes(content)
    with pytest.raises(BadDrawing):
        read_drawing(path, "mm")


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    def draw(space: Any) -> None:
        square(space, 0, 0, 100)
        space.add_circle((50, 50), 20)
        space.add_ellipse((20, 20), (5, 0), 0.5)
        space.add_arc((80, 80), 3, 0, 359.9)

    return drawn(tmp_path_factory.mktemp("sound") / "s.dxf", draw, version="R2000").read_bytes()


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(cut=st.integers(0, 20_000), at=st.integers(0, 20_000), what=st.binary(max_size=6))
def test_a_broken_file_is_read_or_refused(
    tmp_path: Path, sound: bytes, cut: int, at: int, what: bytes
) -> None:
    path = tmp_path / "broken.dxf"
    broken = sound[: len(sound) - cut % len(sound)]
    at %= len(broken)
    path.write_bytes(broken[:at] + what + broken[at + len(what) :])
    try:
        found = read_drawing(path, "mm")
    except BadDrawing as refused:
        message = str(refused)
    else:
        message = " ".join(found.repairs) or "sound"
        assert all(part.area > 0 for part in found.outlines)
    assert message

"""Shapes in words: areas and extents against closed forms, and what is refused."""

from __future__ import annotations

import math
from contextlib import suppress

import pytest
from shapely.geometry import Polygon

from nesting.outline.contour import Contour
from nesting.outline.flatten import flattened
from nesting.outline.grammar import SHAPES, BadShape, parse_shape

INCH = 25.4


@pytest.mark.parametrize(
    ("text", "area", "size"),
    [
        ("rectangle 8 x 6", 48, (8, 6)),
        ("rectangle 8 x 6 radius 1/2", 48 - (4 - math.pi) / 4, (8, 6)),
        ("rectangle 8 x 6 chamfer 1", 46, (8, 6)),
        ("rectangle 6 x 6 radius 3", math.pi * 9, (6, 6)),
        ("disc od 6", math.pi * 9, (6, 6)),
        ("ring od 6 id 3", math.pi * (9 - 2.25), (6, 6)),
        ("gusset 6 x 4", 12, (6, 4)),
        ("gusset 6 x 4 clip 1", 11.5, (6, 4)),
        ("gusset 6 x 4 clip 1 nose 1/2", 13.875, (6, 4)),
        ("isosceles base 8 height 6", 24, (8, 6)),
        ("isosceles base 8 height 6 clip 2", 22.5, (8, 4.5)),
        ("trapezoid base 8 top 5 height 4", 26, (8, 4)),
        ("trapezoid base 5 top 8 height 4", 26, (8, 4)),
        ("L 6 x 4 leg 1", 9, (6, 4)),
        ("T 6 x 5 leg 1", 10, (6, 5)),
        ("U 6 x 5 leg 1", 14, (6, 5)),
        ("slot 6 x 1", 5 + math.pi / 4, (6, 1)),
        ("base plate 10 x 8 holes 4 dia 1 at 7 x 5", 80 - math.pi, (10, 8)),
        ("base plate 10 x 8 holes 3 x 2 dia 1 at 7 x 5", 80 - 1.5 * math.pi, (10, 8)),
        ("base plate 10 x 8 holes 2 dia 1 at 7", 80 - math.pi / 2, (10, 8)),
        ("flange od 11 id 6 bolts 8 dia 1 on 9", math.pi * (121 - 36 - 8) / 4, (11, 11)),
    ],
)
def test_area_and_extent_are_those_of_the_closed_forms(
    text: str, area: float, size: tuple[float, float]
) -> None:
    """gusset with blunt ends: the corners (1, 0) (6, 0) (6, 0.5) (0.5, 4) (0, 4) (0, 1), by the surveyor's formula."""
    shape = parse_shape(text)
    assert shape.area / INCH**2 == pytest.approx(area, rel=1e-12)
    assert [side / INCH for side in shape.size] == pytest.approx(size, rel=1e-12)


@pytest.mark.parametrize("name", SHAPES)
def test_every_example_is_a_sound_outline_with_its_holes_apart_and_inside(name: str) -> None:
    shape = parse_shape(SHAPES[name].example)

    def solid(contour: Contour) -> Polygon:
        return Polygon(flattened(contour, 0.001))

    outer, holes = solid(shape.outer), [solid(hole) for hole in shape.holes]
    assert outer.is_valid
    assert shape.outer.bounds[:2] == pytest.approx((0, 0), abs=1e-9)
    assert all(outer.contains_properly(hole) for hole in holes)
    assert not any(a.intersects(b) for n, a in enumerate(holes) for b in holes[:n])


def test_bare_numbers_take_the_unit_of_the_job_and_order_does_not_matter() -> None:
    assert parse_shape("ring id 80 od 160", "mm") == parse_shape("RING od 160 mm id 8 cm", "in")
    assert parse_shape("slot 6 × 1") == parse_shape("obround 6 x 1")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("rng od 6 id 3", "did you mean ring?"),
        ("", "it may be rectangle, base plate"),
        ("ring od 6", "a ring needs id; write for example ring od 6 id 3"),
        ("gusset clip 1", "needs its size as length x width"),
        ("ring od 6 id 6", 'id 6" must be less than od, 6"'),
        ("ring od 6 od 7 id 3", "od stands twice"),
        ("ring 6 od 3 id 2", "without a word"),
        ("ring od 6 id", "id: "),
        ("ring od 0 id 3", "od must be above zero"),
        ("ring od 1/3 id 1/4", "od: "),
        ("rectangle 6 x 4 x 3", "takes two lengths, as 8 x 6, not '6 x 4 x 3'"),
        ("rectangle 6 x 4 radius 3", "half of the shorter side"),
        ("rectangle 6 x 4 radius 1 chamfer 1", "not both"),
        ("rectangle 6 x 4 holes 2 dia 1", "holes go with dia and at"),
        (
            "base plate 10 x 8 holes 4 dia 3/4 at 9 1/2 x 5",
            'must be less than the length less a hole, 9 1/4"',
        ),
        ("base plate 10 x 8 holes 9 x 1 dia 1 at 8", "run into each other along the length"),
        ("base plate 10 x 8 holes 3 dia 1 at 8 x 2", "one row of holes"),
        ("base plate 10 x 8 holes many dia 1 at 8", "a whole number from 1 to 1000, not 'many'"),
        ("flange od 11 bolts 40 dia 1 on 9", "run into each other"),
        ("flange od 11 id 8 bolts 8 dia 1 on 9", "must be more than id and a hole"),
        ("flange od 11 bolts 8 dia 1 on 10", "less than od less a hole"),
        ("gusset 6 x 4 clip 3 nose 1", "less than the shorter leg"),
        ("isosceles base 8 height 6 clip 8", "less than base"),
        ("U 6 x 5 leg 3", "the room along the length"),
        ("L 6 x 5 leg 5", "the width"),
        ("slot 1 x 6", "not more than its length"),
    ],
)
def test_a_shape_that_cannot_be_is_refused_with_the_reason(text: str, why: str) -> None:
    with pytest.raises(BadShape) as refused:
        parse_shape(text)
    assert why in str(refused.value)
    assert repr(text) in str(refused.value)


@pytest.mark.parametrize("name", SHAPES)
def test_an_example_without_one_of_its_words_is_a_shape_or_refused(name: str) -> None:
    words = SHAPES[name].example.split()
    for n in range(len(words)):
        shorter = " ".join(words[:n] + words[n + 1 :])
        with suppress(BadShape):
            assert parse_shape(shorter).area > 0

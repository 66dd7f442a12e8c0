"""Weight, surface, symmetry, cautions, and which source fits which part."""

from __future__ import annotations

import math

import pytest

from stock.length import PER_INCH, PER_MM, to_mm
from stock.material import fits, nearly_fits, parse_material


def inch(text, **kind):
    return parse_material(text, unit="in", **kind)


def mm(text, **kind):
    return parse_material(text, unit="mm", **kind)


def test_a_blank_grade_or_finish_of_a_part_takes_any():
    """A blank on the source does not satisfy a part that asks."""
    blank, a500 = inch("tube 2 x 2 x 1/8"), inch("tube 2 x 2 x 1/8", grade="A500")
    assert fits(blank, a500)
    assert not fits(a500, blank)
    galvanised = inch("tube 2 x 2 x 1/8", finish="galv")
    assert fits(blank, galvanised)
    assert not fits(galvanised, blank)


def test_another_family_or_corner_rule_does_not_fit():
    """Stainless is not carbon steel; mechanical is not structural."""
    tube = inch("tube 2 x 2 x 1/8")
    assert not fits(tube, inch("stainless tube 2 x 2 x 1/8"))
    assert not fits(tube, inch("tube 2 x 2 x 0.125"))


@pytest.mark.parametrize(
    ("other", "is_near"),
    [
        ("tube 2 x 2 x 0.125", True),
        ("tube 2 x 2 x 0.120", True),
        ("tube 2 x 2 x 3/16", False),
        ("tube 2 x 2 x 1/8", False),
        ("angle 2 x 2 x 1/8", False),
        ("stainless tube 2 x 2 x 1/8", False),
        ("tube 50 x 50 x 3 mm", False),
        ("tube 50 x 50 x 3.1 mm", True),
    ],
)
def test_near_means_same_shape_and_family_within_five_percent(other, is_near):
    """Near is offered to the user, never taken; what fits is not merely near."""
    assert nearly_fits(inch("tube 2 x 2 x 1/8"), inch(other)) is is_near


@pytest.mark.parametrize(
    ("text", "turns"),
    [
        ("tube 2 x 2 x 1/8", {"about length", "about wide", "about narrow", "quarter"}),
        ("tube 2 x 1 x 1/8", {"about length", "about wide", "about narrow"}),
        ("flat 1/4 x 2", {"about length", "about wide", "about narrow"}),
        ("round 1", {"about length", "about wide", "about narrow", "quarter"}),
        ("hexagon 1", {"about length", "about wide", "about narrow"}),
        ("C3x4.1", {"about wide"}),
        ("angle 2 x 2 x 1/8", set()),
    ],
)
def test_turns_that_map_a_section_onto_itself(text, turns):
    """Symmetry of the section (geometry, exact)."""
    assert inch(text).turns == turns


def test_depth_of_a_mitre_is_the_face_that_shows_it():
    """Wide is the larger outside face; a hexagon counts its corners, never less."""
    flat = inch("flat 3/8 x 8")
    assert (flat.depth("wide"), flat.depth("narrow")) == (8 * PER_INCH, 3 * PER_INCH // 8)
    tube = inch("tube 2 x 1 x 1/8")
    assert (tube.depth("wide"), tube.depth("narrow"), tube.largest_side) == (
        2 * PER_INCH,
        PER_INCH,
        2 * PER_INCH,
    )
    assert inch("round 1").depth("narrow") == PER_INCH
    corners = inch("hexagon 1").depth("wide")
    assert 0 <= corners - PER_INCH * 2 / math.sqrt(3) <= 1.0


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("square 20", 400.0),
        ("round 20", math.pi * 100),
        ("flat 50 x 6", 300.0),
        ("hexagon 20", 2 * math.sqrt(3) * 100),
        ("channel 100 x 50 x 5", 950.0),
        ("aluminium tube 40 x 40 x 3", 444.0),
        ("angle 55 x 55 x 5", 525.0),
    ],
)
def test_plain_sections_have_the_area_of_their_outline(text, expected):
    """Square millimetres by elementary geometry."""
    assert mm(text).area_mm2 == pytest.approx(expected)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("square 20", 80.0),
        ("round 20", math.pi * 20),
        ("flat 50 x 6", 112.0),
        ("hexagon 20", 40 * math.sqrt(3)),
        ("aluminium tube 40 x 20 x 3", 120.0),
        ("channel 100 x 50 x 5", 390.0),
        ("angle 55 x 55 x 5", 220.0),
    ],
)
def test_plain_sections_have_the_girth_of_their_outline(text, expected):
    """Millimetres around, by elementary geometry: per metre of bar as many square millimetres times 1000."""
    assert mm(text).surface_m2(1000 * PER_MM) == pytest.approx(expected / 1000)


def test_a_rounded_tube_has_less_metal_and_less_surface_than_a_sharp_one():
    """Every rule lies below sharp corners and above the inscribed tube with the same walls."""
    for text in (
        "tube 60 x 40 x 3",
        "tube 60 x 40 x 3 hot finished",
        "tube 150 x 100 x 8",
        "tube 200 x 200 x 12",
    ):
        tube = mm(text)
        side, other, wall = (to_mm(size) for size in tube.sizes)
        sharp = 2 * wall * (side + other - 2 * wall)
        assert 0.85 * sharp < tube.area_mm2 < sharp
        assert tube.section.girth_mm < 2 * (side + other)


def test_plates_weigh_by_area_and_are_painted_all_round():
    """1 m x 2 m of 10 mm steel: 157 kg, both faces 4 m2, edges 0.06 m2."""
    plate = mm("plate 10")
    assert plate.is_plate
    assert plate.weight_kg(2000 * PER_MM, 1000 * PER_MM) == pytest.approx(157.0)
    assert plate.surface_m2(2000 * PER_MM, 1000 * PER_MM) == pytest.approx(4.06)


@pytest.mark.parametrize("what", ["area_mm2", "kg_per_m"])
def test_a_plate_has_no_weight_per_length(what):
    """Asking is a mistake of the caller."""
    with pytest.raises(ValueError, match="plate"):
        getattr(mm("plate 10"), what)


def test_plates_need_a_width_and_bars_have_no_weight_per_area():
    """Asking is a mistake of the caller."""
    with pytest.raises(ValueError, match="need a width"):
        mm("plate 10").weight_kg(1000 * PER_MM)
    with pytest.raises(ValueError, match="is a bar"):
        assert mm("round 10").kg_per_m2


def test_an_aluminium_channel_of_the_table_weighs_by_its_density():
    """The nominal weight is of steel (7850 kg/m3)."""
    steel, alloy = inch("C3x4.1"), inch("C3x4.1", grade="6061")
    assert alloy.kg_per_m / steel.kg_per_m == pytest.approx(2700 / 7850)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("galvanised sheet 16 ga", "zinc oxide fume"),
        ("stainless flat 1/4 x 2", "hexavalent chromium"),
        ("aluminium round 1", "hydrogen"),
        ("hot-rolled flat 1/4 x 2", "mill scale"),
    ],
)
def test_materials_carry_their_cautions(text, word):
    """Each names the danger; plain steel carries none of its own."""
    assert any(word in sentence for sentence in inch(text).cautions)
    assert not inch("flat 1/4 x 2").cautions


@pytest.mark.parametrize(
    ("text", "phrase"),
    [
        ("tube 2 x 2 x 1/8", "structural tube (HSS), nominal wall"),
        ("tube 2 x 2 x 14 ga", "mechanical tube, sharp corners"),
        ("tube 40 x 40 x 3 mm", "EN 10219"),
        ("tube 40 x 40 x 3 mm hot", "EN 10210"),
        ("round tube 2 x 1/8", "structural round tube"),
        ("CHS 48.3 x 3 mm", "round hollow section"),
        ("angle 55 x 55 x 5 mm", "not in the EN 10056 table"),
        ("angle 50 x 50 x 5 mm", "root and toe radii"),
        ("pipe 2 sch 40", "ASME B36"),
        ("C3x4.1", "weight as in its name"),
        ("channel 2 x 1 x 1/8", "one thickness"),
        ("sheet 16 ga", "0.0598 in by its gauge"),
        ("plate 3/8", "as written"),
        ("round 1", "solid"),
    ],
)
def test_the_rules_taken_are_said_in_one_phrase(text, phrase):
    """What a designation leaves open is shown, not hidden."""
    assert phrase in inch(text).taken

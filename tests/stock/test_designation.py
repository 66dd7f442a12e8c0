"""Ways of writing a section meet in one canonical designation; what may mean two things is refused."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.errors import BadMaterial
from stock.grade import Family
from stock.length import PER_INCH, PER_MM
from stock.material import parse_material
from stock.section import Shape
from stock.standard import table

MEET = [
    (
        "in",
        "tube 2 x 2 x 1/8",
        [
            "2x2x1/8 tube",
            'sq tube 2" x 2" x 1/8"',
            "HSS2X2X1/8",
            "tube 2 × 2 × ⅛",
            "HSS 2 x 2 x .125",
            "structural tube 2 x 2 x 0.125",
            "tube, square, 2 x 2 x 1/8",
            "square tube 2 x 1/8",
            "2x2 tube 1/8 wall",
            "steel tube 2 by 2 by 1/8",
            "tube 2 in x 2 in x 1/8 in",
            "tube 2 x 2 x 1/8 in",
        ],
    ),
    ("in", "tube 2 x 2 x 0.125", ["TUBE 2 X 2 X .125", "mechanical tube 2x2x1/8", "DOM tube 2 x 2 x 0.1250"]),
    (
        "in",
        "tube 2 x 1 x 0.083",
        ["tube 1 x 2 x 14 ga", "rect tube 2x1x14ga", "tube 2 x 1 x 14 gauge", "tube 2x1x14 bwg"],
    ),
    ("in", "tube 1 1/2 x 1 1/2 x 0.12", ["tube 1-1/2 x 1½ x 11ga", "sq tube 1.5 x 1.5 x .120"]),
    ("in", "round tube 2 x 1/8", ["tube 2 x 1/8", 'round tube 2" OD x 1/8" wall', "HSS 2.000 x 1/8"]),
    ("in", "round tube 2 x 0.12", ["DOM tube 2 x .120", "tube 2 od x .120 wall"]),
    (
        "in",
        "pipe 2 sch 40",
        ["2 in sch 40 pipe", "pipe 2 std", "pipe DN50 sch 40", "Pipe 2 SCH. 40", "nps 2 sch 40"],
    ),
    ("in", "pipe 1-1/2 sch 80", ["pipe 1 1/2 xs", "pipe 1.5 schedule 80"]),
    ("in", "angle 3 x 2 x 3/16", ["L3x2x3/16", "angle 2 x 3 x 3/16", "L 3 x 2 x .1875"]),
    ("in", "angle 2 x 2 x 1/8", ["angle iron 2 x 1/8", "2 x 2 x 1/8 angle", "equal angle 2x2x1/8"]),
    ("in", "C3x4.1", ["channel 3 x 4.1", "C 3 x 4.1", "c3X4.1"]),
    ("in", "flat 1/4 x 2", ["flat 2 x 1/4", 'flat bar 1/4" x 2"', "bar 1/4 x 2", "FB 2x1/4"]),
    ("in", "round 3/4", ["rod 3/4", "round bar .75", "3/4 round", "RB3/4", "rd 3/4"]),
    ("in", "square 1", ["sq bar 1", "bar 1 x 1", "square 1 x 1", '1" square bar']),
    ("in", "hexagon 3/4", ["hex3/4", "hex bar 3/4", "hexagon 3/4 a/f"]),
    ("in", "plate 3/8", ["PL3/8", "3/8 plate", "plate 0.375", '3/8" sheet']),
    ("in", "sheet 16 ga", ["16 ga sheet", "sheet 0.0598", "16 gauge sheet steel", "sheet #16 ga"]),
    ("in", "stainless sheet 1/16", ["16 ga stainless sheet", "ss sheet 16ga", "stainless sheet .0625"]),
    ("in", "aluminium sheet 0.0508", ["aluminum sheet 16 ga", "alu sheet 16 awg"]),
    ("in", "tube 40 x 40 x 3 mm", ["SHS 40x40x3 mm", "tube 40mm x 40mm x 3mm"]),
    (
        "mm",
        "tube 40 x 40 x 3",
        [
            "SHS 40x40x3",
            "SHS 40 x 3",
            "tube 4 cm x 4 cm x 3 mm",
            "HSS 40 x 40 x 3",
            "cold formed tube 40x40x3",
        ],
    ),
    ("mm", "tube 50 x 50 x 5 hot finished", ["SHS50x50x5 hot finished", "hot SHS 50x50x5"]),
    ("mm", "tube 100 x 50 x 5", ["RHS 50x100x5", "rectangular tube 100 x 50 x 5.0"]),
    ("mm", "round tube 48.3 x 3", ["CHS 48.3 x 3", "ø48.3 x 3 tube"]),
    ("mm", "angle 50 x 50 x 5", ["L50x50x5", "EA 50 x 5"]),
    ("mm", "UPN 100", ["UNP100", "channel UPN 100"]),
    ("mm", "PFC 100 x 50 x 10", ["PFC 100x50x10", "PFC 100 x 50"]),
    ("mm", "flat 50 x 6", ["FB50x6", "flat 6 x 50"]),
    ("mm", "round 12", ["ø12", "round bar 12 mm", "12mm rod"]),
    ("mm", "tube 2 x 2 x 1/8 in", ['tube 2" x 2" x 1/8"', "HSS 2 x 2 x 1/8 in"]),
    ("mm", "sheet 2", ["sheet 2 mm", "plate 2.0"]),
]
WRITINGS = [(unit, canonical, text) for unit, canonical, texts in MEET for text in [canonical, *texts]]


@pytest.mark.parametrize(("unit", "canonical", "text"), WRITINGS)
def test_ways_of_writing_a_section_meet_in_one_designation(unit, canonical, text):
    """Same text and equal material, and the canonical text reads as itself."""
    material = parse_material(text, unit=unit)
    assert material.designation == canonical
    assert material == parse_material(canonical, unit=unit)


@pytest.mark.parametrize(
    ("text", "unit", "says"),
    [
        ("", "in", "a material is missing"),
        ("16 ga", "in", "0.0598 in as steel sheet.*0.0635 in.*0.0625 in.*0.0508 in.*0.0650 in as tube wall"),
        ("aluminium tube 2 x 2 x 16 ga", "in", "no settled system"),
        ("tube 2 x 2 x 16 swg", "in", "no settled system"),
        ("flat 16 ga x 2", "in", "a gauge can only be the last size"),
        ("sheet 99 ga", "in", "not in the MSG table"),
        ("tube 2 x 2 x 1/8 16 ga", "in", "is not a length"),
        ("2 16 ga", "in", "the shape is missing"),
        ("×angle", "in", "is not known in a material"),
        ("tube 40 x 40 x 16 ga", "mm", "a gauge goes with inch sizes"),
        ("flat 2 in x 50 mm", "in", "inches and millimetres are mixed"),
        ("4 x 4 cm flat", "mm", "only some sizes have a unit"),
        ("SHS 40 x 40 x 3", "in", "metric names"),
        ("HSS2X2X1/8", "mm", "a fraction counts inches"),
        ("mechanical tube 40 x 40 x 3", "mm", "does not go together"),
        ("mechanical structural tube 2 x 2 x 1/8", "in", "does not go together"),
        ("tube 1/8 x 2 x 2", "in", "the wall, which stands last"),
        ("tube 2", "in", "two sides and a wall"),
        ("square tube 3 x 2 x 1/8", "in", "two equal sides"),
        ("square 1 x 2", "in", "two equal sides"),
        ("angle 2 x 2 x 2", "in", "less than its smaller leg"),
        ("channel 2 x 1 x 1", "in", "less than its flange"),
        ("plate 3/8 x 48 x 96", "in", "length and width in their own columns"),
        ("plate 20", "in", "at most 300 mm thick"),
        ("round 0", "in", "above zero"),
        ("round 1,250", "in", "write 1250 or 1.250"),
        ("round 1/3", "in", "is not exact"),
        ("round plate 3/8", "in", "do not go together"),
        ("pipe 2 x 0.154", "in", "nominal size and schedule"),
        ("pipe 9 sch 40", "in", "no pipe of nominal size 9"),
        ("pipe 2", "in", "the schedule is missing; write one of 10S, 40"),
        ("stainless A36 plate 1", "in", "carbon steel and stainless"),
        ("galvanised aluminium sheet 1/8", "in", "only carbon steel is galvanised"),
        ("galvanised hot-rolled sheet 1/8", "in", "galvanised and hot-rolled"),
    ],
)
def test_what_is_unclear_or_impossible_is_refused_in_one_sentence(text, unit, says):
    """The sentence says what it may mean or what to write."""
    with pytest.raises(BadMaterial, match=says) as caught:
        parse_material(text, unit=unit)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("text", "unit", "near"),
    [
        ("tub 2 x 2 x 1/8", "in", "tube 2 x 2 x 1/8"),
        ("angel 2 x 2 x 1/8", "in", "angle 2 x 2 x 1/8"),
        ("2 x 2 x 1/8", "in", "tube 2 x 2 x 1/8"),
        ("bar 3/4", "in", "round 3/4"),
        ("pipe 2", "in", "pipe 2 sch 40"),
        ("channel 80", "mm", "UPN 80"),
        ("C3x4.2", "in", "C3x4.1"),
    ],
)
def test_an_unknown_section_is_answered_with_near_ones(text, unit, near):
    """The near designation can be read."""
    with pytest.raises(BadMaterial) as caught:
        parse_material(text, unit=unit)
    assert near in caught.value.near
    assert parse_material(near, unit=unit)


@pytest.mark.parametrize(
    ("text", "family", "grade", "finish"),
    [
        ("304 round 3/4", Family.STAINLESS, "304", ""),
        ("round 3/4 304L", Family.STAINLESS, "304L", ""),
        ("flat 304 mm x 10 mm", Family.CARBON, "", ""),
        ("1.4404 round 1", Family.STAINLESS, "316L", ""),
        ("6061-T6 tube 2 x 2 x 1/8", Family.ALUMINIUM, "6061-T6", ""),
        ("A36 plate 1/2", Family.CARBON, "A36", ""),
        ("plate 1/2 S235JR", Family.CARBON, "S235JR", ""),
        ("1018 cold rolled round 1 1/4", Family.CARBON, "1018", "cold-rolled"),
        ("HRPO sheet 11 ga", Family.CARBON, "", "pickled"),
        ("stainless tube 2 x 2 x 1/8", Family.STAINLESS, "", ""),
    ],
)
def test_family_grade_and_finish_may_stand_in_the_designation(text, family, grade, finish):
    """A number beside sizes is a grade only if it is one."""
    material = parse_material(text, unit="in")
    assert (material.family, material.grade, material.finish) == (family, grade, finish)


def test_grade_and_finish_columns_must_agree_with_the_designation():
    """The same twice is fine, two different ones are refused, and an unknown grade needs its family."""
    assert parse_material("304 flat 1/4 x 2", unit="in", grade="Type 304").grade == "304"
    with pytest.raises(BadMaterial, match="304 and 316"):
        parse_material("304 flat 1/4 x 2", unit="in", grade="316")
    with pytest.raises(BadMaterial, match="not known; write steel"):
        parse_material("flat 1/4 x 2", unit="in", grade="Moonmetal 7")
    assert parse_material("steel flat 1/4 x 2", unit="in", grade="Moonmetal 7").grade == "MOONMETAL 7"
    with pytest.raises(BadMaterial, match="not a known finish"):
        parse_material("flat 1/4 x 2", unit="in", finish="sparkly")


def test_a_decimal_comma_counts_in_designations_too():
    """Read and printed with the job's own mark."""
    assert parse_material("CHS 48,3 x 3", unit="mm", decimal=",").designation == "round tube 48,3 x 3"
    assert parse_material("C3x4,1", unit="mm", decimal=",").designation == "C3x4,1"


def test_every_channel_and_pipe_of_the_tables_can_be_named():
    """Channels by their name, pipe by nominal size and schedule."""
    for row in table("channels"):
        material = parse_material(row["name"], unit="mm")
        assert (material.designation, material.shape) == (row["name"], Shape.CHANNEL)
    for row in table("pipes"):
        material = parse_material(f"pipe {row['nps']} sch {row['schedule']}", unit="in")
        assert material.sizes[1] == round(float(row["wall_in"]) * PER_INCH)


SIZE = st.integers(16, 6 * 64).map(lambda n: n * PER_INCH // 64)


@given(
    st.sampled_from(
        ["tube", "square tube", "round tube", "angle", "flat", "round", "hexagon", "channel", "plate"]
    ),
    st.lists(st.integers(10, 400).map(lambda n: f"{n / 10:g}"), min_size=1, max_size=3),
    st.sampled_from(["in", "mm"]),
    st.sampled_from(["", "stainless ", "aluminium ", "hot ", "structural ", "galvanised "]),
)
def test_a_canonical_designation_reads_as_itself(word, sizes, unit, before):
    """Whatever can be read reads the same from its own designation, grade and finish."""
    try:
        material = parse_material(f"{before}{word} {' x '.join(sizes)}", unit=unit)
    except BadMaterial:
        return
    again = parse_material(material.designation, unit=unit, grade=material.grade, finish=material.finish)
    assert again == material
    assert again.designation == material.designation


@given(st.text(max_size=25) | st.text(alphabet="0123456789 x/.\"'-gatubeplchnmi,", max_size=25))
def test_any_text_is_a_material_or_a_sentence(text):
    """Nothing but BadMaterial is ever raised."""
    with suppress(BadMaterial):
        assert parse_material(text, unit="in").designation


def test_inch_and_metric_sizes_of_the_same_bar_are_equal():
    """flat 50.8 x 6.35 mm is flat 1/4 x 2."""
    metric = parse_material("flat 50.8 x 6.35 mm", unit="in")
    assert metric == parse_material("flat 1/4 x 2", unit="in")
    assert metric.sizes == (508 * PER_MM // 10, PER_INCH // 4)

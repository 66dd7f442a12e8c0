"""Lengths are exact in and out, and what cannot be exact is refused or marked."""

from __future__ import annotations

from contextlib import suppress
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.errors import BadLength
from stock.length import (
    LONGEST,
    PER_INCH,
    PER_MM,
    exact_decimal,
    length_from_number,
    parse_length,
    read_length,
    show_length,
    to_inches,
    to_mm,
)

INCH, MM = PER_INCH, PER_MM
LENGTHS = st.integers(0, LONGEST - PER_INCH)  # a rounded one must not pass the limit


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("5' 3-1/2\"", "63.5"),
        ("5'-3 1/2", "63.5"),
        ("5' - 3 1/2 in", "63.5"),
        ("5’ 3½”", "63.5"),
        ("5′3½″", "63.5"),
        ("5' 3 1/2''", "63.5"),
        ("5ft 3 1/2in", "63.5"),
        ("63.5 in", "63.5"),
        ("63 1/2", "63.5"),
        ('63-1/2"', "63.5"),
        ("63½", "63.5"),
        ("“", None),
        ('3 5/16"', "3.3125"),
        ("1/2", "0.5"),
        ("3⁄8", "0.375"),
        ("⅛", "0.125"),
        (".5", "0.5"),
        ("12'", "144"),
        ("6 ft", "72"),
        ("6ft 3in", "75"),
        ("5.5 feet", "66"),
        ("0", "0"),
        (" 7\u00a01/4 ", "7.25"),
    ],
)
def test_inch_writings_of_the_trade_are_read_exactly(text, inches):
    """Feet, inches, fractions, typographic signs: all the same number of ticks; a lone quote mark is none."""
    if inches is None:
        with pytest.raises(BadLength, match="is not a length"):
            parse_length(text)
    else:
        assert parse_length(text, "in") == Fraction(inches) * INCH


@pytest.mark.parametrize(
    ("text", "mm"),
    [("400 mm", "400"), ("40 cm", "400"), ("1.25 m", "1250"), ("0.1mm", "0.1"), ("2 metres", "2000")],
)
def test_metric_units_are_read_in_any_job(text, mm):
    """A unit in the text beats the job's own."""
    assert parse_length(text, "in") == parse_length(text, "mm") == Fraction(mm) * MM


def test_bare_numbers_take_the_unit_of_the_job():
    """63 is 63 in or 63 mm."""
    assert parse_length("63", "in") == 63 * INCH
    assert parse_length("63", "mm") == 63 * MM


def test_a_decimal_comma_is_read_when_the_job_has_one():
    """1,25 m with a comma job; 1,250 is then 1.25."""
    assert parse_length("1,25 m", "mm", ",") == 1250 * MM
    assert parse_length("1,250", "mm", ",") == Fraction(5, 4) * MM


@pytest.mark.parametrize(
    ("text", "decimal", "says"),
    [
        ("1,250", ".", "write 1250 or 1.250"),
        ("1.250", ",", "write 1250 or 1,250"),
        ("63,5", ".", "write 63.5"),
        ("1.250,5", ",", "without thousands marks"),
        ("1,250.5", ".", "without thousands marks"),
        ("1.2.3", ".", "more than one decimal mark"),
    ],
)
def test_a_number_that_may_mean_two_things_is_refused_with_what_to_write(text, decimal, says):
    """Thousands marks and the wrong decimal mark are not guessed at."""
    with pytest.raises(BadLength, match=says):
        parse_length(text, "mm", decimal)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is missing"),
        ("-3", "below zero"),
        ("nan", "is not a length"),
        ("inf", "is not a length"),
        ("1e5", "is not a length"),
        ("12 stone", "is not a length"),
        ("2000 m", "longer than 1 km"),
        ("9" * 500, "is not a length"),
        ("1/0", "divides by zero"),
        ("63 3/2", "fraction below 1"),
        ("63.5 1/2", "fraction below 1"),
        ("5' 13", "less than 12 inches"),
        ("5.5' 3", "whole feet"),
        ("5' 400 mm", "is not a length"),
        ("٣", "is not a length"),
    ],
)
def test_what_is_no_length_is_refused_in_one_sentence(text, says):
    """The message says what is allowed."""
    with pytest.raises(BadLength, match=says) as caught:
        parse_length(text)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 250


@pytest.mark.parametrize(
    ("text", "below", "above"),
    [
        ("1/3", "8.4666665625 mm", "8.466666875 mm"),
        ("0.00000001 mm", "0 mm", "0.0000003125 mm"),
        ("1/3 m", "333.333333125 mm", "333.3333334375 mm"),
    ],
)
def test_a_value_between_two_ticks_is_refused_naming_both(text, below, above):
    """Neither is taken silently, and either may be written instead."""
    with pytest.raises(BadLength) as caught:
        parse_length(text)
    assert f"write {below} or {above}" in str(caught.value)
    assert parse_length(above) - parse_length(below) == 1


@pytest.mark.parametrize(
    ("value", "inches"), [(63.5, "63.5"), (0.1 + 0.2, "0.3"), (7, "7"), (Decimal("0.25"), "0.25")]
)
def test_numeric_cells_are_taken_at_fifteen_digits(value, inches):
    """The noise of binary floats does not become a length."""
    assert length_from_number(value, "in") == Fraction(inches) * INCH


@pytest.mark.parametrize("value", [-1, float("nan"), float("inf"), True, 1 / 3, 1e300, Decimal("1e400")])
def test_numeric_cells_that_are_no_length_are_refused(value):
    """Below zero, endless, off the grid or absurd."""
    with pytest.raises(BadLength):
        length_from_number(value, "in")


@pytest.mark.parametrize(
    ("ticks", "options", "shown"),
    [
        (INCH // 10, {}, '~3/32"'),
        (INCH // 10, {"denominator": 64}, '~3/32"'),
        (127 * INCH // 2, {"feet": True}, "5' 3 1/2\""),
        (12 * INCH, {"feet": True}, "1' 0\""),
        (12 * INCH - 1, {"feet": True}, "~1' 0\""),
        (INCH // 64, {"denominator": 32}, '~1/32"'),
        (-INCH // 2, {}, '-1/2"'),
        (0, {}, '0"'),
        (16129 * MM // 10, {"unit": "mm"}, "1612.9 mm"),
        (1, {"unit": "mm"}, "~0 mm"),
    ],
)
def test_a_printed_length_says_when_it_is_rounded(ticks, options, shown):
    """ "~" stands in front of every rounded value and of no exact one."""
    assert show_length(ticks, **options) == shown


@given(LENGTHS, st.sampled_from(["in", "mm"]), st.sampled_from([1, 2, 8, 16, 32, 64, 128]), st.booleans())
def test_what_is_printed_as_exact_reads_back_the_same(ticks, unit, denominator, feet):
    """Without "~" the text is the value; with it the value is off by at most half a step."""
    shown = show_length(ticks, unit, denominator, feet)
    back = parse_length(shown.removeprefix("~"), unit)
    step = Fraction(INCH, denominator) if unit == "in" else Fraction(MM, 1000)
    assert (back == ticks) is not shown.startswith("~")
    assert 2 * abs(back - ticks) <= step


@given(st.integers(0, 64 * 39000), st.booleans())
def test_fractions_of_an_inch_print_exactly(sixtyfourths, feet):
    """Every 64th prints without "~" and reads back."""
    ticks = sixtyfourths * INCH // 64
    shown = show_length(ticks, "in", 64, feet)
    assert not shown.startswith("~")
    assert parse_length(shown) == ticks


@given(LENGTHS)
def test_an_exact_decimal_is_the_length(ticks):
    """Millimetres always have one; inches have one only when it ends."""
    assert Fraction(exact_decimal(ticks, "mm")) * MM == ticks
    inches = exact_decimal(ticks, "in")
    assert (inches is None) is (ticks % 127 != 0)
    if inches is not None:
        assert Fraction(inches) * INCH == ticks


@given(st.integers(0, 10**7))
def test_inches_and_millimetres_convert_exactly(ten_thousandths):
    """0.0001 in is 0.00254 mm, to the tick."""
    assert parse_length(f"{Decimal(ten_thousandths).scaleb(-4):f} in") == parse_length(
        f"{ten_thousandths * Decimal('0.00254'):f} mm"
    )


@given(st.text(max_size=30))
def test_any_text_is_a_length_or_a_sentence(text):
    """Nothing else is ever raised."""
    with suppress(BadLength):
        assert parse_length(text) >= 0


def test_how_a_length_was_written_is_kept():
    """Unit system, unit and decimal mark."""
    written = read_length("0.125", "in")
    assert (written.system, written.has_unit, written.is_decimal) == ("in", False, True)
    written = read_length("5' 3-1/2", "mm")
    assert (written.system, written.has_unit, written.is_decimal) == ("in", True, False)


def test_floats_for_drawings():
    """An inch is 25.4 mm."""
    assert to_mm(INCH) == 25.4
    assert to_inches(254 * MM) == 10.0

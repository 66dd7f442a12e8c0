"""What time, area and paint must do, whatever the numbers: published figures, and laws that always hold."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.estimate.figures import hundredths_up, measures_of, number_words
from nesting.estimate.saw import cut_area, cut_seconds
from nesting.estimate.surface import coverage
from nesting.job import Job, Part, Saw, Shop
from nesting.report.saw_list import saw_list
from stock.length import PER_INCH
from stock.material import parse_material
from stock.offer import Offer
from tests.nesting.made import bought, finished, group, lay

INCH = measures_of(Shop(unit="in"))
METRIC = measures_of(Shop(unit="mm"))
AREAS = st.floats(0.1, 1e6)
RATES = st.floats(1, 1e5)


def test_paint_of_65_percent_solids_covers_what_the_worked_examples_say() -> None:
    """208.5 ft2/gal at 5 mil and 5.2 m2/L at 125 um: published, two worked examples of coverage
    (1604 x solids / mils; 10 x %VS / um). 1604 is the rounded form of the gallon's 231 cubic inches."""
    assert coverage(Decimal(65), Decimal(5), INCH) == pytest.approx(208.5, abs=0.05)
    assert coverage(Decimal(65), Decimal(125), METRIC) == pytest.approx(5.2, abs=1e-9)
    assert coverage(Decimal(100), Decimal(1), INCH) == pytest.approx(1604, rel=2e-4)


def test_both_systems_of_units_mean_the_same_paint() -> None:
    """ft2/gal times m2 per ft2 over litres per gallon is m2/L: by definition 0.3048 m and 231 in3."""
    litres = 231 * 0.254**3
    inch = coverage(Decimal(65), Decimal(5), INCH) * 0.3048**2 / litres
    assert inch == pytest.approx(coverage(Decimal(65), Decimal(127), METRIC), rel=1e-12)


def test_a_small_square_tube_takes_six_seconds_on_a_strong_saw() -> None:
    """HSS2x2x1/8 has 0.897 in2, at 9 in2/min 6.0 s, at 2 in2/min 27 s: derived from a published rate of a
    blade seller's chart (8-10 in2/min for sections up to 1 in), the area by the rule of the HSS tables."""
    area = parse_material("tube 2 x 2 x 1/8", unit="in").area_mm2
    assert area / INCH.cut_mm2 == pytest.approx(0.897, abs=0.0005)
    assert cut_seconds(area, 9 * INCH.cut_mm2) == pytest.approx(6.0, abs=0.05)
    assert cut_seconds(area, 2 * INCH.cut_mm2) == pytest.approx(27, abs=0.1)


def test_a_mitre_cuts_its_area_over_the_cosine() -> None:
    """45 degrees 1.4142, 30 degrees 1.1547: derived, trigonometry."""
    assert cut_area(100, Decimal(45)) == pytest.approx(141.42, abs=0.005)
    assert cut_area(100, Decimal(30)) == pytest.approx(115.47, abs=0.005)
    assert cut_area(100, Decimal(0)) == 100


@given(areas=st.lists(AREAS, min_size=1, max_size=20), rate=RATES)
def test_cutting_times_add_up(areas: list[float], rate: float) -> None:
    """The time for all cuts is the sum of the times for each."""
    each = sum(cut_seconds(area, rate) for area in areas)
    assert cut_seconds(sum(areas), rate) == pytest.approx(each, rel=1e-9)


@given(area=AREAS, more=AREAS, rate=RATES, faster=RATES)
def test_more_metal_takes_longer_and_a_faster_saw_less(
    area: float, more: float, rate: float, faster: float
) -> None:
    assert cut_seconds(area + more, rate) > cut_seconds(area, rate)
    assert cut_seconds(area, rate + faster) < cut_seconds(area, rate)


@given(area=AREAS, angle=st.decimals(0, 89, places=2), steeper=st.decimals("0.01", "0.99", places=2))
def test_a_steeper_mitre_cuts_more_metal(area: float, angle: Decimal, steeper: Decimal) -> None:
    assert cut_area(area, angle + steeper) > cut_area(area, angle) >= area


@given(solids=st.decimals(1, 99, places=1), film=st.decimals("0.1", 500, places=1), share=st.integers(2, 5))
def test_paint_covers_less_the_thicker_it_lies(solids: Decimal, film: Decimal, share: int) -> None:
    """In proportion."""
    for measures in (INCH, METRIC):
        thin, thick = coverage(solids, film, measures), coverage(solids, film * share, measures)
        assert thin == pytest.approx(share * thick, rel=1e-9)
        assert coverage(solids + 1, film, measures) > thin


@given(value=st.floats(0, 1e4))
def test_quantities_are_rounded_up_by_less_than_a_hundredth(value: float) -> None:
    """Apart from the noise of doubles, a tenth of a millionth."""
    over = float(hundredths_up(value)) - value
    assert -1e-7 <= over < 0.01 + 1e-9


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0.8974, "0.897"),
        (9.999, "10.0"),
        (99.96, "100"),
        (1234.4, "1,234"),
        (Decimal("8.250"), "8.25"),
        (Decimal(2) / 3, "0.6667"),
    ],
)
def test_numbers_are_shown_to_three_digits_and_settings_as_written(
    value: float | Decimal, words: str
) -> None:
    assert number_words(value, Shop()) == words
    assert number_words(value, Shop(decimal=",")) == words.translate(str.maketrans(",.", ".,"))


def _angles(marks: str, ends: dict[str, tuple[int, int]], clean: int, length: int) -> tuple[int, ...]:
    """The cuts of one stick of `length` inches that holds 10 in parts with these end angles."""
    flat = parse_material("flat 1/4 x 2", unit="in")
    offer = Offer(
        id="offer 1",
        yard="Y",
        material=flat,
        length=length * PER_INCH,
        longest=length * PER_INCH,
        clean_ends=clean,
    )
    parts = tuple(
        Part(
            mark=mark,
            qty=1,
            material=flat,
            length=10 * PER_INCH,
            end_a=Decimal(a),
            end_b=Decimal(b),
            extent=10 * PER_INCH,
        )
        for mark, (a, b) in ends.items()
    )
    job = Job(name="j", parts=parts, offers=(offer,), saws=(Saw(name="s", kerf=0, trim=0 if clean else 100),))
    layout = lay(job, offer, marks)
    plan = finished(job, (group("g", (layout,), (bought(offer, 1),), offer.unit_weight(), priced=False),))
    (stick,) = saw_list(plan).cut
    return tuple(int(cut.angle) for cut in stick.cuts)


def test_every_cut_is_counted_once() -> None:
    """Counted by hand: S is square, M has 45 at its end a and 30 at its end b."""
    ends = {"S": (0, 0), "M": (45, 30)}
    assert _angles("S S", ends, clean=0, length=40) == (0, 0, 0)  # squared off, freed, freed
    assert _angles("S S", ends, clean=2, length=40) == (0, 0)  # the first end is square
    assert _angles("S S", ends, clean=2, length=20) == (0,)  # and the last is the end of the stick
    assert _angles("M M", ends, clean=2, length=40) == (45, 30, 45, 30)
    assert _angles("M M", ends, clean=2, length=20) == (45, 30, 45, 30)  # the last mitre is cut all the same
    assert _angles("S M", ends, clean=2, length=40) == (0, 45, 30)
    assert _angles("M S", ends, clean=2, length=40) == (45, 30, 0, 0)  # squared again after a mitre

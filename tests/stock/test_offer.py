"""What one stick of an offer costs and weighs, whatever the price is per."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.errors import BadPrice, BadValue
from stock.length import PER_INCH, PER_MM
from stock.material import parse_material
from stock.offer import Basis, Offer, Yard, parse_basis
from stock.rack import RackPiece

FOOT = 12 * PER_INCH
TUBE = parse_material("HSS2X2X1/8", unit="in")
PLATE = parse_material("plate 10", unit="mm")


def offer(**kind):
    return Offer(
        **{
            "id": "offer 1",
            "yard": "yard",
            "material": TUBE,
            "length": 20 * FOOT,
            "longest": 20 * FOOT,
            **kind,
        }
    )


@pytest.mark.parametrize(
    ("price", "per", "money"),
    [
        ("62.47", Basis.EACH, "62.4700"),
        ("3.10", Basis.FOOT, "62.0000"),
        ("10", Basis.METRE, "60.9600"),
    ],
)
def test_a_stick_is_priced_each_or_by_length(price, per, money):
    """20 ft are 6.096 m, exactly."""
    assert offer(price=Decimal(price), per=per).unit_price() == Decimal(money)


def test_a_stick_is_priced_by_weight():
    """20 ft of steel flat 1/4 x 2, 7850 kg/m3: 15.4366 kg, 34.0319 lb."""
    flat = parse_material("flat 1/4 x 2", unit="in")
    assert offer(material=flat).unit_weight() == Decimal("15.4366")
    assert offer(material=flat, price=Decimal(1), per=Basis.KILOGRAM).unit_price() == Decimal("15.4366")
    assert offer(material=flat, price=Decimal(1), per=Basis.POUND).unit_price() == Decimal("34.0319")
    assert offer(material=flat, price=Decimal(100), per=Basis.HUNDREDWEIGHT).unit_price() == Decimal(
        "34.0319"
    )


def test_a_sheet_is_priced_by_area():
    """1 m x 2 m are 2 m2; 4 x 8 ft are 32 sq ft."""
    metric = {"material": PLATE, "length": 2000 * PER_MM, "longest": 2000 * PER_MM, "width": 1000 * PER_MM}
    assert offer(**metric, price=Decimal(30), per=Basis.SQUARE_METRE).unit_price() == Decimal("60.0000")
    feet = {"material": PLATE, "length": 8 * FOOT, "longest": 8 * FOOT, "width": 4 * FOOT}
    assert offer(**feet, price=Decimal("2.50"), per=Basis.SQUARE_FOOT).unit_price() == Decimal("80.0000")
    with pytest.raises(BadPrice, match="needs a width"):
        offer(price=Decimal(1), per=Basis.SQUARE_FOOT).unit_price()


def test_cut_to_length_adds_its_charge_and_prices_what_is_cut():
    """10 ft at 3.10 and 4.50 for the cut."""
    cut = offer(price=Decimal("3.10"), per=Basis.FOOT, cut_to_length=Decimal("4.50"))
    assert cut.unit_price(10 * FOOT) == Decimal("35.5000")
    with pytest.raises(BadPrice, match="cannot be priced each"):
        offer(price=Decimal(60), per=Basis.EACH, cut_to_length=Decimal(1))


def test_the_price_per_tick_is_exact():
    """3.10 a foot, the charge for cutting left out."""
    cut = offer(price=Decimal("3.10"), per=Basis.FOOT, cut_to_length=Decimal("4.50"))
    assert cut.price_per_tick() * FOOT == Fraction("3.10")


@given(st.integers(1, 20 * FOOT), st.integers(1, 20 * FOOT))
def test_a_longer_stick_never_weighs_or_costs_less(a, b):
    """Weight and price per foot grow with length."""
    short, long = sorted((a, b))
    by_foot = offer(price=Decimal("3.10"), per=Basis.FOOT, cut_to_length=Decimal(0))
    assert by_foot.unit_price(short) <= by_foot.unit_price(long)
    assert by_foot.unit_weight(short) <= by_foot.unit_weight(long)


@pytest.mark.parametrize(
    ("text", "basis"),
    [
        ("each", "each"),
        ("ea.", "each"),
        ("per piece", "each"),
        ("/ft", "ft"),
        ("per foot", "ft"),
        ("$/lf", "ft"),
        ("lin. ft", "ft"),
        ("m", "m"),
        ("€/m", "m"),
        ("metre", "m"),
        ("lb", "lb"),
        ("lbs", "lb"),
        ("cwt", "cwt"),
        ("100 lb", "cwt"),
        ("per 100 lb", "cwt"),
        ("kg", "kg"),
        ("EUR/kg", "kg"),
        ("sq ft", "sq ft"),
        ("sq. ft.", "sq ft"),
        ("ft²", "sq ft"),
        ("m²", "m2"),
        ("sqm", "m2"),
    ],
)
def test_common_words_for_what_a_price_is_per(text, basis):
    """They meet in eight."""
    assert parse_basis(text) == Basis(basis)


@pytest.mark.parametrize("text", ["", "ton", "furlong", "per"])
def test_other_words_are_refused_with_the_known_ones(text):
    """The sentence lists all eight."""
    with pytest.raises(BadPrice, match="each, ft, m, lb, cwt, kg, sq ft, m2"):
        parse_basis(text)


@pytest.mark.parametrize(
    "wrong",
    [
        {"length": 0},
        {"longest": 19 * FOOT},
        {"clean_ends": 3},
        {"from_qty": 0},
        {"available": -1},
        {"material": PLATE},
        {"price": Decimal(1)},
        {"per": Basis.FOOT},
    ],
)
def test_an_offer_that_makes_no_sense_cannot_exist(wrong):
    """It is refused when made."""
    with pytest.raises(BadValue):
        offer(**wrong)


def test_an_offer_without_price_has_a_weight_only():
    """Its price is refused by name."""
    assert offer().unit_weight() > 0
    assert not offer().is_random
    with pytest.raises(BadPrice, match="offer 1 has no price"):
        offer().unit_price()


@pytest.mark.parametrize("wrong", [{"length": 0}, {"clean_ends": 3}, {"width": 0}])
def test_a_rack_piece_that_makes_no_sense_cannot_exist(wrong):
    """It is refused when made."""
    with pytest.raises(BadValue):
        RackPiece(**{"id": "R-1", "material": TUBE, "length": FOOT, **wrong})


@pytest.mark.parametrize("terms", [{"delivery": Decimal(-5)}, {"minimum_order": Decimal("-0.01")}])
def test_a_yard_pays_nobody_for_buying_there(terms: dict[str, Decimal]) -> None:
    with pytest.raises(BadValue, match="must not be negative"):
        Yard(name="North", **terms)  # type: ignore[arg-type]


def test_trips_are_counted_by_weight_and_never_by_a_hair() -> None:
    """Three times 0.1 kg are three loads of 0.1 kg, whatever floats make of the sum; nothing is one trip."""
    yard = Yard(name="North", payload_kg=0.1)
    assert [yard.trips(weight) for weight in (0.0, 0.1, 0.1 + 0.1 + 0.1, 0.31)] == [1, 1, 3, 4]
    assert Yard(name="North").trips(1e6) == 1

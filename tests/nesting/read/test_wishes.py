"""The price of scrap and the order of wishes, as the shop table gives them."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.job import WISHES
from nesting.read.cells import Style
from nesting.read.grid import Cell
from nesting.read.wishes import as_scrap_price, as_wishes
from stock.errors import BadValue

INCH, MM = Style("in", "."), Style("mm", ",")


@pytest.mark.parametrize(
    ("text", "style", "per_kg"),
    [
        ("0.45359237", INCH, "1"),  # one pound is 0.45359237 kg exactly (published: international pound)
        ("0.25", MM, None),
        ("0,25", MM, "0.25"),
        ("0.45359237 per lb", INCH, "1"),
        ("45.359237 per cwt", INCH, "1"),  # a US hundredweight is 100 lb (common trade use)
        ("$ 0.18/kg", INCH, "0.18"),
        ("180 per tonne", INCH, "0.18"),
    ],
)
def test_scrap_is_priced_by_any_weight(text: str, style: Style, per_kg: str | None) -> None:
    """Bare numbers count per pound in an inch job and per kilogram in a metric one; the wrong mark is refused."""
    if per_kg is None:
        with pytest.raises(BadValue, match="decimal mark"):
            as_scrap_price(Cell(text), style)
    else:
        assert as_scrap_price(Cell(text), style) == Decimal(per_kg)


@pytest.mark.parametrize("text", ["5 per ton", "3 per foot", "scrap"])
def test_a_price_of_scrap_that_is_not_by_weight_is_refused(text: str) -> None:
    """A ton may be 2000 lb, 2240 lb or 1000 kg, so it is not guessed."""
    with pytest.raises(BadValue):
        as_scrap_price(Cell(text), INCH)


@given(st.permutations(WISHES), st.integers(1, 4))
def test_wishes_that_are_not_named_follow_in_their_usual_order(order: list[str], named: int) -> None:
    taken = as_wishes(Cell(", ".join(order[:named])), INCH)
    assert taken[:named] == tuple(order[:named])
    assert list(taken[named:]) == [wish for wish in WISHES if wish not in order[:named]]


@pytest.mark.parametrize(
    ("text", "reason"), [("sticks, stick", "a wish twice"), ("cheapest", "no order of wishes")]
)
def test_what_is_no_order_of_wishes_is_refused(text: str, reason: str) -> None:
    with pytest.raises(BadValue, match=reason):
        as_wishes(Cell(text), INCH)

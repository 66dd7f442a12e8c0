"""What rests earn: by hand, and never so much that cutting for it would pay."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.job import Shop
from nesting.market import make_plan
from nesting.rules.credit import earns
from stock.money import line_total
from stock.rack import RackPiece
from tests.nesting.market.asked import COUNTED, FOOT, INCH, TUBE, job, offer, part

STICK = offer(1, 20 * FOOT, "62.47")
HALF = Shop(offcut_share=Decimal("0.5"))


def test_an_offcut_earns_its_share_of_the_price_by_length() -> None:
    """119 1/8 of 240 in at 62.47, half of it: 15.5036, down to the cent. A rest too short to keep earns nothing."""
    rates = earns(HALF, STICK, STICK.unit_price())
    assert rates.of(953 * INCH // 8, keep=True) == Decimal("15.50")
    assert rates.of(11 * INCH, keep=False) == 0


def test_what_is_kept_of_a_rack_piece_keeps_its_value() -> None:
    """A piece of 100 in worth 10.00, of which 33 in stay: 3.30. One without a value earns nothing, scrap or not."""
    shop = Shop(scrap_price=Decimal("0.30"))
    piece = RackPiece(id="R1", material=TUBE, length=100 * INCH, value=Decimal(10))
    assert earns(shop, piece, piece.value).of(33 * INCH, keep=True) == Decimal("3.30")
    assert earns(shop, piece, Decimal(0)).of(33 * INCH, keep=False) == 0


def test_scrap_is_weighed() -> None:
    """3.05 lb/ft (published: AISC table), 61.06 lb by formula; 10 of 240 in at 0.20 a pound: 0.508, down to 0.50."""
    shop = Shop(scrap_price=Decimal("0.440924524"))
    assert earns(shop, STICK, STICK.unit_price()).of(10 * INCH, keep=False) == Decimal("0.50")


@given(
    st.integers(0, 10_000),
    st.integers(0, 99),
    st.none() | st.integers(0, 900),
    st.integers(0, 240),
    st.booleans(),
)
def test_nothing_earns_more_than_it_cost(
    cents: int, share: int, scrap: int | None, rest: int, keep: bool
) -> None:
    """However dear scrap is; and a longer rest, or one that is kept, never earns less."""
    price = Decimal(cents) / 100
    shop = Shop(
        offcut_share=Decimal(share) / 100, scrap_price=None if scrap is None else Decimal(scrap) / 100
    )
    rates = earns(shop, STICK, price)
    earned = rates.of(rest * INCH, keep)
    assert 0 <= earned <= price
    assert earned <= rates.of((rest + 1) * INCH, keep)
    assert rates.of(rest * INCH, keep=False) <= rates.of(rest * INCH, keep=True)


@settings(max_examples=15, deadline=None)
@given(st.lists(st.tuples(st.integers(20, 200), st.integers(1, 4)), min_size=1, max_size=3))
def test_every_stick_costs_more_than_it_earns(parts: list[tuple[int, int]]) -> None:
    """At a share of 99 %: rests are shared out so that less is scrap, but no stick pays for itself.

    And the plan without any share is one of those that may be chosen, so that none is dearer.
    """
    asked = job([part(f"P{n}", qty, inches * INCH) for n, (inches, qty) in enumerate(parts)], [STICK])
    plain = make_plan(asked, COUNTED).groups[0]
    shared = make_plan(job(asked.parts, asked.offers, shop=Shop(offcut_share=Decimal("0.99"))), COUNTED)
    assert check_plan(shared) == ()
    (group,) = shared.groups
    assert all(layout.credit < STICK.unit_price() for layout in group.layouts)
    assert group.cost == line_total(group.purchases[0].count, STICK.unit_price()) - group.credit <= plain.cost


def test_a_second_stick_is_bought_where_it_saves_more_scrap_than_it_costs() -> None:
    """29 and 200 in from one stick leave 11 in of scrap, 62.47. From two they leave 211 and 40, both kept, at 99 %:

    54.37 and 10.30 of 124.94, 60.27. At a share of one half one stick is cheaper.
    """
    parts = [part("A", 1, 29 * INCH), part("B", 1, 200 * INCH)]
    costs = [
        make_plan(job(parts, [STICK], shop=Shop(offcut_share=Decimal(share))), COUNTED).groups[0].cost
        for share in ("0.99", "0.5")
    ]
    assert costs == [Decimal("60.27"), Decimal("62.47")]

"""All ways to buy for a few pieces, one by one: an enumeration of its own for small jobs with fees."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from itertools import product

from hypothesis import strategies as st

from nesting.job import Job, Part
from stock.material import parse_material
from stock.money import line_total
from stock.offer import Offer, Yard
from tests.nesting.market.asked import FOOT, TUBE, job, offer, part

ANGLE = parse_material("angle 2 x 2 x 1/8", unit="in")


def cheapest(asked: Job) -> Decimal:
    """The least that steel and fees can cost: every split of the pieces into sticks, every offer for each stick.

    Pieces are at most five, saws take nothing, sticks are whole; money as it is printed.
    """
    pieces = [p for p in asked.parts for _ in range(asked.copies(p))]
    return min(
        cost
        for split in _splits(pieces)
        for bought in product(*([o for o in asked.offers if _holds(o, stick)] for stick in split))
        if (cost := _paid(asked, bought)) is not None
    )


def _splits(pieces: list[Part]) -> Iterator[list[list[Part]]]:
    """Every way to put pieces together into sticks."""
    if not pieces:
        yield []
        return
    first, *others = pieces
    for split in _splits(others):
        yield [[first], *split]
        for n, stick in enumerate(split):
            yield [*split[:n], [first, *stick], *split[n + 1 :]]


def _holds(one: Offer, stick: list[Part]) -> bool:
    return all(p.material == one.material for p in stick) and sum(p.length for p in stick) <= one.length


def _paid(asked: Job, bought: tuple[Offer, ...]) -> Decimal | None:
    """Steel and fees of a purchase; None if a yard neither brings it nor lets it be carried home."""
    total = Decimal(0)
    for yard in asked.yards:
        counts = Counter(o.id for o in bought if o.yard == yard.name)
        if not counts:
            continue
        steel = sum((line_total(n, _named(asked, i).unit_price()) for i, n in counts.items()), Decimal(0))
        longest = max(_named(asked, i).length for i in counts)
        ways = [] if yard.delivery is None else [yard.delivery]
        only_brings = yard.delivery is not None and yard.haul_limit is None and yard.payload_kg is None
        if not only_brings and (yard.haul_limit is None or longest <= yard.haul_limit):
            ways.append(Decimal(0))
        if not ways:
            return None
        total += max(steel, yard.minimum_order) + min(ways)
    return total


def _named(asked: Job, name: str) -> Offer:
    return next(o for o in asked.offers if o.id == name)


@st.composite
def fee_jobs(draw: st.DrawFn, minimum: bool) -> Job:
    """Up to five pieces of two materials, up to three yards with fees, haul limits and, if asked, minimum orders."""
    parts = [part("T", draw(st.integers(1, 3)), draw(st.integers(3, 11)) * FOOT)]
    if draw(st.booleans()):
        parts.append(part("A", draw(st.integers(1, 2)), draw(st.integers(3, 11)) * FOOT, ANGLE))
    offers = []
    for name in ("North", "South", "East")[: draw(st.integers(1, 3))]:
        for material in (TUBE, ANGLE):
            for length in draw(st.lists(st.sampled_from([12, 20, 24]), max_size=2, unique=True)):
                cents = draw(st.integers(200 * length, 260 * length))
                money = f"{Decimal(cents) / 100:.2f}"
                offers.append(offer(len(offers) + 1, length * FOOT, money, yard=name, material=material))
    for material in (TUBE, ANGLE):
        offers.append(offer(len(offers) + 1, 24 * FOOT, "62.40", yard="Last", material=material))
    yards = [draw(_yard(name, minimum)) for name in ("North", "South", "East")]
    return job(
        parts, offers, yards=(*yards, Yard(name="Last", delivery=Decimal(draw(st.sampled_from([0, 30])))))
    )


@st.composite
def _yard(draw: st.DrawFn, name: str, minimum: bool) -> Yard:
    return Yard(
        name=name,
        delivery=draw(st.sampled_from([None, None, Decimal(9), Decimal("24.50"), Decimal(60)])),
        haul_limit=draw(st.sampled_from([None, None, 12 * FOOT, 20 * FOOT])),
        payload_kg=draw(st.sampled_from([None, None, 20.0])),
        minimum_order=Decimal(draw(st.sampled_from([0, 0, 60, 110]))) if minimum else Decimal(0),
    )

"""Kerf arithmetic in two dimensions, through the whole chain: the plan of a job, checked.

Source: lengths w at kerf k in a clean stick L are lengths w + k without kerf in a stick L + k (derived: n pieces need
n - 1 kerfs if the last one ends at the end of the stick). On a clean sheet the same holds along and across, for cuts
from edge to edge as for pieces that keep a clearance along one of the two. The examples are own values.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.job import Job, Part, Saw, Shop, Turn
from nesting.market import make_plan
from nesting.plan import Plan, Settings
from stock.length import PER_MM as MM
from stock.material import parse_material
from stock.offer import Basis, Offer, Yard

PLATE = parse_material("plate 6", unit="mm")
Size = tuple[int, int]
Demand = tuple[int, int, int]
"""Length, width, quantity."""


def sheets_of(sizes: Sequence[tuple[int, int, str]]) -> tuple[Offer, ...]:
    """Clean sheets of (length, width, price each), mm."""
    return tuple(
        Offer(
            id=f"offer {n}",
            yard="North",
            material=PLATE,
            length=length * MM,
            longest=length * MM,
            width=width * MM,
            price=Decimal(price),
            per=Basis.EACH,
            clean_ends=2,
        )
        for n, (length, width, price) in enumerate(sizes, 1)
    )


def plates(
    demands: Sequence[Demand],
    sizes: Sequence[tuple[int, int, str]],
    shop: Shop,
    kerf: int = 0,
    turn: Turn = "quarter",
) -> Job:
    """A job of plate parts, mm, with one saw of a kerf that takes any sheet."""
    parts = tuple(
        Part(mark=f"P{n}", qty=qty, material=PLATE, length=length * MM, width=width * MM, turn=turn)
        for n, (length, width, qty) in enumerate(demands, 1)
    )
    return Job(
        name="asked",
        parts=parts,
        offers=sheets_of(sizes),
        saws=(Saw(name="saw", kerf=kerf * MM),),
        yards=(Yard(name="North"),),
        shop=shop,
    )


def torched(clearance: int, edge: int) -> Shop:
    """A torch with a clearance and an edge in mm; the kerf is part of the clearance."""
    return Shop(
        unit="mm", processes=("torch",), torch_kerf=0, clearance=clearance * MM, edge=edge * MM, keep_width=0
    )


SAWN = Shop(unit="mm", processes=("saw",))


def planned(job: Job, work: int = 200) -> Plan:
    """The plan of a job, checked."""
    plan = make_plan(job, Settings(time_s=None, work=work))
    assert check_plan(plan) == ()
    return plan


def counts(plan: Plan) -> dict[str, int]:
    """Sheets bought of each offer; the plan is proved."""
    (group,) = plan.groups
    assert group.proved
    return {line.offer: line.count for line in group.purchases}


def enlarged(by: int, demands: Sequence[Demand]) -> list[Demand]:
    """Parts larger by so much along and across."""
    return [(length + by, width + by, qty) for length, width, qty in demands]


@pytest.mark.parametrize(
    ("demand", "kerf", "expected"),
    [
        ((250, 200, 4), 0, 1),  # two by two tile 500 x 400
        ((250, 200, 4), 3, 4),  # a kerf, and neither half holds a second one
        ((248, 198, 4), 3, 1),  # 2 x 248 + 3 = 499, 2 x 198 + 3 = 399
        ((248, 198, 4), 4, 1),  # 2 x 248 + 4 = 500, 2 x 198 + 4 = 400: exactly
        ((248, 198, 4), 5, 4),
    ],
)
def test_four_pieces_of_a_sheet_of_500_by_400(demand: Demand, kerf: int, expected: int) -> None:
    """Own values: the saw takes one kerf along and one across; parts are not turned."""
    job = plates([demand], [(500, 400, "20.00")], SAWN, kerf, turn="none")
    assert counts(planned(job)) == {"offer 1": expected}


def test_one_tick_of_kerf_more_loses_all_but_one_piece() -> None:
    """248 x 198 at kerf 4 fills 500 x 400 exactly; one tick more, and each sheet holds one piece."""
    job = plates([(248, 198, 4)], [(500, 400, "20.00")], SAWN, 4, turn="none")
    assert counts(planned(replace(job, saws=(Saw(name="saw", kerf=4 * MM + 1),)))) == {"offer 1": 4}


@pytest.mark.parametrize(
    ("clearance", "edge", "expected"),
    [
        (4, 0, 1),  # as the saw of kerf 4
        (2, 1, 1),  # 1 + 248 + 2 + 248 + 1 = 500
        (3, 1, 4),
        (2, 2, 4),
    ],
)
def test_clearance_and_edge_of_the_torch_are_kept_along_and_across(
    clearance: int, edge: int, expected: int
) -> None:
    """248 x 198, four times, on 500 x 400, not turned (own values)."""
    job = plates([(248, 198, 4)], [(500, 400, "20.00")], torched(clearance, edge), turn="none")
    assert counts(planned(job)) == {"offer 1": expected}


EXAMPLES: list[tuple[list[Demand], list[Size], int]] = [
    ([(300, 200, 7), (150, 120, 9)], [(1000, 500)], 3),
    ([(400, 96, 10), (97, 97, 12)], [(800, 400)], 4),
    ([(220, 180, 6), (330, 90, 5), (60, 45, 20)], [(700, 450), (900, 450)], 2),
]
PRICES = ("41.00", "52.00")


@pytest.mark.parametrize(("demands", "sizes", "kerf"), EXAMPLES)
@pytest.mark.parametrize("is_torch", [False, True], ids=["saw", "torch"])
def test_parts_and_sheets_enlarged_by_the_kerf_cost_the_same_without_it(
    demands: list[Demand], sizes: list[Size], kerf: int, is_torch: bool
) -> None:
    """Same cost and same sheets bought, both proved; the edge of the torch is taken off the sheet as well."""
    edge = 5 if is_torch else 0
    here = [(a, b, price) for (a, b), price in zip(sizes, PRICES, strict=False)]
    there = [(a - 2 * edge + kerf, b - 2 * edge + kerf, price) for a, b, price in here]
    given_shop, plain_shop = (torched(kerf, edge), torched(0, 0)) if is_torch else (SAWN, SAWN)
    with_kerf = planned(plates(demands, here, given_shop, kerf))
    without = planned(plates(enlarged(kerf, demands), there, plain_shop))
    assert counts(with_kerf) == counts(without)
    assert with_kerf.groups[0].cost == without.groups[0].cost


@given(
    st.tuples(st.integers(30, 60), st.integers(20, 40)),
    st.lists(
        st.tuples(st.integers(6, 25), st.integers(4, 18), st.integers(1, 5)),
        min_size=1,
        max_size=3,
        unique_by=lambda d: d[:2],
    ),
    st.integers(0, 4),
    st.booleans(),
)
@settings(max_examples=20, deadline=None)
def test_no_plan_with_a_kerf_beats_the_bound_of_the_enlarged_job_without(
    sheet: Size, demands: list[Demand], kerf: int, is_torch: bool
) -> None:
    """Nor the other way round; where both are proved they cost the same."""
    given_shop, plain_shop = (torched(kerf, 0), torched(0, 0)) if is_torch else (SAWN, SAWN)
    one = planned(plates(demands, [(*sheet, "10.00")], given_shop, kerf), work=40).groups[0]
    size = (sheet[0] + kerf, sheet[1] + kerf, "10.00")
    other = planned(plates(enlarged(kerf, demands), [size], plain_shop), work=40).groups[0]
    assert one.bound.value <= other.cost
    assert other.bound.value <= one.cost

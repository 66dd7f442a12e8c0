"""Small one-dimensional problems for the tests, and their optimum by trying everything."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import product
from math import floor

from hypothesis import strategies as st

from nesting.bars.problem import Item, Problem, Source, Stock
from nesting.progress import Budget, Silent

UNIT = 10_000
"""One of money, in ten-thousandths."""


def counted(work: int = 3_000) -> Budget:
    """A budget that never reads the clock."""
    return Budget(None, work, Silent())


def one_stick(capacity: int, demands: Sequence[tuple[int, int]], kerf: int = 0) -> Problem:
    """(length, demand) pairs from any number of sticks of one length that cost 1 each."""
    return priced([(capacity, UNIT, None)], demands, kerf)


def priced(
    sticks: Sequence[tuple[int, int, int | None]], demands: Sequence[tuple[int, int]], kerf: int = 0
) -> Problem:
    """(length, demand) pairs from sticks given as (capacity, cost, limit), each its own source."""
    items = tuple(Item(length=w, demand=d) for w, d in sorted(demands, reverse=True))
    stocks = tuple(
        Stock(source=s, length=room, kerf=kerf, capacity=room, cost=cost, items=_fitting(items, room, kerf))
        for s, (room, cost, _) in enumerate(sticks)
    )
    return Problem(items, tuple(Source(limit=limit) for *_, limit in sticks), stocks)


def _fitting(items: Sequence[Item], room: int, kerf: int) -> tuple[int, ...]:
    return tuple(i for i, item in enumerate(items) if item.length + kerf <= room)


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Up to three items and six pieces; two or three sources, some scarce, some on two saws, some cut to length."""
    lengths = draw(st.lists(st.integers(3, 30), min_size=1, max_size=3, unique=True))
    items = tuple(Item(length=w, demand=draw(st.integers(1, 2))) for w in sorted(lengths, reverse=True))
    sources, stocks = [], []
    for s in range(draw(st.integers(1, 3))):
        limit = draw(st.none() | st.integers(1, 2)) if s else None
        length = draw(st.integers(10, 60)) if s else draw(st.integers(36, 60))
        sources.append(Source(limit=limit))
        rate = draw(st.sampled_from([(0, 1), (0, 1), (7, 3), (12_345, 100)]))
        cost = draw(st.integers(0, 9)) * 2_500 if s else draw(st.integers(1, 9)) * 2_500
        for kerf in draw(st.sampled_from([(1,), (0,), (3,), (2, 1)])):
            ends = draw(st.integers(-kerf, 2))
            stocks.append(
                Stock(
                    source=s,
                    length=length,
                    kerf=kerf,
                    capacity=length - ends,
                    ends=ends,
                    cost=cost,
                    rate=rate,
                    items=_fitting(items, length - ends, kerf),
                )
            )
    return Problem(items, tuple(sources), tuple(stocks))


@st.composite
def earning(draw: st.DrawFn) -> Problem:
    """As `problems`, but whole sticks whose rests earn: a share of their cost where kept, less or nothing as scrap."""
    plain = draw(problems())
    stocks: list[Stock] = []
    for s in range(len(plain.sources)):
        ways = [replace(t, rate=(0, 1)) for t in plain.stocks if t.source == s]
        cost, length = ways[0].cost, ways[0].length
        share = Fraction(draw(st.sampled_from([0, 3, 5, 8, 10 if plain.sources[s].limit else 9])), 10)
        scrap = draw(st.sampled_from([Fraction(0), Fraction(0), share / 3, share]))
        keep = draw(st.integers(1, 12))
        for way in ways:
            head = draw(st.integers(0, 1)) if way.ends > 0 else 0
            stocks += earning_ways(way, cost * share / length, cost * scrap / length, length - head, keep)
    return Problem(plain.items, plain.sources, tuple(stocks))


def earning_ways(way: Stock, kept: Fraction, scrap: Fraction, rest: int, keep: int) -> list[Stock]:
    """A stick whose rest earns so much a tick, scrap below `keep` ticks: as such, and with a rest that is kept."""
    plain = replace(way, rate=(scrap.numerator, scrap.denominator), rest=rest) if scrap else way
    room = min(way.capacity, rest - keep)
    if not kept or room <= 0:
        return [plain]
    return [plain, replace(way, capacity=room, rate=(kept.numerator, kept.denominator), rest=rest)]


def cheapest(problem: Problem) -> int | None:
    """The optimum by trying every way to cut the next piece's stick; None if there is none."""
    limits = tuple(s.limit for s in problem.sources)

    @cache
    def least(left: tuple[int, ...], used: tuple[int, ...]) -> int | None:
        if not any(left):
            return 0
        first = next(i for i, n in enumerate(left) if n)
        best: int | None = None
        for stock in problem.stocks:
            limit = limits[stock.source]
            if limit is not None and used[stock.source] >= limit:
                continue
            for counts in fillings(problem, stock, left):
                if not counts[first]:
                    continue
                now = tuple(u + (s == stock.source and limit is not None) for s, u in enumerate(used))
                rest = least(tuple(n - k for n, k in zip(left, counts, strict=True)), now)
                if rest is not None:
                    total = rest + stick_price(problem, stock, counts)
                    best = total if best is None else min(best, total)
        return best

    return least(problem.demands, (0,) * len(limits))


def fillings(problem: Problem, stock: Stock, most: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Every way to fill a stick, at most `most` of each item."""
    ranges = [range(n + 1) if i in stock.items else range(1) for i, n in enumerate(most)]
    for counts in product(*ranges):
        if _material(problem, stock, counts) <= stock.capacity:
            yield counts


def stick_price(problem: Problem, stock: Stock, counts: Sequence[int]) -> int:
    """Its cost; what its length costs where it is cut to length, half up; less what its rest earns, in whole cents."""
    if stock.rest is not None:
        rest = max(0, stock.rest - _material(problem, stock, counts))
        return stock.cost - floor(Fraction(*stock.rate) * rest / 100) * 100
    ticks = _material(problem, stock, counts) + stock.ends
    return stock.cost + floor(Fraction(*stock.rate) * ticks + Fraction(1, 2))


def _material(problem: Problem, stock: Stock, counts: Sequence[int]) -> int:
    return sum(k * (item.length + stock.kerf) for k, item in zip(counts, problem.items, strict=True))

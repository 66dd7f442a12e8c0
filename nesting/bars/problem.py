"""The one-dimensional problem in whole numbers: items to cut, stocks to cut them from.

Words of this room: an *item* is a length with its demand (all parts alike to the solver), a *stock* is one way to
cut a source (the source on one saw), a *pattern* says how many of each item one stock holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, reduce
from math import gcd
from typing import Protocol

from stock.money import Cost

CENT: Cost = 100
"""In ten-thousandths: what rests earn is reckoned in whole cents."""


class Form(Protocol):
    """Rules of one stick that a sum of weights does not know: facing mitres, segments that a yard cuts.

    Hashable, and equal where the rules are equal.
    """

    def excess(self, counts: tuple[tuple[int, int], ...]) -> int | None:
        """Ticks that the best arrangement of some items takes beyond the sum of their weights.

        Parameters
        ----------
        counts
            (item, number) pairs, ascending by item.

        Returns None if they cannot be cut from one stick, however long it is.
        """
        ...

    def earned(self, counts: tuple[tuple[int, int], ...]) -> Cost | None:
        """What the rests of one stick earn with these items; None: that follows from what they take."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A length to cut.

    Parameters
    ----------
    length
        Ticks of bar, kerf not included.
    demand
        How many.
    """

    length: int
    demand: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What can be bought or taken.

    Parameters
    ----------
    limit
        Greatest number of sticks; None: any.
    rack
        Whether it is a rack piece (counts in the ties).
    """

    limit: int | None = None
    rack: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A source on one saw.

    Parameters
    ----------
    source
        Index into `Problem.sources`.
    length
        Ticks of the whole stick.
    kerf
        Ticks lost per cut.
    capacity
        Ticks for sum(length + kerf): the stick less head and tail.
    ends
        Ticks of the stick that head and tail take (length - capacity), less than zero where the last kerf is saved.
    head
        Ticks trimmed off the end that is cut first.
    cost
        Cost of one stick, ten-thousandths; of material cut to length the charge that does not depend on the length.
    rate
        (numerator, denominator): cost per tick of material cut to length, or what a tick of the rest earns; (0, 1)
        for whole sticks whose rest earns nothing.
    rest
        Ticks that are left of a stick that nothing is cut from, if its rest earns `rate` a tick, in whole cents
        rounded down; else None. Where only a rest worth keeping earns, the stick stands twice: once so, its capacity
        less that rest, and once plain.
    items
        Indices of the items that may be cut from it, ascending.
    weights
        Of each of `items` the ticks that one copy takes at the least, kerf included; empty: its length and one kerf.
    form
        What a sum of weights does not know of one stick; None: the sum says all.
    """

    source: int
    length: int
    kerf: int
    capacity: int
    cost: Cost
    ends: int = 0
    rate: tuple[int, int] = (0, 1)
    items: tuple[int, ...] = ()
    weights: tuple[int, ...] = ()
    form: Form | None = None
    rest: int | None = None
    head: int = 0

    @property
    def is_cut_to_length(self) -> bool:
        """Whether the yard cuts it, so that what is paid follows the length."""
        return bool(self.rate[0]) and self.rest is None

    @property
    def most(self) -> Cost:
        """The most that one costs: of what is cut to length the whole stick."""
        if not self.is_cut_to_length:
            return self.cost
        num, den = self.rate
        return self.cost - (-(self.capacity + self.ends) * num // den)

    @property
    def is_kept(self) -> bool:
        """Whether it is the stick only as far as enough is left to keep."""
        return self.rest is not None and self.capacity < self.length - self.ends


@dataclass(frozen=True)
class Problem:
    """Items, sources and stocks of one group."""

    items: tuple[Item, ...]
    sources: tuple[Source, ...]
    stocks: tuple[Stock, ...]

    @cached_property
    def demands(self) -> tuple[int, ...]:
        """Demand of each item."""
        return tuple(i.demand for i in self.items)

    @cached_property
    def cost_step(self) -> Cost:
        """Every plan costs a whole multiple of this: the greatest common divisor of the stocks' costs."""
        if any(s.is_cut_to_length for s in self.stocks):
            return 1
        earned = CENT if self.earns else 0
        return reduce(gcd, (s.cost for s in self.stocks), earned) or 1

    @cached_property
    def earns(self) -> bool:
        """Whether the rest of some stick earns something."""
        return any(s.rest is not None for s in self.stocks)

    @cached_property
    def weights(self) -> tuple[dict[int, int], ...]:
        """For each stock, by item, the ticks that one copy takes at the least, kerf included."""
        return tuple(
            dict(zip(s.items, s.weights, strict=True))
            if s.weights
            else {i: self.items[i].length + s.kerf for i in s.items}
            for s in self.stocks
        )

    def used(self, pattern: Pattern) -> int:
        """Ticks of its stock that a pattern takes at the least: the sum of the weights."""
        weights = self.weights[pattern.stock]
        return sum(n * weights[i] for i, n in pattern.counts)

    def taken(self, pattern: Pattern) -> int:
        """Ticks of its stock that a pattern takes: the sum of the weights, and what its form adds."""
        form = self.stocks[pattern.stock].form
        return self.used(pattern) + ((form.excess(pattern.counts) or 0) if form else 0)

    def can_be_cut(self, pattern: Pattern) -> bool:
        """Whether one stick holds a pattern, by its form too."""
        stock = self.stocks[pattern.stock]
        if stock.form is not None and stock.form.excess(pattern.counts) is None:
            return False
        return self.taken(pattern) <= stock.capacity

    def cost(self, pattern: Pattern) -> Cost:
        """Cost of one stick cut to a pattern, ten-thousandths.

        A price by length is rounded half up, as prices are; what the rest earns down, to the cent.
        """
        stock = self.stocks[pattern.stock]
        num, den = stock.rate
        if not num:
            return stock.cost
        if stock.rest is not None:
            earned = None if stock.form is None else stock.form.earned(pattern.counts)
            if earned is not None:
                return stock.cost - earned
            return stock.cost - num * max(0, stock.rest - self.taken(pattern)) // (CENT * den) * CENT
        return stock.cost + (2 * num * (self.taken(pattern) + stock.ends) + den) // (2 * den)

    def even_cost(self, pattern: Pattern) -> float:
        """Cost of one stick before what the rest earns is rounded, as the linear programs reckon."""
        stock = self.stocks[pattern.stock]
        num, den = stock.rate
        if stock.rest is None:
            return self.cost(pattern)
        return stock.cost - num * (max(stock.rest, stock.capacity) - self.used(pattern)) / den

    def worth_limit(self, stock: int, scale: int) -> int:
        """What the items of one stick may be worth, own material not counted; 1/scale ten-thousandths.

        For whole sticks the cost, less what all of the stick would earn as a rest. For material cut to length the
        charge and the share of the ends, less the most that rounding the price can take off: a safe limit.
        """
        s = self.stocks[stock]
        num, den = s.rate
        if not num:
            return s.cost * scale
        if s.rest is not None:
            # where the last kerf may be missing, the rest counts as less than nothing: never dearer than it is
            return s.cost * scale + -max(s.rest, s.capacity) * num * scale // den
        return (s.cost - 1) * scale + s.ends * num * scale // den

    @cached_property
    def _keeping(self) -> tuple[int, ...]:
        """For each stock the one that is the same stick on the same saw, whose rest is kept; else itself."""
        kept: dict[object, int] = {}
        for t, s in enumerate(self.stocks):
            if s.is_kept:
                kept[s.source, s.length, s.kerf, s.ends, s.items, s.weights, s.form] = t
        return tuple(
            kept.get((s.source, s.length, s.kerf, s.ends, s.items, s.weights, s.form), t)
            for t, s in enumerate(self.stocks)
        )

    def plain(self, stock: int) -> int:
        """The stock that is the same stick on the same saw, whatever is left of it."""
        return next((t for t, kept in enumerate(self._keeping) if kept == stock != t), stock)

    @cached_property
    def ways(self) -> tuple[int, ...]:
        """Of each stock its way: sticks of one source whose rest is kept, or not, on whatever saw."""
        keys = [(s.source, s.is_kept) for s in self.stocks]
        numbers = {key: n for n, key in enumerate(dict.fromkeys(keys))}
        return tuple(numbers[key] for key in keys)

    def settled(self, pattern: Pattern) -> Pattern:
        """The pattern on the stock it belongs to: on the one that is kept from where enough is left for that."""
        kept = self._keeping[pattern.stock]
        if kept == pattern.stock or self.taken(pattern) > self.stocks[kept].capacity:
            return pattern
        return Pattern(kept, pattern.counts)


@dataclass(frozen=True, slots=True, order=True)
class Pattern:
    """How one stick is cut.

    Parameters
    ----------
    stock
        Index into `Problem.stocks`.
    counts
        (item, number) pairs, ascending by item, numbers above zero.
    """

    stock: int
    counts: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Certificate:
    """Integer dual prices that prove a bound.

    A stick of any stock t holds items worth at most scale x cost(t) + source price; hence every plan costs at
    least (sum(demand x item price) - sum(limit x source price)) / scale.

    Parameters
    ----------
    scale
        Units per ten-thousandth.
    item_prices, source_prices
        One per item and per source; source prices are zero where there is no limit.
    """

    scale: int
    item_prices: tuple[int, ...]
    source_prices: tuple[int, ...]

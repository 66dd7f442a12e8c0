"""Sticks and sheets that share their sources, as one problem in whole numbers.

Every way to cut a source, in one dimension or in two, is a *stock* of one problem: sticks first, then sheets. What one
stick or sheet holds is a pattern over the items of all; how the pieces of a sheet lie is kept apart (`pricing`). So one
master chooses among all of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd

from nesting.bars.problem import Pattern, Problem, Stock
from nesting.plates.problem import Cutting, Layout, RectItem, RectProblem
from stock.money import Cost


@dataclass(frozen=True)
class JointProblem(Problem):
    """Items, sources and stocks of a group with plate parts.

    Parameters
    ----------
    items, sources
        As in `Problem`; the length of an item and of a stock is its area, as a measure of size only.
    stocks
        Those of `sticks`, then one for each kind of `sheets`.
    sticks
        The one-dimensional side, over the same sources. Its items are *forms*: an item as wide as two flat bars, one
        by its length and one by its width, has two.
    form_items
        Item of each form.
    sheets
        The two-dimensional side; the sources of its kinds are those of this problem.
    rect_items
        Item of each rectangle of `sheets`.
    outlines
        Least rectangle of each item as it lies on sheets, or square in a row.
    least
        The same by what an item takes in any row: mitred pieces lie nested.
    across
        Width of the bar of each stick stock, ticks.
    fee
        Cost of each blank that a sheet is parted into, ten-thousandths.
    """

    sticks: Problem
    form_items: tuple[int, ...]
    sheets: RectProblem
    rect_items: tuple[int, ...]
    outlines: tuple[RectItem, ...]
    least: tuple[RectItem, ...]
    across: tuple[int, ...]
    fee: Cost = 0

    @cached_property
    def cost_step(self) -> Cost:
        """See `Problem.cost_step`; any number of blanks may be paid for."""
        return gcd(super().cost_step, self.fee)

    @cached_property
    def forms_of(self) -> tuple[dict[int, int], ...]:
        """Of each stick stock: the form of every item that may be cut from it."""
        return tuple({self.form_items[f]: f for f in stock.items} for stock in self.sticks.stocks)

    @cached_property
    def rects_of(self) -> tuple[dict[int, int], ...]:
        """Of each kind of sheet: the rectangle of every item that may be cut from it."""
        return tuple({self.rect_items[r]: r for r in kind.items} for kind in self.sheets.kinds)

    @cached_property
    def is_cut_to_length(self) -> bool:
        """Whether some stock is cut to length by the yard, so that its cost is no fixed number."""
        return any(stock.is_cut_to_length for stock in self.stocks)

    @cached_property
    def ways(self) -> tuple[int, ...]:
        """See `Problem.ways`; a sheet has no rest that is kept."""
        keys = [(s.source, t < len(self.sticks.stocks) and s.is_kept) for t, s in self._as_sold]
        numbers = {key: n for n, key in enumerate(dict.fromkeys(keys))}
        return tuple(numbers[key] for key in keys)

    @property
    def _as_sold(self) -> Iterator[tuple[int, Stock]]:
        """The stocks by number, sticks with their own lengths."""
        return enumerate((*self.sticks.stocks, *self.stocks[len(self.sticks.stocks) :]))

    @cached_property
    def _keeping(self) -> tuple[int, ...]:
        first = len(self.sticks.stocks)
        return (*self.sticks._keeping, *range(first, len(self.stocks)))

    def is_plain(self, item: int, rect: int) -> bool:
        """Whether a rectangle of an item is its least one."""
        size, least = self.sheets.items[rect], self.outlines[item]
        return (size.width, size.height) == (least.width, least.height)

    def is_stick(self, pattern: Pattern) -> bool:
        """Whether a pattern is sawn to length."""
        return pattern.stock < len(self.sticks.stocks)

    def kind_of(self, pattern: Pattern) -> int:
        """Kind of sheet of a pattern that is not sawn to length."""
        return pattern.stock - len(self.sticks.stocks)

    def used(self, pattern: Pattern) -> int:
        """Ticks that a stick's pattern takes at the least; 0 for a sheet."""
        return self.sticks.used(self.as_forms(pattern)) if self.is_stick(pattern) else 0

    def taken(self, pattern: Pattern) -> int:
        """Ticks that a stick's pattern takes; 0 for a sheet."""
        return self.sticks.taken(self.as_forms(pattern)) if self.is_stick(pattern) else 0

    def can_be_cut(self, pattern: Pattern) -> bool:
        """Whether one stick holds a pattern; of a sheet that is known from how it was filled."""
        return not self.is_stick(pattern) or self.sticks.can_be_cut(self.as_forms(pattern))

    def cost(self, pattern: Pattern) -> Cost:
        """Cost of one stick or sheet, ten-thousandths."""
        if self.is_stick(pattern):
            return self.sticks.cost(self.as_forms(pattern))
        return self.stocks[pattern.stock].cost

    def even_cost(self, pattern: Pattern) -> float:
        """See `Problem.even_cost`."""
        if self.is_stick(pattern):
            return self.sticks.even_cost(self.as_forms(pattern))
        return self.stocks[pattern.stock].cost

    def worth_limit(self, stock: int, scale: int) -> int:
        """See `Problem.worth_limit`."""
        if stock < len(self.sticks.stocks):
            return self.sticks.worth_limit(stock, scale)
        return self.stocks[stock].cost * scale

    def extent(self, stock: int, item: int) -> int:
        """Ticks along a stick that an item takes, the kerf behind it not counted."""
        form = self.forms_of[stock][item]
        return self.sticks.weights[stock][form] - self.sticks.stocks[stock].kerf

    def as_stick(self, layout: Layout, counts: tuple[tuple[int, int], ...]) -> Pattern | None:
        """The stick that a flat bar is whose pieces all reach right across it; None if it is more than that."""
        kind = self.sheets.kinds[layout.kind]
        if kind.cutting is not Cutting.GUILLOTINE or any(p.height != kind.height for p in layout.pieces):
            return None
        for t, (stock, forms) in enumerate(zip(self.sticks.stocks, self.forms_of, strict=True)):
            if self.plain(t) == t and stock.source == kind.source and all(i in forms for i, _ in counts):
                pattern = Pattern(t, counts)
                if counts and self.can_be_cut(pattern):
                    return self.settled(pattern)
        return None

    def as_forms(self, pattern: Pattern) -> Pattern:
        """A stick's pattern over forms."""
        forms = self.forms_of[pattern.stock]
        return Pattern(pattern.stock, tuple(sorted((forms[i], n) for i, n in pattern.counts)))

    def as_items(self, pattern: Pattern) -> Pattern:
        """The pattern over items of one over forms."""
        return Pattern(pattern.stock, tuple(sorted((self.form_items[f], n) for f, n in pattern.counts)))

"""The form of a stick with mitred pieces: what their best sequence takes beyond the sum of their weights.

Pieces lie in a row, each in one of its *ways*: a pair of *ends* (indices), the one that comes first before the other.
From the last point of one piece to the first point of the next there is a gap that depends on these two ends alone.
So the sequence matters by the *classes* of the pieces only: those with the same ways.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import combinations_with_replacement
from math import floor, prod

import numpy as np

from nesting.bars.form import Counts, Row
from nesting.bars.types import Ints, Table

_MOST_STATES = 2_000
_MOST_KEPT = 300_000
"""Rests of numbers of pieces whose gaps are remembered."""
_LONGEST = 150
"""Sequences of more pieces, or of which more may be left at some place, are not all looked at."""

Ways = tuple[tuple[int, int], ...]
"""(first end, last end) for each way in which a piece may lie."""


@dataclass(frozen=True, slots=True)
class Mitred:
    """An item as the sequence sees it.

    Parameters
    ----------
    kinds
        Index of the class of each of its pieces: of one, or of several that lie anywhere on the same stick.
    spare
        Ticks by which its weight is below the extents of its pieces from point to point.
    """

    kinds: tuple[int, ...]
    spare: int


@dataclass(frozen=True, slots=True)
class Mode:
    """How many bridges a stick holds, and what it loses then.

    Parameters
    ----------
    fewest
        So many at the least; if `alone` just so many.
    lost
        Ticks at the least, beyond those the stock's capacity leaves out already.
    """

    fewest: int
    alone: bool
    lost: int


@dataclass(frozen=True, slots=True)
class Bridge:
    """An item whose ends take different tolls: it leads from one to the other for nothing.

    Parameters
    ----------
    low, high
        The tolls, ticks.
    """

    item: int
    low: Fraction
    high: Fraction


@dataclass(frozen=True)
class Mitres:
    """The rows of one stick.

    Parameters
    ----------
    items
        (item, how the sequence sees it), ascending by item.
    classes
        The ways of each class.
    gaps
        For each end and each next end the ticks between points, at most `cut`.
    cut
        Ticks that the cut behind the last point takes.
    taken
        Ticks that the outermost ends take in any case, which the stock's capacity leaves out already.
    top
        Greatest toll of the items that are no bridges.
    bridges
        By item.
    modes
        What a stick of this stock may hold of the bridges; empty: there are none.
    """

    items: tuple[tuple[int, Mitred], ...]
    classes: tuple[Ways, ...]
    gaps: tuple[tuple[int, ...], ...]
    cut: int
    taken: int
    top: Fraction = Fraction(0)
    bridges: tuple[Bridge, ...] = ()
    modes: tuple[Mode, ...] = ()
    _chosen: dict[int, list[tuple[tuple[Bridge, ...], int]]] = field(
        default_factory=dict, compare=False, repr=False
    )
    _steps: dict[tuple[tuple[int, ...], int], int] = field(default_factory=dict, compare=False, repr=False)
    _least: dict[tuple[int, ...], int] = field(default_factory=dict, compare=False, repr=False)
    _near: dict[tuple[int, ...], tuple[int, list[tuple[int, int]]]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def excess(self, counts: Counts) -> int:
        """Ticks beyond the sum of weights; below zero only where pieces have better outer ends than the stock counts.

        Any pieces can be cut from one stick that is long enough, so this is never None.
        """
        spare = sum(n * self._seen[i].spare for i, n in counts)
        return spare + self.least_gaps(self._numbers(counts)) + self.cut - self.taken

    def earned(self, counts: Counts) -> None:
        """The one rest of the stick earns by its length: see `Form.earned`."""

    def excesses(self, fillings: Table) -> Ints:
        """`excess` of many fillings at once: rows, with a count for every item of the problem."""
        kinds = np.zeros((fillings.shape[1], len(self.classes)), np.int64)
        spare = np.zeros(fillings.shape[1], np.int64)
        for item, seen in self.items:
            spare[item] = seen.spare
            for kind in seen.kinds:
                kinds[item, kind] += 1
        numbers, which = np.unique(fillings @ kinds, axis=0, return_inverse=True)
        gaps = np.array([self.least_gaps(tuple(row)) for row in numbers.tolist()], np.int64)
        whole: Ints = fillings @ spare + gaps[which.reshape(-1)] + self.cut - self.taken
        return whole

    def is_settled(self, counts: Counts) -> bool:
        """Whether `excess` is the least there is, and not just that of a good sequence of many pieces."""
        return _is_small(self._thinned(self._numbers(counts))[0])

    def choices(self, number: int) -> list[tuple[tuple[Bridge, ...], int]]:
        """Every choice of so many bridges, one or two, and what a stick loses that holds no higher ones beside them."""
        if number not in self._chosen:
            chosen = combinations_with_replacement(self.bridges, number)
            self._chosen[number] = [(some, self._lost_past(some)) for some in chosen]
        return self._chosen[number]

    def _lost_past(self, bridges: tuple[Bridge, ...]) -> int:
        """Ticks that a stick loses at the least, beyond `taken`, whose one or two highest bridges these are.

        It reaches up to `top`: what lies above both is climbed and left by other pieces, what lies between them once.
        """
        first, *others = sorted(bridges, key=lambda b: b.high, reverse=True)
        between = first.high - others[0].high if others else first.low + first.high
        return max(0, floor(between + 2 * max(Fraction(0), self.top - first.high)) - self.taken)

    def row(self, counts: Counts) -> Row:
        """The pieces in a best sequence; of a class the longer ones first."""
        waiting: list[list[tuple[int, int]]] = [[] for _ in self.classes]
        for item, n in counts:
            for piece, kind in enumerate(self._seen[item].kinds):
                waiting[kind] += [(item, piece)] * n
        return tuple((*waiting[kind].pop(0), way) for kind, way in self._sequence(self._numbers(counts)))

    def arrange(self, counts: Counts) -> tuple[Row, ...]:
        """The pieces of the one stick; as for a stick in segments."""
        return (self.row(counts),)

    def least_gaps(self, numbers: tuple[int, ...]) -> int:
        """Sum of the gaps in a best sequence of so many pieces of each class; of too many in a good one."""
        if numbers not in self._least:
            self._forget_if_full()
            few, pairs = self._thinned(numbers)
            together = sum(k * self._pair_gap(kind) for kind, k in enumerate(pairs) if k)
            if _is_small(few):
                together += min((gaps for gaps, *_ in self._starts(few)), default=0)
            else:
                together += self._nearest(few)[0]
            self._least[numbers] = together
        return self._least[numbers]

    def _forget_if_full(self) -> None:
        """Start anew once as much is kept as memory should hold; the same is found again."""
        for kept in (self._least, self._steps, self._near):
            if len(kept) > _MOST_KEPT:
                kept.clear()

    @cached_property
    def _seen(self) -> dict[int, Mitred]:
        return dict(self.items)

    def _numbers(self, counts: Counts) -> tuple[int, ...]:
        numbers = [0] * len(self.classes)
        for item, n in counts:
            for kind in self._seen[item].kinds:
                numbers[kind] += n
        return tuple(numbers)

    @cached_property
    def _enough(self) -> tuple[int | None, ...]:
        """Of each class the number from which a pair more changes nothing but the gaps of that pair; None: none such.

        Where a class may be turned end for end in each way, three copies lie along the same two ends; two of them can
        be taken out, or put in, behind the third, and the ends that faced them face each other.
        """
        return tuple(
            2 * len({tuple(sorted(way)) for way in ways}) if all((b, a) in ways for a, b in ways) else None
            for ways in self.classes
        )

    def _thinned(self, numbers: tuple[int, ...]) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """As few pieces of each class as say the same, and how many pairs of each class were taken out."""
        pairs = tuple(
            0 if enough is None else max(0, (n - enough + 1) // 2)
            for n, enough in zip(numbers, self._enough, strict=True)
        )
        return tuple(n - 2 * k for n, k in zip(numbers, pairs, strict=True)), pairs

    def _pair_gap(self, kind: int) -> int:
        """Gaps that a pair of one class adds behind a piece of that class."""
        first, last = self.classes[kind][0]
        return self.gaps[last][last] + self.gaps[first][first]

    def _starts(self, left: tuple[int, ...]) -> Iterator[tuple[int, int, int, tuple[int, ...]]]:
        """(sum of gaps, class, way, what is left) for each first piece."""
        for kind, way, end, rest in self._choices(left):
            yield self._onward(rest, end), kind, way, rest

    def _onward(self, left: tuple[int, ...], end: int) -> int:
        """Least sum of gaps of all that is left, behind a piece that ends so."""
        key = left, end
        if key not in self._steps:
            self._steps[key] = min((gaps for gaps, *_ in self._nexts(left, end)), default=0)
        return self._steps[key]

    def _nexts(self, left: tuple[int, ...], end: int) -> Iterator[tuple[int, int, int, tuple[int, ...]]]:
        """As `_starts`, for each next piece."""
        for kind, way, last, rest in self._choices(left):
            yield self.gaps[end][self.classes[kind][way][0]] + self._onward(rest, last), kind, way, rest

    def _choices(self, left: tuple[int, ...]) -> Iterator[tuple[int, int, int, tuple[int, ...]]]:
        """(class, way, its last end, what is left after it) for each piece that may come next."""
        for kind, n in enumerate(left):
            if n:
                rest = (*left[:kind], n - 1, *left[kind + 1 :])
                for way, (_, last) in enumerate(self.classes[kind]):
                    yield kind, way, last, rest

    def _sequence(self, numbers: tuple[int, ...]) -> list[tuple[int, int]]:
        """(class, way) of each piece of the sequence that `least_gaps` speaks of."""
        few, pairs = self._thinned(numbers)
        found: list[tuple[int, int]] = []
        waiting = list(pairs)
        for kind, way in self._in_row(few) if _is_small(few) else self._nearest(few)[1]:
            found.append((kind, way))
            first, last = self.classes[kind][way]
            back = self.classes[kind].index((last, first)) if waiting[kind] else way
            found += [(kind, back), (kind, way)] * waiting[kind]
            waiting[kind] = 0
        return found

    def _in_row(self, left: tuple[int, ...]) -> Iterator[tuple[int, int]]:
        """(class, way) of each piece of a best sequence."""
        choices = self._starts(left)
        while any(left):
            _, kind, way, left = min(choices, key=lambda choice: choice[:3])
            yield kind, way
            choices = self._nexts(left, self.classes[kind][way][1])

    def _nearest(self, numbers: tuple[int, ...]) -> tuple[int, list[tuple[int, int]]]:
        """Sum of gaps, and (class, way) of each piece, where after any first piece the nearest one always follows."""
        if numbers not in self._near:
            self._near[numbers] = min(self._followed(*start) for start in self._choices(numbers))
        return self._near[numbers]

    def _followed(
        self, kind: int, way: int, end: int, rest: tuple[int, ...]
    ) -> tuple[int, list[tuple[int, int]]]:
        gaps, found, left = 0, [(kind, way)], list(rest)
        for _ in range(sum(rest)):
            near, kind, way, end = next(choice for choice in self._by_gap[end] if left[choice[1]])
            gaps += near
            found.append((kind, way))
            left[kind] -= 1
        return gaps, found

    @cached_property
    def _by_gap(self) -> tuple[list[tuple[int, int, int, int]], ...]:
        """For each end (gap, class, way, its last end) of whatever may follow, the nearest first."""
        ways = [
            (kind, way, first, last)
            for kind, of_one in enumerate(self.classes)
            for way, (first, last) in enumerate(of_one)
        ]
        return tuple(
            sorted((row[first], kind, way, last) for kind, way, first, last in ways) for row in self.gaps
        )


def _is_small(numbers: tuple[int, ...]) -> bool:
    """Whether all sequences of so many pieces of each class can be looked at."""
    return sum(numbers) <= _LONGEST and prod(n + 1 for n in numbers) <= _MOST_STATES

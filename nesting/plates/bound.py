"""A cost that no plan can beat: areas under many scales, and the cheapest numbers of sheets that satisfy them all."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import gcd
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.plates.blend import Blend
from nesting.plates.columns import Columns
from nesting.plates.counts import Cuts, cheapest_counts, single_cut
from nesting.plates.pricing import Priced, SheetPrices, StraightPrices
from nesting.plates.problem import Cutting, Layout, RectProblem, Turn
from nesting.plates.scales import needs_of, scales_of
from nesting.plates.types import Flags, Ints, Table
from nesting.progress import Budget
from stock.money import Cost

_GROUPS = 32
"""Sets of items looked at before no more are made."""
_CELLS = 2048
"""Rooms count at most so many cells of the grid that sides are rounded down to."""


class _Grid(NamedTuple):
    """Asked items and rooms in cells of a grid, every piece enlarged by the least distance that any kind asks for.

    Parameters
    ----------
    widths, heights, quarter, demands
        Of each item asked for.
    rooms
        Width and height of every distinct room.
    numbers
        Of each kind and room: how often a sheet has it.
    fits
        Of each kind and item: whether it fits as drawn; whether turned.
    """

    widths: Ints
    heights: Ints
    quarter: Flags
    demands: Ints
    rooms: Table
    numbers: Table
    fits: NDArray[np.bool_]

    @property
    def sides(self) -> tuple[Ints, Ints]:
        """The sides that scales along each axis must know: all of them where items turn."""
        if self.quarter.any():
            both = np.concatenate([self.widths, self.heights])
            return both, both
        return self.widths, self.heights


def lower_bound(problem: RectProblem, thorough: bool = True) -> Cost:
    """The bound, ten-thousandths; 0 if nothing is asked for.

    Parameters
    ----------
    thorough
        Whether to look for the blended cut where there are several kinds: up to a second.

    Raises
    ------
    NoSheets
        If the limited sheets cannot hold the items even by these counts.
    """
    bound = SheetBound(problem)
    bound.blend(thorough and len(problem.kinds) > 1)
    return bound.cost()


class SheetBound:
    """What bounds a problem, and the cuts found so far."""

    def __init__(self, problem: RectProblem) -> None:
        self.problem = problem
        self.asked = [i for i, item in enumerate(problem.items) if item.demand]
        self.cuts: list[Cuts] = []
        if not self.asked:
            return
        self.grid = grid = _grid(problem, self.asked)
        self.wide, self.high = (scales_of(side, grid.rooms[:, axis]) for axis, side in enumerate(grid.sides))
        tables = [(self.wide.most * n) @ self.high.most.T for n in grid.numbers]
        holds = np.stack(tables, axis=2).reshape(-1, len(problem.kinds))
        some_fit = np.logical_or.reduce(grid.fits, axis=0)
        for group in _groups(problem, self.asked):
            inside = np.array([i in group for i in self.asked], np.bool_)
            needs = needs_of(
                self.wide.values, self.high.values, grid.demands * inside, grid.quarter, some_fit
            )
            usable = np.array([bool(held & group) for held in problem.fitting], np.int64)
            self.cuts.append(Cuts(needs.reshape(-1), holds, usable))

    def cost(self) -> Cost:
        """The least cost of sheets that satisfy the cuts."""
        return cheapest_counts(self.problem, self.cuts) if self.asked else 0

    @cached_property
    def _blend(self) -> Blend:
        grid = self.grid
        return Blend(self.problem, self.wide, self.high, grid.numbers, grid.demands, grid.quarter, grid.fits)

    def blend(self, asked: bool) -> None:
        """Add the blended cut."""
        blended = self._blend.cut() if asked and self.asked else None
        if blended is not None:
            self.cuts.append(single_cut(*blended))

    def generate(self, layouts: Sequence[Layout], budget: Budget, known: Cost) -> None:
        """Add cuts found by column generation.

        Parameters
        ----------
        layouts
            Sheets to begin with, among them a whole plan.
        known
            Ends where nothing above this bound can come of it.
        """
        number_of = {item: n for n, item in enumerate(self.asked)}
        sheets = []
        for layout in layouts:
            counts = np.zeros(len(self.asked), np.int64)
            np.add.at(counts, [number_of[p.item] for p in layout.pieces], 1)
            sheets.append((layout.kind, counts))
        columns = Columns(self.problem, self.grid.demands, sheets)
        self.cuts += columns.cuts(_Prices(self.problem, self.grid, self._blend, budget).most, budget, known)


class _Prices:
    """The most that a sheet of each kind is worth, by pairs of scales and, where cuts are straight, by those."""

    def __init__(self, problem: RectProblem, grid: _Grid, blend: Blend, budget: Budget) -> None:
        self.paired = []
        self.straight: dict[int, StraightPrices] = {}
        for k, kind in enumerate(problem.kinds):
            rooms = grid.rooms[np.repeat(np.arange(len(grid.rooms)), grid.numbers[k])]
            size = (int(rooms[0, 0]), int(rooms[0, 1])) if len(rooms) == 1 else None
            area = int((rooms[:, 0] * rooms[:, 1]).sum())
            self.paired.append(SheetPrices(blend, k, grid.widths, grid.heights, area, size, budget))
            if kind.cutting is Cutting.GUILLOTINE and size:
                straight = StraightPrices(grid.widths, grid.heights, grid.fits[k], grid.quarter, size)
                if straight.is_usable:
                    self.straight[k] = straight

    def most(self, kind: int, prices: Ints, cost: int) -> Priced:
        """The less of both, as soon as one is no more than the sheet costs."""
        found = self.paired[kind].most(prices, cost)
        if found[0] <= cost or kind not in self.straight:
            return found
        return min(found, self.straight[kind].most(prices), key=lambda priced: priced[0])


def _grid(problem: RectProblem, asked: list[int]) -> _Grid:
    kinds = problem.kinds
    least = min(kind.between for kind in kinds)
    widths = np.array([problem.items[i].width + least for i in asked], np.int64)
    heights = np.array([problem.items[i].height + least for i in asked], np.int64)
    quarter = np.array([problem.items[i].turn == Turn.QUARTER for i in asked], np.bool_)
    demands = np.array([problem.items[i].demand for i in asked], np.int64)
    owners = np.array([k for k, kind in enumerate(kinds) for _ in kind.rooms], np.int64)
    sizes = np.array(
        [(r.width + least - k.between, r.height + least - k.between) for k in kinds for r in k.rooms],
        np.int64,
    )
    if quarter.any():
        cells = (_cell(np.concatenate([widths, heights]), sizes),) * 2
    else:
        cells = _cell(widths, sizes[:, 0]), _cell(heights, sizes[:, 1])
    widths, heights, sizes = widths // cells[0], heights // cells[1], sizes // np.array(cells)
    rooms, which = np.unique(sizes, axis=0, return_inverse=True)
    numbers = np.zeros((len(kinds), len(rooms)), np.int64)
    np.add.at(numbers, (owners, which.reshape(-1)), 1)
    fits = _fits(problem, asked, widths, heights, rooms, numbers)
    return _Grid(widths, heights, quarter, demands, rooms, numbers, fits)


def _cell(sides: Ints, lengths: Ints) -> int:
    """Ticks of a cell: rounding sides and rooms down to it loses nothing of sides that are whole cells."""
    cell = gcd(*sides.tolist())
    return cell * max(1, -(-int(lengths.max()) // (cell * _CELLS)))


def _groups(problem: RectProblem, asked: list[int]) -> list[frozenset[int]]:
    """All items, and those that none of some kinds can hold: they need sheets of the others."""
    groups = {frozenset(asked)}
    for held in sorted(set(problem.fitting), key=len):
        groups |= {group - held for group in groups} if len(groups) < _GROUPS else set()
    return sorted((g for g in groups if g), key=sorted)


def _fits(
    problem: RectProblem, asked: list[int], widths: Ints, heights: Ints, rooms: Table, numbers: Table
) -> NDArray[np.bool_]:
    """Of each kind and item whether it fits some room as drawn, and turned."""
    may = np.array([[i in held for i in asked] for held in problem.fitting], np.bool_)
    straight = (widths <= rooms[:, :1]) & (heights <= rooms[:, 1:])
    turned = (heights <= rooms[:, :1]) & (widths <= rooms[:, 1:])
    return np.stack([(numbers @ way > 0) & may for way in (straight, turned)], axis=2)

"""A cost that no plan can beat: areas under many scales, and the cheapest numbers of sheets that satisfy them all."""

from __future__ import annotations

from math import gcd
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.plates.blend import Blend
from nesting.plates.counts import Cuts, cheapest_counts, single_cut
from nesting.plates.problem import RectProblem, Turn
from nesting.plates.scales import needs_of, scales_of
from nesting.plates.types import Flags, Ints, Table
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
    asked = [i for i, item in enumerate(problem.items) if item.demand]
    if not asked:
        return 0
    grid = _grid(problem, asked)
    wide, high = (scales_of(side, grid.rooms[:, axis]) for axis, side in enumerate(grid.sides))
    holds = np.stack([(wide.most * n) @ high.most.T for n in grid.numbers], axis=2).reshape(
        -1, len(problem.kinds)
    )
    some_fit = np.logical_or.reduce(grid.fits, axis=0)
    cuts = []
    for group in _groups(problem, asked):
        inside = np.array([i in group for i in asked], np.bool_)
        needs = needs_of(wide.values, high.values, grid.demands * inside, grid.quarter, some_fit)
        usable = np.array([bool(held & group) for held in problem.fitting], np.int64)
        cuts.append(Cuts(needs.reshape(-1), holds, usable))
    if thorough and len(problem.kinds) > 1:
        blend = Blend(problem, wide, high, grid.numbers, grid.demands, grid.quarter, grid.fits)
        blended = blend.cut()
        if blended is not None:
            cuts.append(single_cut(*blended))
    return cheapest_counts(problem, cuts)


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

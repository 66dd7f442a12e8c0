"""A cost that no plan can beat: areas under many scales, and the cheapest numbers of sheets that satisfy them all."""

from __future__ import annotations

from math import gcd

import numpy as np
from numpy.typing import NDArray

from nesting.plates.blend import Blend
from nesting.plates.counts import Cuts, cheapest_counts, single_cut
from nesting.plates.problem import RectProblem, Turn
from nesting.plates.scales import needs_of, scales_of
from nesting.plates.types import Ints, Table
from stock.money import Cost

_GROUPS = 32
"""Sets of items looked at before no more are made."""
_CELLS = 2048
"""Rooms count at most so many cells of the grid that sides are rounded down to."""


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
    least = min(kind.between for kind in problem.kinds)
    widths = np.array([problem.items[i].width + least for i in asked], np.int64)
    heights = np.array([problem.items[i].height + least for i in asked], np.int64)
    rooms = np.array([kind.room for kind in problem.kinds], np.int64)
    rooms += least - np.array([[kind.between] for kind in problem.kinds], np.int64)
    quarter = np.array([problem.items[i].turn == Turn.QUARTER for i in asked], np.bool_)
    if quarter.any():
        both = np.concatenate([widths, heights])
        both, across = _coarse(both, rooms.max(axis=1), rooms)
        widths, heights = both[: len(asked)], both[len(asked) :]
        sides = both, both
    else:
        widths, wide = _coarse(widths, rooms[:, 0], rooms[:, :1])
        heights, high = _coarse(heights, rooms[:, 1], rooms[:, 1:])
        across = np.concatenate([wide, high], axis=1)
        sides = widths, heights
    demands = np.array([problem.items[i].demand for i in asked], np.int64)
    along = [scales_of(side, np.ascontiguousarray(across[:, axis])) for axis, side in enumerate(sides)]
    fits = _fits(problem, asked, widths, heights, across)
    some_fit = np.logical_or.reduce(fits, axis=0)
    cuts: dict[tuple[int, ...], Cuts] = {}
    for group in _groups(problem, asked):
        usable = np.array([bool(held & group) for held in problem.fitting], np.bool_)
        inside = np.array([i in group for i in asked], np.bool_)
        needs = needs_of(along[0].values, along[1].values, demands * inside, quarter, some_fit)
        holds = along[0].most[:, None, :] * along[1].most[None, :, :] * usable
        cuts[tuple(sorted(group))] = Cuts(needs.reshape(-1), holds.reshape(needs.size, -1))
    tables = list(cuts.values())
    if thorough and len(problem.kinds) > 1:
        costs = np.array([k.cost for k in problem.kinds], np.float64)
        limits = np.array([np.inf if k.limit is None else k.limit for k in problem.kinds], np.float64)
        blended = Blend(along[0], along[1], demands, quarter, fits, costs, limits).cut()
        if blended is not None:
            tables.append(single_cut(*blended))
    return cheapest_counts(problem, tables)


def _coarse(sides: Ints, lengths: Ints, rooms: Table) -> tuple[Ints, Table]:
    """Sides and rooms in cells, rounded down; sides of whole cells stay exact."""
    cell = gcd(*sides.tolist())
    cell *= max(1, -(-int(lengths.max()) // (cell * _CELLS)))
    return sides // cell, rooms // cell


def _groups(problem: RectProblem, asked: list[int]) -> list[frozenset[int]]:
    """All items, and those that none of some kinds can hold: they need sheets of the others."""
    groups = {frozenset(asked)}
    for held in sorted(set(problem.fitting), key=len):
        groups |= {group - held for group in groups} if len(groups) < _GROUPS else set()
    return sorted((g for g in groups if g), key=sorted)


def _fits(
    problem: RectProblem, asked: list[int], widths: Ints, heights: Ints, rooms: Table
) -> NDArray[np.bool_]:
    """Of each kind and item whether it fits the room as drawn, and turned."""
    may = np.array([[i in held for i in asked] for held in problem.fitting], np.bool_)
    straight = (widths <= rooms[:, :1]) & (heights <= rooms[:, 1:])
    turned = (heights <= rooms[:, :1]) & (widths <= rooms[:, 1:])
    return np.stack([straight & may, turned & may], axis=2)

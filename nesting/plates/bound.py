"""A cost that no plan can beat: areas under many scales, and the cheapest numbers of sheets that satisfy them all."""

from __future__ import annotations

from math import gcd

import numpy as np
from numba import njit

from nesting.plates.counts import Cuts, cheapest_counts
from nesting.plates.problem import RectProblem, Turn
from nesting.plates.scales import scales_of
from nesting.plates.types import Flags, Ints, Table
from stock.money import Cost

_GROUPS = 32
"""Sets of items looked at before no more are made."""
_CELLS = 2048
"""Rooms count at most so many cells of the grid that sides are rounded down to."""


def lower_bound(problem: RectProblem) -> Cost:
    """The bound, ten-thousandths; 0 if nothing is asked for.

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
    fits = _fits(widths, heights, across)
    cuts: dict[tuple[int, ...], Cuts] = {}
    for group in _groups(problem, asked):
        usable = np.array([bool(held & group) for held in problem.fitting], np.bool_)
        inside = np.array([i in group for i in asked], np.bool_)
        needs = _needs(along[0].values, along[1].values, demands * inside, quarter, fits)
        holds = along[0].most[:, None, :] * along[1].most[None, :, :] * usable
        cuts[tuple(sorted(group))] = Cuts(needs.reshape(-1), holds.reshape(needs.size, -1))
    return cheapest_counts(problem, list(cuts.values()))


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


def _fits(widths: Ints, heights: Ints, rooms: Table) -> Table:
    """Of each item whether it fits some room as drawn (1), turned (2), or both (3)."""
    straight = ((widths[:, None] <= rooms[:, 0]) & (heights[:, None] <= rooms[:, 1])).any(axis=1)
    turned = ((heights[:, None] <= rooms[:, 0]) & (widths[:, None] <= rooms[:, 1])).any(axis=1)
    return np.stack([straight, turned], axis=1).astype(np.int64)


@njit(cache=True, nogil=True)
def _needs(wide: Table, high: Table, demands: Ints, quarter: Flags, fits: Table) -> Table:
    """Of each pair of scales what all pieces add up to at least, whichever way they lie."""
    n = demands.size
    result = np.zeros((wide.shape[0], high.shape[0]), np.int64)
    for i in range(n):
        if demands[i] == 0:
            continue
        for a in range(wide.shape[0]):
            for b in range(high.shape[0]):
                if quarter[i]:
                    straight = wide[a, i] * high[b, n + i]
                    turned = wide[a, n + i] * high[b, i]
                    if fits[i, 0] == 0:
                        straight = turned
                    elif fits[i, 1] == 0:
                        turned = straight
                    value = min(straight, turned)
                elif high.shape[1] == n:
                    value = wide[a, i] * high[b, i]
                else:
                    value = wide[a, i] * high[b, n + i]
                result[a, b] += demands[i] * value
    return result

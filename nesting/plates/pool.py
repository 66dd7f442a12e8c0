"""Every good sheet seen, and the cheapest whole-number combination of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np

from nesting.highs import INFINITY, quiet_highs
from nesting.plates.field import Desk, Field, placed_piece
from nesting.plates.problem import Layout, RectProblem
from nesting.plates.types import Ints, Table
from nesting.progress import Budget
from stock.money import Cost

_MOST = 20_000
"""Sheets kept in a pool."""


@dataclass(frozen=True, slots=True)
class Filled:
    """A filled sheet.

    Parameters
    ----------
    kind
        Its kind.
    items
        The item of each piece, ascending.
    at
        x and y in the room and 1 if turned, of each piece.
    """

    kind: int
    items: Ints
    at: Table


class Pool:
    """Filled sheets, no two of one kind with the same items."""

    def __init__(self, problem: RectProblem, field: Field) -> None:
        self.problem = problem
        self.field = field
        self.sheets: dict[tuple[int, bytes], Filled] = {}
        self.fresh = 0

    def add(self, desk: Desk) -> None:
        """Put in all sheets of a plan."""
        order = np.lexsort((self.field.alike, desk.sheet_of))
        starts = np.searchsorted(desk.sheet_of[order], np.arange(int(desk.sheets[0]) + 1))
        for sheet in range(int(desk.sheets[0])):
            pieces = order[starts[sheet] : starts[sheet + 1]]
            items = self.field.alike[pieces]
            key = (int(desk.kind_of[sheet]), items.tobytes())
            if key not in self.sheets and len(self.sheets) < _MOST:
                self.sheets[key] = Filled(key[0], items, desk.at[pieces])
                self.fresh += 1

    def put(self, layouts: Sequence[Layout]) -> list[Filled]:
        """Put in sheets; returns those that are new."""
        fresh = []
        for layout in layouts:
            near = self.problem.kinds[layout.kind].near
            items = np.array([p.item for p in layout.pieces], np.int64)
            at = np.array([(p.x - near[0], p.y - near[1], p.turned) for p in layout.pieces], np.int64)
            key = (layout.kind, items.tobytes())
            if items.size and key not in self.sheets and len(self.sheets) < _MOST:
                fresh.append(Filled(layout.kind, items, at.reshape(-1, 3)))
                self.sheets[key] = fresh[-1]
        self.fresh += len(fresh)
        return fresh

    def fullest(self, most: int) -> tuple[Layout, ...]:
        """So many of the sheets, those with least area free first."""
        items = self.problem.items
        areas = np.array([float(i.width) * i.height for i in items])
        spans = self.field.spans
        ranked = sorted(
            self.sheets.items(), key=lambda pair: (-areas[pair[1].items].sum() / spans[pair[1].kind], pair[0])
        )
        return tuple(self._layout(sheet) for _, sheet in ranked[:most])

    def _layout(self, sheet: Filled) -> Layout:
        pieces = (
            placed_piece(self.problem, sheet.kind, int(item), int(x), int(y), bool(turned))
            for item, (x, y, turned) in zip(sheet.items, sheet.at, strict=True)
        )
        return Layout(sheet.kind, tuple(sorted(pieces)))

    def combine(self, below: Cost, budget: Budget, seconds: float, nodes: int) -> list[Filled] | None:
        """The cheapest sheets that hold at least the demand, if cheaper than `below`; None if none were found.

        Parameters
        ----------
        seconds, nodes
            Limits of this call: the seconds count if the budget is by the clock, the nodes if it is by steps.
        """
        self.fresh = 0
        sheets = list(self.sheets.values())
        if not sheets:
            return None
        unit = float(max([1, *(k.cost for k in self.problem.kinds)]))
        highs = self._model(sheets, unit)
        highs.setOptionValue("objective_bound", (below - 0.5) / unit)
        highs.setOptionValue("mip_rel_gap", 0.0)
        highs.setOptionValue("random_seed", 0)
        if budget.counted:
            highs.setOptionValue("mip_max_nodes", nodes)
        else:
            highs.setOptionValue("time_limit", min(seconds, budget.seconds_left()))
        highs.run()
        budget.spend(max(1, int(highs.getInfo().mip_node_count)))
        if highs.getInfo().primal_solution_status != 2:
            return None
        numbers = np.rint(np.array(highs.getSolution().col_value)).astype(int)
        found = [s for s, n in zip(sheets, numbers, strict=True) for _ in range(n)]
        return found if sum(self.problem.kinds[s.kind].cost for s in found) < below else None

    def _model(self, sheets: list[Filled], unit: float) -> highspy.Highs:
        """Rows: items and limited sources; columns: sheets in whole numbers."""
        demands = np.array([i.demand for i in self.problem.items], np.float64)
        limits = np.array(list(self.problem.limited.values()), np.float64)
        row_of = {source: demands.size + n for n, source in enumerate(self.problem.limited)}
        lp = highspy.HighsLp()
        lp.num_col_ = len(sheets)
        lp.num_row_ = demands.size + limits.size
        lp.col_cost_ = np.array([self.problem.kinds[s.kind].cost / unit for s in sheets])
        lp.col_lower_ = np.zeros(len(sheets))
        starts, index, value, most = [0], [], [], []
        for sheet in sheets:
            items, counts = np.unique(sheet.items, return_counts=True)
            index += items.tolist()
            value += counts.tolist()
            most.append(float(np.ceil(demands[items] / counts).max()))
            row = row_of.get(self.problem.kinds[sheet.kind].source)
            if row is not None:
                index.append(row)
                value.append(1)
            starts.append(len(index))
        lp.col_upper_ = np.array(most)
        lp.row_lower_ = np.concatenate([demands, np.zeros(limits.size)])
        lp.row_upper_ = np.concatenate([np.full(demands.size, INFINITY), limits])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.array(starts, np.int32)
        lp.a_matrix_.index_ = np.array(index, np.int32)
        lp.a_matrix_.value_ = np.array(value, np.float64)
        lp.integrality_ = [highspy.HighsVarType.kInteger] * len(sheets)
        highs = quiet_highs()
        highs.passModel(lp)
        return highs


def lay(field: Field, desk: Desk, sheets: list[Filled]) -> None:
    """Put filled sheets on the desk; copies above the demand are not cut, sheets that then hold nothing left out."""
    waiting: dict[int, list[int]] = {}
    for p in range(field.alike.size - 1, -1, -1):
        waiting.setdefault(int(field.alike[p]), []).append(p)
    desk.sheet_of[:] = -1
    count = 0
    for sheet in sheets:
        used = False
        for item, at in zip(sheet.items.tolist(), sheet.at, strict=True):
            if waiting[item]:
                p = waiting[item].pop()
                desk.sheet_of[p] = count
                desk.at[p] = at
                used = True
        if used:
            desk.kind_of[count] = sheet.kind
            count += 1
    desk.sheets[0] = count

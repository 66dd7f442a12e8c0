"""Whole-number masters by HiGHS: the best combination of given patterns."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np

from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution
from nesting.bars.types import Ints
from nesting.highs import INFINITY, quiet_highs
from nesting.progress import Budget
from stock.money import Cost


@dataclass(frozen=True, slots=True)
class Combined:
    """What the whole-number master gave.

    Parameters
    ----------
    solution
        None if nothing cheaper than the cut-off was found.
    complete
        Whether the search ended by itself: nothing of these patterns is cheaper.
    """

    solution: Solution | None
    complete: bool


def combine(
    problem: Problem,
    patterns: Sequence[Pattern],
    demands: Ints,
    taken: dict[int, int],
    below: Cost,
    budget: Budget,
    seconds: float,
    nodes: int,
    spare: Ints | None = None,
) -> Combined:
    """The cheapest whole-number combination of patterns that makes at least the demand and costs less than `below`.

    Parameters
    ----------
    taken
        Sticks of each source that are used elsewhere.
    seconds, nodes
        Limits of this call: the seconds count if the budget is by the clock, the nodes if it is by steps.
    spare
        Of each item how many copies beyond its demand may be made; None: any number.
    """
    if not patterns:
        return Combined(None, True)
    unit = float(max(problem.cost_step, 1))
    highs = _model(problem, patterns, demands, taken, unit, spare)
    cutoff = (below - problem.cost_step) / unit + 0.5
    highs.setOptionValue("objective_bound", cutoff)
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 0.999 if unit == float(problem.cost_step) else 0.0)
    highs.setOptionValue("random_seed", 0)
    if budget.counted:
        most = min(nodes, budget.steps_left() or 0)
        highs.setOptionValue("mip_max_nodes", most)
    else:
        highs.setOptionValue("time_limit", min(seconds, budget.seconds_left()))
    _run(highs, budget)
    info = highs.getInfo()
    budget.spend(max(1, int(info.mip_node_count)))
    status = highs.getModelStatus()
    complete = status in (
        highspy.HighsModelStatus.kOptimal,
        highspy.HighsModelStatus.kInfeasible,
        highspy.HighsModelStatus.kObjectiveBound,
    )
    if info.primal_solution_status != 2:
        return Combined(None, complete)
    values = np.rint(np.array(highs.getSolution().col_value)).astype(int)
    solution = {p: int(n) for p, n in zip(patterns, values, strict=True) if n > 0}
    cost = sum(n * problem.cost(p) for p, n in solution.items())
    return Combined(solution if cost < below else None, complete)


def _model(
    problem: Problem,
    patterns: Sequence[Pattern],
    demands: Ints,
    taken: dict[int, int],
    unit: float,
    spare: Ints | None,
) -> highspy.Highs:
    """Rows: items and limited sources; columns: patterns in whole numbers."""
    highs = quiet_highs()
    limits = {
        s: source.limit - taken.get(s, 0)
        for s, source in enumerate(problem.sources)
        if source.limit is not None
    }
    rows = {s: len(demands) + r for r, s in enumerate(limits)}
    lp = highspy.HighsLp()
    lp.num_col_ = len(patterns)
    lp.num_row_ = len(demands) + len(limits)
    lp.col_cost_ = np.array([problem.cost(p) / unit for p in patterns])
    lp.col_lower_ = np.zeros(len(patterns))
    lp.col_upper_ = np.array([_most(problem, p, demands, limits) for p in patterns])
    lp.row_lower_ = np.concatenate([demands.astype(float), np.zeros(len(limits))])
    most = np.full(len(demands), INFINITY) if spare is None else (demands + spare).astype(float)
    lp.row_upper_ = np.concatenate([most, np.array(list(limits.values()), float)])
    starts, index, value = [0], [], []
    for p in patterns:
        for i, k in p.counts:
            index.append(i)
            value.append(float(k))
        row = rows.get(problem.stocks[p.stock].source)
        if row is not None:
            index.append(row)
            value.append(1.0)
        starts.append(len(index))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.array(starts, np.int32)
    lp.a_matrix_.index_ = np.array(index, np.int32)
    lp.a_matrix_.value_ = np.array(value)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(patterns)
    highs.passModel(lp)
    return highs


def _most(problem: Problem, pattern: Pattern, demands: Ints, limits: dict[int, int]) -> float:
    """More sticks than this of one pattern make no sense."""
    need = max(-(-int(demands[i]) // k) for i, k in pattern.counts)
    return float(max(0, min(need, limits.get(problem.stocks[pattern.stock].source, need))))


def _run(highs: highspy.Highs, budget: Budget) -> None:
    """Run HiGHS so that the user can still interrupt."""
    thread = threading.Thread(target=highs.run, daemon=True)
    highs.HandleUserInterrupt = True
    thread.start()
    while thread.is_alive():
        thread.join(0.05)
        if budget.progress.interrupted():
            highs.cancelSolve()
            thread.join()

"""A bound that knows about whole sticks and sheets where some material is cut to length and paid by length.

Any prices at which no stick cut to length is worth more than it costs give a cut: the money spent on such sticks and
what the whole sticks and sheets can hold at the most are together no less than all items are worth. The cheapest
money and whole numbers that satisfy the cuts are a bound. What the rest of a whole stick earns less for every tick cut
from it is money spent by length as well; the stick itself costs what it does if all of it is left.

Source: Benders 1962, as in `bars.counts`; here a part of the cost is not tied to numbers.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from ortools.sat.python import cp_model

from nesting.bars.construct import NoStock
from nesting.bars.problem import Certificate, Stock
from nesting.bars.types import Ints
from nesting.joint.pricing import JointPricer
from nesting.joint.problem import JointProblem
from nesting.joint.relax import relaxed_bound, worths
from nesting.progress import Budget
from stock.money import Cost

_DEARER = 100
"""Whole sticks and sheets so much dearer give the prices of what is cut to length."""
_WORK = 1.0
"""Deterministic time units of CP-SAT."""
_BITS = 60
"""Of sums that CP-SAT can take."""

_Cut = tuple[int, list[int], int]
"""Worth of a ten-thousandth spent by length, most worth of one of each way beyond that, worth of all items."""


def whole_bound(pricer: JointPricer, certificate: Certificate, most: Cost, budget: Budget) -> Cost:
    """What any plan costs at the least, ten-thousandths; 0 if that was not settled.

    Parameters
    ----------
    certificate
        Of the relaxation.
    most
        Cost of a plan: the bound is no higher, and no source is needed more often than that money buys.
    """
    problem = pricer.problem
    dear = _dearer(problem)
    try:
        beside = relaxed_bound(JointPricer(dear, pricer.scale, 0), budget)[0].certificate
    except NoStock:
        return 0
    cuts = [_cut(pricer, certificate), _cut(pricer, beside)]
    return _cheapest(problem, [cut for cut in cuts if cut is not None], most)


def _dearer(problem: JointProblem) -> JointProblem:
    """The same with whole sticks and sheets so dear that prices follow what is cut to length."""

    def raised(stock: Stock) -> Stock:
        return stock if stock.is_cut_to_length else replace(stock, cost=_DEARER * stock.cost)

    kinds = tuple(replace(kind, cost=_DEARER * kind.cost) for kind in problem.sheets.kinds)
    return replace(
        problem,
        stocks=tuple(raised(s) for s in problem.stocks),
        sticks=replace(problem.sticks, stocks=tuple(raised(s) for s in problem.sticks.stocks)),
        sheets=replace(problem.sheets, kinds=kinds),
    )


def _cut(pricer: JointPricer, certificate: Certificate) -> _Cut | None:
    """The cut of some prices; None if a stick cut to length might be worth more than it costs."""
    problem, scale = pricer.problem, certificate.scale
    prices: Ints = np.array(certificate.item_prices, np.int64)
    allowed = [problem.worth_limit(t, scale) for t in range(len(problem.stocks))]
    held = [0] * (max(problem.ways) + 1)
    for t, worth in enumerate(worths(pricer, prices, allowed)):
        way = problem.ways[t]
        if not problem.stocks[t].is_cut_to_length:
            held[way] = max(held[way], worth)
        elif worth > allowed[t]:
            return None
    return scale, held, sum(p * d for p, d in zip(certificate.item_prices, problem.demands, strict=True))


def _cheapest(problem: JointProblem, cuts: list[_Cut], most: Cost) -> Cost:
    """The least money and numbers that satisfy the cuts."""
    model = cp_model.CpModel()
    money = model.new_int_var(0, most, "")
    terms: list[cp_model.LinearExprT] = [money]
    numbers: dict[int, tuple[cp_model.IntVar, int]] = {}
    of_source: dict[int, list[cp_model.IntVar]] = {}
    for way in range(max(problem.ways) + 1):
        stocks = [t for t, of in enumerate(problem.ways) if of == way]
        whole = [t for t in stocks if not problem.stocks[t].is_cut_to_length]
        if whole:
            source = problem.stocks[whole[0]].source
            cost = max(0, min(problem.worth_limit(t, 1) for t in whole))
            top = most // cost if cost else sum(problem.demands)
            limit = problem.sources[source].limit
            top = top if limit is None else min(top, limit)
            numbers[way] = model.new_int_var(0, top, ""), top
            of_source.setdefault(source, []).append(numbers[way][0])
            terms.append(cost * numbers[way][0])
    for source, some in of_source.items():
        limit = problem.sources[source].limit
        if limit is not None and len(some) > 1:
            model.add(sum(some) <= limit)
    for scale, held, need in cuts:
        size = scale * most + sum(held[way] * top for way, (_, top) in numbers.items())
        shift = max(0, max(size, need).bit_length() - _BITS)
        worth = [-(-held[way] >> shift) * n for way, (n, _) in numbers.items()]
        model.add(-(-scale >> shift) * money + sum(worth) >= need >> shift)
    model.minimize(sum(terms))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = _WORK
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return most
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return 0
    return max(0, int(np.floor(solver.best_objective_bound)))

"""Where rests earn: how many sticks are cut in each way, and the least that a plan with just these numbers costs.

A *way* is a source with a rest that is kept, or without, on whatever saw. The linear relaxation fills
sticks in fractions, so that it never pays for the share of a stick that earns less than it cost. With whole numbers of
sticks it must: then the length of all rests is settled, and only how much of it is kept is left to choose.

Any prices of the items give a line below the cost of all numbers: what all items are worth, less what a stick of each
way can hold beyond its cost. The numbers that are cheapest by the lines found so far are a bound; the relaxation with
just these numbers gives the next line.

Source: Benders 1962 (lines from a subproblem's duals), Gilmore and Gomory 1961 (the duals); the numbers are chosen by
CP-SAT in whole numbers, so that the bound is exact.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from ortools.sat.python import cp_model

from nesting.bars.bound import whole_prices
from nesting.bars.columns import generate
from nesting.bars.counts import Choice, solved
from nesting.bars.dive import dive
from nesting.bars.enumerate import widest_band
from nesting.bars.master import Master
from nesting.bars.mip import combine
from nesting.bars.pricing import Priced, Pricer
from nesting.bars.problem import Certificate, Pattern, Problem, Source
from nesting.bars.solution import Solution
from nesting.bars.types import Floats
from nesting.progress import Budget
from stock.money import Cost

_STEP_UNIT = 2**26
"""About how many units a step of the cost has in the lines: finer ones make no difference."""
_LISTS = (1_000, 4_000, 16_000)
_SECONDS = 4.0


@dataclass(frozen=True, slots=True)
class _Line:
    """step x cost >= need - sum(over x number), in some unit."""

    step: int
    over: tuple[int, ...]
    need: int

    def least(self, counts: tuple[int, ...]) -> int:
        """Cost of these numbers at the least, in steps."""
        beyond = self.need - sum(o * n for o, n in zip(self.over, counts, strict=True))
        return -(-beyond // self.step)


@dataclass(frozen=True, slots=True)
class Settled:
    """What is known of some numbers of sticks.

    Parameters
    ----------
    solution
        One found, or None.
    least
        Beside that nothing with these numbers costs less; 0 if nothing was shown.
    """

    solution: Solution | None
    least: Cost


class WayCounts:
    """The numbers of sticks of each way, and what is known of their cost.

    Parameters
    ----------
    pricer
        The problem; nothing in it is cut to length.
    """

    def __init__(self, pricer: Pricer) -> None:
        self.pricer, self.problem = pricer, pricer.problem
        self._lines: list[_Line] = []
        self._floors: dict[tuple[int, ...], Cost] = {}
        self._refused: list[tuple[int, ...]] = []
        self._demands = np.array(self.problem.demands, np.int64)
        self.add_line(np.zeros(len(self.problem.items)))

    def add_line(self, prices: Floats, above: Choice | None = None) -> bool:
        """Add the line of some item prices; False if it does not lift a choice above its cost."""
        problem, scale = self.problem, self.pricer.scale
        whole = whole_prices(prices, scale)
        found = self.pricer.best(whole, [0] * len(problem.stocks), self._demands)
        if not all(p.exact for p in found.values()):
            return False
        over = _beyond(problem, found, scale)
        unit = max(1, scale * problem.cost_step // _STEP_UNIT)
        need = sum(int(p) * d for p, d in zip(whole, problem.demands, strict=True))
        line = _Line(
            step=-(-scale * problem.cost_step // unit),
            over=tuple(-(-o // unit) for o in over),
            need=need // unit,
        )
        if above is not None and line.least(above.counts) * problem.cost_step <= above.cost:
            return False
        self._lines.append(line)
        return True

    def lift(self, counts: tuple[int, ...], least: Cost) -> None:
        """Nothing with these numbers costs less than `least`."""
        self._floors[counts] = least

    def refuse(self, counts: tuple[int, ...]) -> None:
        """Pass over these numbers for now: nothing cheaper was found, which proves nothing."""
        self._refused.append(counts)

    def forget_refused(self) -> None:
        """Take refused numbers into consideration again."""
        self._refused.clear()

    def cheapest(self, at_least: Cost, below: Cost, budget: Budget) -> Choice | None:
        """The numbers that are cheapest by the lines, from `at_least` up to less than `below`.

        Returns None if there are none. Raises Undecided if that is not settled.
        """
        problem, step = self.problem, self.problem.cost_step
        model = cp_model.CpModel()
        counts = [model.new_int_var(0, self._most(way, below), "") for way in _ways(problem)]
        cost = model.new_int_var(-(-at_least // step), (below - 1) // step, "")
        for s, source in enumerate(problem.sources):
            if source.limit is not None:
                mine = {problem.ways[t] for t, stock in enumerate(problem.stocks) if stock.source == s}
                model.add(sum(counts[way] for way in mine) <= source.limit)
        for line in self._lines:
            model.add(
                line.step * cost + sum(o * n for o, n in zip(line.over, counts, strict=True)) >= line.need
            )
        out = [known for known, least in self._floors.items() if least >= below] + self._refused
        if out:
            model.add_forbidden_assignments(counts, out)
        for known, least in self._floors.items():
            if known not in out:
                _if_equal(model, counts, known, cost, -(-least // step))
        model.minimize(cost)
        solver = solved(model, budget)
        if solver is None:
            return None
        return Choice(tuple(solver.value(n) for n in counts), solver.value(cost) * step)

    def _most(self, way: int, below: Cost) -> int:
        """More sticks of a way than this make no sense."""
        problem = self.problem
        stocks = [t for t, of in enumerate(problem.ways) if of == way]
        limit = problem.sources[problem.stocks[stocks[0]].source].limit
        if all(_first(problem, t) is None for t in stocks):
            return 0
        pieces = sum(problem.demands[i] for i in {i for t in stocks for i in problem.stocks[t].items})
        least = min(problem.worth_limit(t, 1) for t in stocks)
        most = pieces if least <= 0 else min(pieces, max(0, below) // least)
        return most if limit is None else min(limit, most)


class Spot:
    """The problem with just so many sticks of each way, and its relaxation.

    Parameters
    ----------
    master
        Gives its patterns, and gets those that are found.
    choice
        The numbers.
    """

    def __init__(self, master: Master, choice: Choice, budget: Budget) -> None:
        whole, counts = master.problem, choice.counts
        used = [counts[way] for way in whole.ways]
        self.problem = Problem(
            whole.items,
            tuple(Source(limit=n) for n in counts),
            tuple(
                replace(s, source=way, items=s.items if n else (), weights=s.weights if n else ())
                for s, way, n in zip(whole.stocks, whole.ways, used, strict=True)
            ),
        )
        self.pricer = Pricer(self.problem, max(1, 2**40 // max([1, *(s.most for s in whole.stocks)])))
        self.demands = np.array(whole.demands, np.int64)
        self.master = Master(self.problem, master.unit, exact=True)
        self._outer = master
        self.master.add(p for t, n in enumerate(used) if n and (p := _first(whole, t)) is not None)
        self.master.add(p for p in master.patterns if used[p.stock])
        known = len(self.master.patterns)
        _, self.duals, _, _ = generate(self.master, self.pricer, self.demands, budget, most_rounds=200)
        master.add(self.master.patterns[known:])

    def solutions(
        self, below: Cost, tries: int, budget: Budget, rng: np.random.Generator
    ) -> Iterator[Solution]:
        """Solutions with these numbers, or fewer, that may be cheaper than `below`."""
        known = len(self.master.patterns)
        for n in range(tries):
            if budget.over():
                return
            found = dive(self.master, self.pricer, below, budget, rng, 0.3 if n else 0.0, tries=4 if n else 1)
            if found is not None:
                yield found
            if n == 0:
                pool = self.master.patterns[-3_000:]
                mixed = combine(
                    self.problem, pool, self.demands, {}, below, budget, seconds=0.5, nodes=100
                ).solution
                if mixed is not None:
                    yield mixed
        self._outer.add(self.master.patterns[known:])

    def settle(self, choice: Choice, below: Cost, budget: Budget) -> Settled | None:
        """Look for solutions with these numbers from the least cost on; None if there is too much to ask.

        A whole-number master over every pattern whose reduced cost, by the prices of this relaxation, fits the gap;
        where these are too many, as far up as they are not.
        """
        problem, pricer = self.problem, self.pricer
        whole = whole_prices(self.duals, pricer.scale)
        found = pricer.best(whole, [0] * len(problem.stocks), self.demands)
        if not all(p.exact for p in found.values()):
            return None
        over = _beyond(problem, found, pricer.scale)
        certificate = Certificate(pricer.scale, tuple(int(p) for p in whole), over)
        # with these numbers nothing costs more than if no rest earned
        costs = {s.source: s.cost for s in sorted(problem.stocks, key=lambda s: s.cost)}
        dearest = sum(n * costs[way] for way, n in enumerate(choice.counts))
        highest = min(below - problem.cost_step, dearest)
        for most in _LISTS:
            band = widest_band(pricer, certificate, choice.cost, highest, most, budget)
            if band is None:
                continue
            above = band[0] + problem.cost_step
            patterns = [p for part in band[1] for p in part.patterns()]
            mixed = combine(problem, patterns, self.demands, {}, above, budget, _SECONDS, nodes=500)
            least = (below if mixed.solution or band[0] == dearest else above) if mixed.complete else 0
            return Settled(mixed.solution, least)
        return None


def _ways(problem: Problem) -> range:
    return range(max(problem.ways, default=-1) + 1)


def _beyond(problem: Problem, found: dict[int, Priced], scale: int) -> tuple[int, ...]:
    """Of each way the most that a stick can hold beyond its cost, certificate units; below zero if it never pays."""
    over: dict[int, int] = {}
    for t, way in enumerate(problem.ways):
        if t in found:
            beyond = found[t].value - problem.worth_limit(t, scale)
            over[way] = max(beyond, over.get(way, beyond))
    return tuple(over.get(way, 0) for way in _ways(problem))


def _if_equal(
    model: cp_model.CpModel,
    numbers: list[cp_model.IntVar],
    known: tuple[int, ...],
    cost: cp_model.IntVar,
    least: int,
) -> None:
    """The cost of known numbers is at least so much."""
    ways_out = []
    for number, value in zip(numbers, known, strict=True):
        for other in (number >= value + 1, number <= value - 1):
            differs = model.new_bool_var("")
            model.add(other).only_enforce_if(differs)
            ways_out.append(differs)
    is_dear = model.new_bool_var("")
    model.add(cost >= least).only_enforce_if(is_dear)
    model.add_bool_or([*ways_out, is_dear])


def _first(problem: Problem, t: int) -> Pattern | None:
    """A stick of a way with one piece on it; None if it holds none."""
    stock = problem.stocks[t]
    fitting = (p for i in stock.items if problem.can_be_cut(p := Pattern(t, ((i, 1),))))
    return next(fitting, None)

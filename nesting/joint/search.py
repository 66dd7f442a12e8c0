"""The cheapest way to cut a group's items from sticks and sheets, with a bound: the recipe of this room."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from nesting.bars import solve as sticks_room
from nesting.bars.columns import generate, reduced_cost
from nesting.bars.construct import NoStock, fill_greedily
from nesting.bars.counts import Choice, StickCounts, Undecided
from nesting.bars.dive import dive
from nesting.bars.improve import recut
from nesting.bars.master import Master
from nesting.bars.mip import combine
from nesting.bars.problem import Pattern, Problem
from nesting.bars.solution import Solution, cost_of, produced, sticks_used, trimmed
from nesting.bars.types import Floats, Ints
from nesting.bars.ways import WayCounts
from nesting.joint.as_sheets import as_sheets, sheets_bound
from nesting.joint.pricing import JointPricer
from nesting.joint.problem import JointProblem
from nesting.joint.relax import Relaxation, relaxed_bound
from nesting.joint.spot import spot_prices
from nesting.joint.whole import whole_bound
from nesting.plates import solve as sheets_room
from nesting.plates.problem import Layout, NoSheets, Placed, RectProblem, SheetKind
from nesting.progress import Budget, Unshown
from stock.money import Cost

_SCALE_BITS = 40
_POOL = 4_000
_HANDY = 150
"""Patterns of sticks handed over for the ties."""
_LINES = 15
"""Choices of numbers looked at where rests earn, before plans are improved again."""
_LONG = 1.5
"""Seconds from which on a bound may take one of them."""
_NOTHING: Cost = 2**62
"""Cost of having no solution yet."""


@dataclass(frozen=True, slots=True)
class JointAnswer(sticks_room.Answer):
    """The best solution found; `layouts` says how the pieces of each of its sheets lie."""

    layouts: dict[Pattern, Layout]


class JointSearch:
    """One joint problem from its bound to the best solution found; stands where a search over sticks stands.

    Parameters
    ----------
    problem, budget
        The relaxation is solved at once, within the budget.
    seed
        Of everything random.

    Raises NoStock if even fractions of the limited sources do not hold the items.
    """

    def __init__(self, problem: JointProblem, budget: Budget, seed: int) -> None:
        if not problem.stocks:
            raise NoStock(np.array(problem.demands, np.int64))
        dearest = max([1, *(s.most for s in problem.stocks)])
        self.problem, self.budget, self.seed = problem, budget, seed
        self.unit = float(dearest)
        self.rng = np.random.default_rng(seed)
        self.demands: Ints = np.array(problem.demands, np.int64)
        self.pricer = JointPricer(problem, max(1, 2**_SCALE_BITS // dearest), seed)
        self.bound, self.prices, found = relaxed_bound(self.pricer, budget)
        self.searched = self.bound.value
        self.master = Master(problem, self.unit)
        self.master.add(found)
        self.duals: Floats = self.prices
        self.source_duals: dict[int, float] = {}
        self.solution: Solution = {}
        self.cost: Cost = _NOTHING

    def run(self, budget: Budget, tie: Cost = 0) -> JointAnswer:
        """Go on until the problem is proved or the budget is nearly over; the rest is for the ties."""
        self.budget = budget.share(0.94)
        self._first_plans()
        if self._is_open():
            self._generate(40)
            self._combine(0.5)
        self._search_on()
        layouts = {p: self.pricer.layout(p) for p in self.solution if not self.problem.is_stick(p)}
        pool = tuple(sorted(self._sticks_at_hand(), key=lambda p: (self._waste(p), p))[:_HANDY])
        return JointAnswer(self.solution, self.cost, self.bound, self.searched, pool, layouts)

    def _is_open(self) -> bool:
        return self.cost > self.searched and not self.budget.over()

    def _first_plans(self) -> None:
        """A valid plan at once, and the best of what the room of sheets finds in a while."""
        try:
            self._accept(fill_greedily(self.pricer, self.demands))
        except NoStock:
            self.cost = _NOTHING
        self._report("first plan")
        self._raise_bound(sheets_bound(self.problem, thorough=self.budget.seconds_left() > _LONG))
        if self.problem.is_cut_to_length and self.solution and self._is_open():
            self._raise_bound(whole_bound(self.pricer, self.bound.certificate, self.cost, self.budget))
        if self._is_open():
            self._solve_as_sheets(0.3, from_best=False)

    def _search_on(self) -> None:
        """Improve from above and choose numbers from below, in turn, until they meet or the budget is over."""
        effort, size, known = 0.2, 6, 0
        if not self.solution:
            self._search_for_any()
        counts, ways = self._counts(), self._way_counts()
        while self._is_open():
            self._choose_counts(counts, effort)
            self._choose_ways(ways, effort)
            if not self._is_open():
                return
            self._report("improving")
            for _ in range(3):
                self._accept(dive(self.master, self.pricer, self.cost, self.budget, self.rng, 0.3, tries=2))
            if len(self.master.patterns) > known + 100:
                known = len(self.master.patterns)
                self._combine(0.3)
                self._recut(size)
            self._solve_as_sheets(0.15)
            self._settle_sticks(0.1)
            effort, size = 2 * effort, 6 if size > 20 else size + 2
            self._generate(5)

    def _search_for_any(self) -> None:
        """A first solution where sources are so scarce that filling them greedily fails."""
        for attempt in range(30):
            self._generate(20)
            if not self._combine(3.0):
                self._accept(
                    dive(self.master, self.pricer, self.cost, self.budget, self.rng, 0.3 * (attempt > 0), 4)
                )
            if self.solution or self.budget.over():
                break
        if not self.solution:
            fill_greedily(self.pricer, self.demands)  # raises NoStock with what is left over

    def _generate(self, rounds: int) -> None:
        """New sticks and sheets at the prices that those known give the items."""
        _, self.duals, self.source_duals, _ = generate(
            self.master, self.pricer, self.demands, self.budget.share(0.5), rounds
        )

    def _combine(self, seconds: float) -> bool:
        """The whole-number master over what is at hand."""
        ranked = sorted(self.master.patterns, key=lambda p: (self._waste(p), p))[:_POOL]
        found = combine(self.problem, ranked, self.demands, {}, self.cost, self.budget, seconds, nodes=200)
        return self._accept(found.solution)

    def _recut(self, size: int) -> None:
        """Take some sticks and sheets apart and combine their items cheaper."""
        if not self._is_open() or sum(self.solution.values()) < 2:
            return
        waste = {p: self._waste(p) for p in self.solution}
        ranked = sorted(self.master.patterns, key=lambda p: (self._waste(p), p))[:_POOL]
        self._accept(recut(self.problem, self.solution, ranked, waste, size, self.budget, self.rng))

    def _settle_sticks(self, share: float) -> None:
        """Solve the sticks of the best solution anew, by their own room."""
        sticks = {p: n for p, n in self.solution.items() if self.problem.is_stick(p)}
        if not sticks or not self._is_open():
            return
        sheets = {p: n for p, n in self.solution.items() if p not in sticks}
        solved = self._solve_sticks(produced(self.problem, sticks), sheets, share)
        if solved is not None:
            self._accept({**sheets, **solved})

    def _solve_sticks(self, wanted: Ints, elsewhere: Solution, share: float) -> Solution | None:
        """The best sticks for so many of each item; None if they cannot all come from sticks."""
        problem = self.problem
        used = sticks_used(problem, elsewhere)
        first = {i: f for f, i in reversed(list(enumerate(problem.form_items)))}
        items = tuple(
            replace(form, demand=int(wanted[i]) if first[i] == f else 0)
            for f, (form, i) in enumerate(zip(problem.sticks.items, problem.form_items, strict=True))
        )
        sources = tuple(
            s if s.limit is None else replace(s, limit=max(0, s.limit - used[n]))
            for n, s in enumerate(problem.sources)
        )
        budget = self.budget.share(share, Unshown(self.budget.progress))
        try:
            answer = sticks_room.solve(Problem(items, sources, problem.sticks.stocks), budget, self.seed)
        except NoStock:
            return None
        self.master.add(problem.as_items(p) for p in answer.pool[:200])
        return {problem.as_items(p): n for p, n in answer.solution.items()}

    def _solve_as_sheets(self, share: float, from_best: bool = True) -> None:
        """Search with all sticks seen as sheets, from the best solution on, or by plain rules first.

        Sticks that these cannot show stay as they are, and what they make is left out.
        """
        if not self._is_open():
            return
        fixed = {p: n for p, n in self.solution.items() if self._stays(p)}
        whole = self._without(fixed)
        seed = int(self.rng.integers(2**31))
        left = self.budget.seconds_left()
        if self.budget.counted:
            left = 0.01 * (self.budget.steps_left() or 0)
        start = self._as_layouts(fixed) if from_best else []
        enough = max(0, self.searched - cost_of(self.problem, fixed))
        try:
            answer = sheets_room.solve(whole, self._slice(share * left), seed, start, enough)
        except NoSheets:
            return
        self._accept_layouts(answer, fixed)

    def _stays(self, pattern: Pattern) -> bool:
        """Whether a pattern is a stick that no sheet can stand for: cut to length, or with a form."""
        if not self.problem.is_stick(pattern):
            return False
        stock = self.problem.sticks.stocks[pattern.stock]
        return stock.is_cut_to_length or stock.form is not None

    def _without(self, fixed: Solution) -> RectProblem:
        """The problem as sheets alone, for what some sticks leave."""
        whole = as_sheets(self.problem, is_exact=True)
        made, used = produced(self.problem, fixed), sticks_used(self.problem, fixed)
        items = tuple(
            replace(item, demand=max(0, item.demand - int(n)))
            for item, n in zip(whole.items, made, strict=True)
        )
        limits = tuple(None if n is None else max(0, n - used[s]) for s, n in enumerate(whole.limits))
        return RectProblem(items, whole.kinds, limits)

    def _accept_layouts(self, answer: sheets_room.Answer, fixed: Solution) -> bool:
        """Take over the sheets of an answer, beside sticks that stay; whether the plan is cheaper."""
        self.master.add(self._of_layout(layout) for layout in answer.pool)
        laid = Counter(self._of_layout(layout) for layout in answer.layouts)
        return self._accept({**fixed, **laid})

    def _as_layouts(self, fixed: Solution) -> list[Layout]:
        """The best solution, less sticks that stay, as sheets alone; none where it has what these cannot show."""
        problem, found = self.problem, []
        whole = as_sheets(problem, is_exact=True)
        for settled, n in self.solution.items():
            if settled in fixed:
                continue
            pattern = replace(settled, stock=problem.plain(settled.stock))
            kind = whole.kinds[pattern.stock]
            if any(i not in kind.items for i, _ in pattern.counts):
                return []
            if problem.is_stick(pattern):
                layout = _in_a_row(problem, pattern, kind)
            else:
                laid = self.pricer.layout(pattern).pieces
                pieces = (replace(p, item=problem.rect_items[p.item]) for p in laid)
                layout = Layout(pattern.stock, tuple(sorted(pieces)))
            found += [layout] * n
        return found

    def _of_layout(self, layout: Layout) -> Pattern:
        """The pattern of a layout of sheets alone."""
        problem = self.problem
        if layout.kind < len(problem.sticks.stocks):
            return Pattern(layout.kind, tuple(sorted(Counter(p.item for p in layout.pieces).items())))
        kind = layout.kind - len(problem.sticks.stocks)
        rects = problem.rects_of[kind]
        pieces = (replace(p, item=rects[p.item]) for p in layout.pieces)
        return self.pricer.add(Layout(kind, tuple(sorted(pieces))))

    def _counts(self) -> StickCounts | None:
        """The numbers of sticks and sheets to choose; None where the cost does not follow from them."""
        if self.problem.is_cut_to_length or self.problem.earns or not self._is_open():
            return None
        counts = StickCounts(self.pricer)
        counts.add_cut(self.prices)
        counts.add_cut(np.array([i.length for i in self.problem.items], np.float64))
        return counts

    def _choose_counts(self, counts: StickCounts | None, effort: float) -> None:
        """Choose numbers of sticks and sheets from below and pack them, until a packing is found or time is up.

        As long as no choice was passed over, what is chosen is a bound; numbers that even the relaxation cannot pack
        give a new cut. After a choice that no packing was found for, dearer ones are tried for a better plan only.

        Parameters
        ----------
        effort
            Seconds for each packing (hundredths: chunks of counted steps).
        """
        if counts is None:
            return
        counts.forget_refused()
        is_bound, floor = True, self.searched
        while self._is_open():
            self._report("counting sticks and sheets")
            try:
                choice = counts.cheapest(floor, self.cost, self.budget)
            except Undecided:
                return
            if choice is None:
                if is_bound:
                    self._raise_bound(self.cost)
                return
            if is_bound:
                self._raise_bound(choice.cost)
            check = Relaxation(self.pricer, choice.counts, self._sticks_at_hand())
            lacking, prices, _ = check.solve(self.budget)
            if lacking > 1e-7 and counts.add_cut(prices, choice.counts):
                continue
            if not self._pack(choice, effort):
                counts.refuse(choice.counts)
                is_bound = False
                floor = choice.cost + max(self.problem.cost_step, (self.cost - choice.cost) // 4)

    def _way_counts(self) -> WayCounts | None:
        """The numbers of each way to choose; None where no rest earns, or some material is cut to length."""
        if not self.problem.earns or self.problem.is_cut_to_length or not self._is_open():
            return None
        ways = WayCounts(self.pricer)
        ways.add_line(self.prices)
        return ways

    def _choose_ways(self, ways: WayCounts | None, effort: float) -> None:
        """As `_choose_counts`, where rests earn: the numbers of each way say only what they cost at the least."""
        if ways is None:
            return
        ways.forget_refused()
        is_bound = True
        for _ in range(_LINES):
            if not self._is_open():
                return
            self._report("counting sticks and sheets")
            try:
                choice = ways.cheapest(self.searched, self.cost, self.budget)
            except Undecided:
                return
            if choice is None:
                if is_bound:
                    self._raise_bound(self.cost)
                return
            if is_bound:
                self._raise_bound(choice.cost)
            if ways.add_line(
                spot_prices(self.pricer, choice.counts, self._sticks_at_hand(), self.budget), choice
            ):
                continue
            self._pack(self._of_sources(choice), effort)
            self._settle_sticks(0.05)
            if self._is_open():
                ways.refuse(choice.counts)
                is_bound = False

    def _of_sources(self, choice: Choice) -> Choice:
        """Numbers of each way as numbers of each source."""
        numbers = [0] * len(self.problem.sources)
        source_of = {way: self.problem.stocks[t].source for t, way in enumerate(self.problem.ways)}
        for way, n in enumerate(choice.counts):
            numbers[source_of[way]] += n
        return Choice(tuple(numbers), choice.cost)

    def _pack(self, choice: Choice, effort: float) -> bool:
        """Look for a plan with at most so many sticks and sheets; whether one was found."""
        whole = replace(as_sheets(self.problem, is_exact=True), limits=choice.counts)
        seed = int(self.rng.integers(2**31))
        try:
            start = _within(self._as_layouts({}), whole)
            answer = sheets_room.solve(whole, self._slice(effort), seed, start, choice.cost)
        except NoSheets:
            return False
        return self._accept_layouts(answer, {})

    def _slice(self, seconds: float) -> Budget:
        """So much of the budget, not shown; of a budget by steps a hundred steps a second."""
        progress = Unshown(self.budget.progress)
        if self.budget.counted:
            steps = max(1, min(int(100 * seconds), self.budget.steps_left() or 0))
            self.budget.spend(steps)
            return Budget(None, steps, progress)
        return Budget(min(seconds, self.budget.seconds_left()), None, progress)

    def _sticks_at_hand(self) -> list[Pattern]:
        """The patterns of sticks at hand."""
        return [p for p in self.master.patterns if self.problem.is_stick(p)]

    def _raise_bound(self, bound: Cost) -> None:
        step = self.problem.cost_step
        self.searched = max(self.searched, -(-bound // step) * step)

    def _accept(self, candidate: Solution | None) -> bool:
        """Keep a solution if it is cheaper."""
        if candidate is None:
            return False
        candidate = trimmed(self.problem, candidate.items())
        used = sticks_used(self.problem, candidate)
        if any(s.limit is not None and used[n] > s.limit for n, s in enumerate(self.problem.sources)):
            return False
        cost = cost_of(self.problem, candidate)
        if cost >= self.cost:
            return False
        for pattern in candidate:
            if not self.problem.is_stick(pattern):
                self.pricer.layout(pattern)
        self.solution, self.cost = candidate, cost
        self.master.add(candidate)
        return True

    def _waste(self, pattern: Pattern) -> float:
        return reduced_cost(self.problem, pattern, self.duals, self.source_duals) / self.unit

    def _report(self, doing: str) -> None:
        cost = None if self.cost == _NOTHING else self.cost
        self.budget.progress.report(doing, cost, self.searched)


def _in_a_row(problem: JointProblem, pattern: Pattern, kind: SheetKind) -> Layout:
    """A stick's pieces one after the other on its narrow sheet."""
    pieces, x = [], 0
    for item, n in pattern.counts:
        extent = problem.extent(pattern.stock, item)
        for _ in range(n):
            is_turned = problem.outlines[item].height != kind.height
            pieces.append(Placed(item, x, 0, extent, kind.height, is_turned))
            x += extent + kind.between
    return Layout(pattern.stock, tuple(pieces))


def _within(layouts: list[Layout], whole: RectProblem) -> list[Layout]:
    """As many of the layouts as the limits allow, fullest first."""
    left = list(whole.limits)
    kept = []
    for layout in sorted(layouts, key=lambda x: -sum(p.width * p.height for p in x.pieces)):
        source = whole.kinds[layout.kind].source
        number = left[source]
        if number is None or number > 0:
            kept.append(layout)
            left[source] = None if number is None else number - 1
    return kept

"""The cheapest way to cut a group's items from its stocks, with a bound: the recipe of the one-dimensional room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.bars.bound import SafeBound, length_bound, safe_bound
from nesting.bars.centre import central_bound
from nesting.bars.coarsen import starting_patterns
from nesting.bars.columns import generate, reduced_cost
from nesting.bars.construct import NoStock, fill_greedily, is_large
from nesting.bars.corner import Corner
from nesting.bars.correct import correct, correct_rest
from nesting.bars.counts import StickCounts, Undecided, unpackable_prices
from nesting.bars.deepen import Deepening
from nesting.bars.dive import dive, whole_parts
from nesting.bars.enumerate import dual_value, list_patterns, spare_copies, widest_band
from nesting.bars.improve import recut
from nesting.bars.master import Master
from nesting.bars.mip import combine
from nesting.bars.pack import pack, settle
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Pattern, Problem
from nesting.bars.reround import reround
from nesting.bars.solution import Solution, cost_of, trimmed
from nesting.bars.types import Floats
from nesting.bars.ways import Spot, WayCounts
from nesting.progress import Budget
from stock.money import Cost

_SCALE_BITS = 40
_POOL = 6_000
_LISTED = 20_000
_FIRST_SECONDS = 1.5
_PASSES = 2
_QUICK_PASSES = 2
_HANDY = 150
_TIGHT = 1_000
_NOTHING: Cost = 2**62
"""Cost of having no solution yet."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The best solution found and what is known about it.

    Parameters
    ----------
    solution
        Patterns and how many sticks are cut to each; makes exactly the demand.
    cost
        Ten-thousandths.
    bound
        From dual prices, with its certificate.
    searched
        The bound that search lifted it to; at least `bound.value`.
    pool
        Patterns worth a look when ties are broken.
    """

    solution: Solution
    cost: Cost
    bound: SafeBound
    searched: Cost
    pool: tuple[Pattern, ...]

    @property
    def proved(self) -> bool:
        """Whether no solution is cheaper."""
        return self.cost <= self.searched


def solve(problem: Problem, budget: Budget, seed: int, tie: Cost = 0) -> Answer:
    """Solve a problem until it is proved or the budget is over.

    Parameters
    ----------
    tie
        Patterns of solutions that cost up to so much more are put into the answer's pool too.

    Raises
    ------
    NoStock
        If the limited sources do not hold the items, or no way to make them hold was found.
    """
    return Search(problem, budget, seed).run(budget, tie)


class Search:
    """One problem from its first solution to the proof, in two steps that may lie apart.

    Parameters
    ----------
    problem, budget
        The linear relaxation is solved at once, within the budget.
    seed
        Of everything random.
    known
        Patterns to start the relaxation with.
    is_planned
        Whether a solution is wanted as well, and not the bound alone.

    Raises NoStock if even fractions of the limited sources do not hold the items.
    """

    def __init__(
        self,
        problem: Problem,
        budget: Budget,
        seed: int,
        known: Sequence[Pattern] = (),
        is_planned: bool = True,
    ) -> None:
        if not problem.stocks:
            raise NoStock(np.array(problem.demands, np.int64))
        dearest = max([1, *(s.most for s in problem.stocks)])
        self.problem = problem
        self.budget = budget
        self.rng = np.random.default_rng(seed)
        self.demands = np.array(problem.demands, np.int64)
        self.unit = float(dearest)
        self.pricer = Pricer(problem, max(1, 2**_SCALE_BITS // dearest))
        self.master = Master(problem, self.unit)
        self.solution: Solution = {}
        self.cost: Cost = _NOTHING
        self.duals: Floats = np.zeros(len(problem.items))
        self.source_duals: dict[int, float] = {}
        self.activity: Floats = np.zeros(0)
        self.has_corner = False
        self.is_relaxed = False

        try:
            if is_planned:
                self._accept(fill_greedily(self.pricer, self.demands))
        except NoStock:
            self.cost = _NOTHING
        self._report("first plan", None)
        self.master.add(known)
        self._relax()
        self.bound = safe_bound(self.pricer, self.duals, self.source_duals)
        if not self.is_relaxed:
            by_length = length_bound(self.problem, self.pricer.scale)
            self.bound = max(self.bound, by_length, key=lambda bound: bound.value)
        self.lifted = self.bound
        if any(stock.form for stock in problem.stocks):
            self.lifted = self._lift()

    def run(self, budget: Budget, tie: Cost = 0) -> Answer:
        """Go on until the problem is proved or the budget is over; as `solve`."""
        self.budget = budget
        if not self.solution:
            self._search_for_any()
        bound = self.lifted
        basis = self.master.basis()
        corner = None if basis is None else Corner(self.pricer, bound.certificate, *basis)
        self.has_corner = corner is not None and corner.is_small
        if not self.has_corner:
            corner = None
        proof = Deepening(self.pricer, bound, corner, bound.value, self.rng)
        self._report("rounding", proof.bound)
        if self.cost > proof.bound:
            for better in correct(self.pricer, self.demands, self.rng, _QUICK_PASSES, self.budget):
                self._accept(better)
        if is_large(self.pricer) and self._is_open(proof):
            self._round_down(proof)
        is_tight, is_next = self._is_tight(), self.cost - proof.bound <= self.problem.cost_step
        if self._is_open(proof) and is_next and not is_tight:
            self._dive(tries=4)
        if self._is_open(proof) and (is_next or is_tight):
            self._settle_bound(proof)
        if self._is_open(proof):
            self._dive(tries=1)
        if self._is_open(proof):
            self._improve(proof)
        self._report("settling ties", proof.bound)
        pool = self._handy_patterns(bound, self.cost + tie)
        return Answer(self.solution, self.cost, self.bound, max(self.bound.value, proof.bound), pool)

    def _lift(self) -> SafeBound:
        """The better of the bounds from sums of weights and from what can be cut."""
        lifted = safe_bound(self.pricer, self.duals, self.source_duals, knows_forms=True)
        return max(lifted, self.bound, key=lambda bound: bound.value)

    def _relax(self) -> None:
        """The linear relaxation; raises NoStock if even fractions of sticks do not hold the items."""
        self.master.add(self.solution)
        self.master.add(
            Pattern(t, ((i, 1),))
            for t, stock in enumerate(self.problem.stocks)
            if stock.rate[0]
            for i in stock.items
            if self.problem.can_be_cut(Pattern(t, ((i, 1),)))
        )
        self.master.add(starting_patterns(self.problem, self.pricer.scale, self.unit, self.budget))
        # a relaxation that is cut short still gives a bound, and rounding needs its time
        share = self.budget.share(0.85)
        _, self.duals, self.source_duals, done = generate(self.master, self.pricer, self.demands, share)
        self.activity = self.master.activity()
        self.is_relaxed = done
        missing = self.master.missing()
        if done and missing.max(initial=0.0) > 1e-6:
            raise NoStock(np.ceil(missing - 1e-6).astype(np.int64))

    def _search_for_any(self) -> None:
        """A first solution where sticks are so scarce that filling them greedily fails."""
        shakes = 0
        while not self.solution:
            self._combine_all(5.0)
            if not self.solution:
                self._dive(tries=4, shake=0.3 * (shakes > 0))
            shakes += 1
            if not self.solution and (self.budget.over() or shakes == 20):
                fill_greedily(self.pricer, self.demands)  # raises NoStock with what is left over

    def _round_down(self, proof: Deepening) -> None:
        """Keep the whole parts of the relaxation; what is left is small enough to be cut with care."""
        whole = whole_parts(self.master, self.pricer, self.activity)
        for better in correct_rest(self.pricer, whole, self.rng, _PASSES, self.budget.share(0.5)):
            self._accept(better)
            if not self._is_open(proof):
                return

    def _settle_bound(self, proof: Deepening) -> None:
        """Where a solution at the bound itself is wanted, list what it could be made of, and combine."""
        self._report("proving", proof.bound)
        central = central_bound(self.master, self.pricer, self.demands, self.budget)
        if central is None:
            return
        proof.start = central
        listed = list_patterns(self.pricer, central.certificate, proof.bound, _LISTED, self.budget)
        if listed is None:
            return
        patterns = [p for part in listed for p in part.patterns()]
        spare = spare_copies(self.problem, central.certificate, proof.bound)
        found = combine(
            self.problem, patterns, self.demands, {}, self.cost, self.budget, _FIRST_SECONDS, 200, spare
        )
        self._accept(found.solution)
        if found.complete and found.solution is None:
            proof.bound = min(self.cost, proof.bound + self.problem.cost_step)
        proof.most, proof.seconds = max(proof.most, len(patterns)), 2 * _FIRST_SECONDS

    def _is_tight(self) -> bool:
        """Whether a solution at the bound would have next to no waste: few patterns are good enough for it."""
        certificate = self.lifted.certificate
        slack = self.lifted.value * certificate.scale - dual_value(self.problem, certificate)
        return _TIGHT * slack < self.problem.cost_step * certificate.scale

    def _dive(self, tries: int, shake: float = 0.0) -> bool:
        return self._accept(dive(self.master, self.pricer, self.cost, self.budget, self.rng, shake, tries))

    def _improve(self, proof: Deepening) -> None:
        """Improve from above and prove from below, in turn."""
        size, tries = 25, 3
        counts = self._stick_counts()
        self._choose_counts(counts, proof, tries)
        ways = self._way_counts()
        self._choose_ways(ways, proof, tries)
        while proof.corner is not None and self._is_open(proof):
            self._report("proving", proof.bound)
            self._accept(proof.step(self.cost, self.budget))
        if self._is_open(proof):
            self._combine_all(1.0)
        while self._is_open(proof):
            self._report("improving", proof.bound)
            self._reround(proof.bound)
            self._dive(tries=4, shake=0.3 if tries > 3 else 0.0)
            if not self._recut(size, proof.bound):
                size = 15 if size > 60 else size + 15
            tries *= 2
            self._choose_counts(counts, proof, tries)
            self._choose_ways(ways, proof, tries)
            if not proof.finished and self._is_open(proof):
                self._report("proving", proof.bound)
                self._accept(proof.step(self.cost, self.budget))

    def _is_open(self, proof: Deepening) -> bool:
        """Whether there is something left to prove, and time to do so."""
        return self.cost > proof.bound and not self.budget.over()

    def _stick_counts(self) -> StickCounts | None:
        """The numbers of sticks to choose; None where the cost does not follow from them, or there is one size only."""
        if len(self.problem.sources) == 1 or any(t.rate[0] for t in self.problem.stocks):
            return None
        counts = StickCounts(self.pricer)
        if self.cost > 0:
            counts.add_cut(self.duals)
            counts.add_cut(np.array([i.length for i in self.problem.items], np.float64))
        return counts

    def _choose_counts(self, counts: StickCounts | None, proof: Deepening, tries: int) -> None:
        """Choose numbers of sticks from below and pack them, until a packing is found or the budget is over.

        As long as every cheaper choice was shown to be unpackable, what is chosen is a bound; after a choice that
        no packing was found for, dearer ones are tried for the sake of a better solution only.
        """
        if counts is None:
            return
        counts.forget_refused()
        is_bound, floor = True, proof.bound
        while self._is_open(proof):
            self._report("counting sticks", proof.bound)
            try:
                choice = counts.cheapest(floor, self.cost, self.budget)
            except Undecided:
                return
            if choice is None:
                if is_bound:
                    proof.bound = self.cost
                return
            if is_bound:
                proof.bound = max(proof.bound, choice.cost)
            if self.budget.over():
                return
            prices = unpackable_prices(self.master, choice.counts, self.budget)
            if self.budget.over():
                return
            if prices is not None and counts.add_cut(prices, choice.counts):
                continue
            found = pack(self.master, choice.counts, tries, self.budget, self.rng)
            if self._accept(found):
                if is_bound:
                    return
                continue
            if is_bound and counts.say_all:
                self._report("settling the sticks", proof.bound)
                settled = settle(self.master, choice.counts, choice.cost, self.budget)
                if settled is not None and settled.solution is None and settled.complete:
                    counts.rule_out(choice.counts)
                    continue
                if settled is not None and self._accept(settled.solution):
                    return
            counts.refuse(choice.counts)
            is_bound = False
            floor = choice.cost + max(self.problem.cost_step, (self.cost - choice.cost) // 4)

    def _way_counts(self) -> WayCounts | None:
        """The numbers of sticks of each way to choose; None where no rest earns, or some material is cut to length."""
        if not self.problem.earns or any(t.is_cut_to_length for t in self.problem.stocks):
            return None
        ways = WayCounts(self.pricer)
        ways.add_line(self.duals)
        return ways

    def _choose_ways(self, ways: WayCounts | None, proof: Deepening, tries: int) -> None:
        """Choose numbers of sticks of each way from below, and cut them as cheaply as can be.

        As long as nothing cheaper was shown to have the numbers looked at, what is chosen is a bound.
        """
        if ways is None:
            return
        ways.forget_refused()
        is_bound = True
        while self._is_open(proof):
            self._report("counting sticks", proof.bound)
            try:
                choice = ways.cheapest(proof.bound, self.cost, self.budget)
            except Undecided:
                return
            if choice is None:
                if is_bound:
                    proof.bound = self.cost
                return
            if is_bound:
                proof.bound = max(proof.bound, choice.cost)
            spot = Spot(self.master, choice, self.budget)
            if ways.add_line(spot.duals, choice):
                continue
            for solution in spot.solutions(self.cost, tries, self.budget, self.rng):
                if self._accept(solution) and self.cost <= proof.bound:
                    return
            self._report("settling the sticks", proof.bound)
            settled = spot.settle(choice, self.cost, self.budget)
            if settled is not None:
                self._accept(settled.solution)
            if settled is not None and settled.least > choice.cost:
                ways.lift(choice.counts, settled.least)
            else:
                ways.refuse(choice.counts)
                is_bound = False

    def _reround(self, bound: Cost) -> None:
        """Some throws of exact rounding, as long as the relaxation's own basis is small enough for it."""
        if not self.has_corner:
            return
        for _ in range(8):
            if self.cost <= bound or self.budget.over():
                break
            self._accept(reround(self.master, self.pricer, self.activity, self.cost, self.budget, self.rng))

    def _recut(self, size: int, bound: Cost) -> bool:
        """A few neighbourhoods of one size; whether one of them was cheaper."""
        waste = {p: self._waste(p) for p in self.solution}
        pool = self._pool()
        won = False
        for _ in range(6):
            if self.cost <= bound or self.budget.over():
                break
            won |= self._accept(recut(self.problem, self.solution, pool, waste, size, self.budget, self.rng))
        return won

    def _combine_all(self, seconds: float) -> None:
        """The whole-number master over the patterns at hand."""
        pool = self._pool()
        found = combine(self.problem, pool, self.demands, {}, self.cost, self.budget, seconds, nodes=200)
        self._accept(found.solution)

    def _accept(self, candidate: Solution | None) -> bool:
        """Keep a solution if it is cheaper."""
        if candidate is None:
            return False
        candidate = trimmed(self.problem, candidate.items())
        cost = cost_of(self.problem, candidate)
        if cost >= self.cost:
            return False
        self.solution, self.cost = candidate, cost
        self.master.add(candidate)
        return True

    def _handy_patterns(self, bound: SafeBound, top: Cost) -> tuple[Pattern, ...]:
        """The patterns at hand of least reduced cost, after those of a narrow band that may never have been priced."""
        band = widest_band(self.pricer, bound.certificate, bound.value, top, _HANDY, self.budget)
        listed = [p for part in band[1] for p in part.patterns()] if band else []
        return tuple(dict.fromkeys([*listed, *self._pool()[:_HANDY]]))

    def _waste(self, pattern: Pattern) -> float:
        return reduced_cost(self.problem, pattern, self.duals, self.source_duals) / self.unit

    def _pool(self) -> list[Pattern]:
        """The patterns of least reduced cost."""
        ranked = sorted(self.master.patterns, key=lambda p: (self._waste(p), p))
        return ranked[:_POOL]

    def _report(self, doing: str, bound: Cost | None) -> None:
        self.budget.progress.report(doing, None if self.cost == _NOTHING else self.cost, bound)

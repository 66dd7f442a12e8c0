"""The plan of one group: solved at every choice of quantity breaks, put into layouts, priced and bounded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial, reduce
from itertools import islice
from math import gcd

from nesting.bars.construct import NoStock
from nesting.bars.problem import CENT, Certificate
from nesting.bars.solution import Solution
from nesting.bars.solve import Answer, Search
from nesting.findings import Finding
from nesting.job import Job, Part, Unit
from nesting.joint.problem import JointProblem
from nesting.joint.search import JointAnswer, JointSearch
from nesting.market.assemble import group_cost, layouts_of, purchases_of
from nesting.market.bounds import printed_bound
from nesting.market.build import Built, build
from nesting.market.lay_sheets import Filled, fill_sheets
from nesting.market.memory import Memory
from nesting.market.supply import Kind, choices_of, is_priced, sizes_of
from nesting.market.ties.beside import improve_sticks
from nesting.market.ties.wishes import improve_ties
from nesting.plan import Bound, GroupPlan, Layout, Parting, Purchase, SheetLayout, Stopped
from nesting.progress import Budget, Progress, Unshown
from nesting.report.words import length_words
from nesting.rules.credit import credit_of, credited
from nesting.rules.sources import Group
from stock.length import show_length
from stock.money import Cost, from_cost, to_cost
from stock.offer import Offer

_MOST_CHOICES = 64


@dataclass(frozen=True, slots=True)
class Best:
    """The best answer over the choices of quantity breaks so far."""

    built: Built
    answer: Answer

    @property
    def cost(self) -> Cost:
        return self.built.sunk + self.answer.cost


@dataclass(frozen=True, slots=True)
class _Laid:
    """A solution as layouts, with what is bought for them and the objective."""

    layouts: tuple[Layout, ...]
    sheets: tuple[SheetLayout, ...]
    partings: tuple[Parting, ...]
    purchases: tuple[Purchase, ...]
    cost: Decimal
    credit: Decimal


class _Shifted:
    """Shows the progress of a choice with the money that the choice commits in any case."""

    def __init__(self, shown: Progress, sunk: Cost) -> None:
        self._shown, self._sunk = shown, sunk

    def begin(self, group: str, number: int, of: int, priced: bool) -> None:
        """Hand it on."""
        self._shown.begin(group, number, of, priced)

    def report(self, doing: str, cost: Cost | None, bound: Cost | None) -> None:
        """Hand it on, with the committed money."""
        self._shown.report(
            doing,
            None if cost is None else cost + self._sunk,
            None if bound is None else bound + self._sunk,
        )

    def interrupted(self) -> bool:
        """Hand it on."""
        return self._shown.interrupted()


class GroupPlanner:
    """Plans one group; once it has, `planned` is the plan, and `best` the answer behind it, with patterns at hand."""

    planned: GroupPlan
    best: Best

    def __init__(
        self, job: Job, group: Group, budget: Budget, seed: int, memory: Memory | None = None
    ) -> None:
        self.job, self.group, self.budget, self.seed = job, group, budget, seed
        self._memory = memory or Memory()
        self.priced = is_priced(group)
        self.sizes = sizes_of(group)
        self.tie = to_cost(job.shop.tie) if self.priced else 0

    def plan(self) -> GroupPlan:
        """Solve the group; raises NoStock if its sources do not hold it."""
        self.best, searched, relaxed, certificate = self._solve()
        solution, improved = self._handiest()
        laid = self._laid(solution)
        bound = self._bound(self.best.built, searched, relaxed, certificate, laid.cost)
        stopped: Stopped = "proved" if laid.cost <= bound.value else _why(self.budget)
        if stopped != "proved" and self.best.cost <= searched:
            stopped = "finished"
        self.planned = GroupPlan(
            name=self.group.name,
            marks=tuple(p.mark for p in self.group.parts),
            priced=self.priced,
            layouts=laid.layouts,
            purchases=laid.purchases,
            cost=laid.cost,
            bound=bound,
            stopped=stopped,
            improved=improved,
            sheets=laid.sheets,
            partings=laid.partings,
            credit=laid.credit,
        )
        return self.planned

    def plan_of(self, solution: Solution) -> GroupPlan:
        """The plan of another solution, dearer for the group alone: what a yard's minimum order makes cheaper in all.

        Parameters
        ----------
        solution
            Of the problem of `best`; its sheets are those of the answer.
        """
        laid = self._laid(solution)
        stopped = self.planned.stopped
        if laid.cost <= self.planned.bound.value:
            stopped = "proved"
        elif stopped in ("proved", "finished"):
            stopped = "settled"
        return replace(
            self.planned,
            layouts=laid.layouts,
            sheets=laid.sheets,
            partings=laid.partings,
            purchases=laid.purchases,
            cost=laid.cost,
            credit=laid.credit,
            improved=("bought so that a minimum order is reached, which is cheaper in all",),
            stopped=stopped,
        )

    def _handiest(self) -> tuple[Solution, tuple[str, ...]]:
        """The handiest of equally cheap solutions, and what was improved."""
        answer, problem = self.best.answer, self.best.built.problem
        if isinstance(problem, JointProblem):
            assert isinstance(answer, JointAnswer)
            return improve_sticks(problem, answer, self.tie, self.budget, self.seed, self.job.shop)
        return improve_ties(
            problem,
            answer.solution,
            answer.pool,
            answer.cost + self.tie,
            self.budget,
            self.seed,
            self.job.shop.prefer,
            partial(length_words, shop=self.job.shop),
        )

    def _laid(self, solution: Solution) -> _Laid:
        """Layouts of sticks and of sheets, what they need bought and what that costs."""
        answer, built = self.best.answer, self.best.built
        filled: Sequence[Filled] = ()
        if isinstance(built.problem, JointProblem):
            assert isinstance(answer, JointAnswer)
            filled = fill_sheets(built.problem, built.ways, solution, answer.layouts, self.seed)
        layouts, sheets, partings = layouts_of(self.job, built, solution, filled)
        layouts = credited(self.job, layouts, self.priced)
        purchases = purchases_of(self.job, [*layouts, *sheets], self.priced, partings)
        cost = group_cost(self.job, [*layouts, *sheets], purchases, self.priced, partings)
        return _Laid(layouts, sheets, partings, purchases, cost, credit_of(layouts))

    def lower_bound(self, printed: bool = True) -> Decimal:
        """What the group costs at the least, from prices alone; quickly. Raises NoStock if sources run out.

        Parameters
        ----------
        printed
            With lines rounded to the cent, as they are printed; else before that.
        """
        relaxed = self._relaxed()
        budget = self.budget.share(0.5, Unshown(self.budget.progress))
        bound = self._search(relaxed, budget, is_planned=False).bound
        value = printed_bound(bound.value, relaxed, self.sizes, self.priced) if printed else bound.value
        return from_cost(value)

    def _relaxed(self) -> Built:
        """The problem with every size at its lowest price, from any quantity."""
        cheapest = tuple((min(s.rows, key=lambda o: _row_cost(o, self.priced)), 0) for s in self.sizes)
        return self._built(cheapest)

    def _built(self, choice: tuple[tuple[Offer, int], ...]) -> Built:
        """The problem at one choice of quantity breaks."""
        return self._memory.with_known_forms(build(self.job, self.group, self.sizes, choice, self.priced))

    def _search(self, built: Built, budget: Budget, is_planned: bool = True) -> Search | JointSearch:
        """The search that a problem takes, over sticks alone or over sticks and sheets; its relaxation is solved."""
        if isinstance(built.problem, JointProblem):
            return JointSearch(built.problem, budget, self.seed)
        search = Search(built.problem, budget, self.seed, self._memory.recall(built), is_planned)
        self._memory.keep(built, search.master.patterns)
        return search

    def _solve(self) -> tuple[Best, Cost, Built, Certificate]:
        """Best answer, bound over all choices, and the certificate of the relaxed choice with its problem."""
        choices = list(islice(choices_of(self.sizes), _MOST_CHOICES + 1))
        if len(choices) == 1:
            built = self._built(choices[0])
            answer = self._search(built, self.budget).run(self.budget, self.tie)
            return Best(built, answer), built.sunk + answer.searched, built, answer.bound.certificate
        relaxed = self._relaxed()
        start = self._search(relaxed, self.budget, is_planned=False).bound
        best, searched, are_all = self._try_choices(choices[:_MOST_CHOICES])
        if len(choices) > _MOST_CHOICES or not are_all:
            searched = start.value  # the choices left out might be cheaper
        return best, max(searched, start.value), relaxed, start.certificate

    def _try_choices(self, choices: list[tuple[tuple[Offer, int], ...]]) -> tuple[Best, Cost, bool]:
        """Solve the choices of quantity breaks from the most promising on; those that cannot win are passed over.

        Returns the best, the least that any of these costs, and whether the budget let all be looked at.
        """
        ranked: list[tuple[Cost, int, Built, Search | JointSearch]] = []
        looked_at = 0
        for choice in choices:
            if ranked and self.budget.over():
                break
            looked_at += 1
            built = self._built(choice)
            shown = _Shifted(self.budget.progress, built.sunk)
            try:
                search = self._search(built, self.budget.share(0.2, shown))
                ranked.append((built.sunk + search.bound.value, len(ranked), built, search))
            except NoStock as error:
                shortage = error
        if not ranked:
            raise shortage
        best: Best | None = None
        bounds = []
        for bound, _, built, search in sorted(ranked, key=lambda r: r[:2]):
            if best is not None and (bound >= best.cost or self.budget.over()):
                bounds.append(bound)
                continue
            answer = search.run(self.budget.share(0.5, _Shifted(self.budget.progress, built.sunk)), self.tie)
            bounds.append(built.sunk + answer.searched)
            if best is None or built.sunk + answer.cost < best.cost:
                best = Best(built, answer)
        assert best is not None
        return best, min(bounds), looked_at == len(choices)

    def _bound(
        self,
        built: Built,
        searched: Cost,
        relaxed: Built,
        certificate: Certificate,
        cost: Decimal,
    ) -> Bound:
        dual = printed_bound(_dual_cost(relaxed, certificate, self.priced), relaxed, self.sizes, self.priced)
        found = printed_bound(searched, built, self.sizes, self.priced)
        value = min(to_cost(cost), max(dual, found))
        return Bound(
            value=from_cost(value),
            proof="duals" if value <= dual else "search",
            dual_value=from_cost(min(value, dual)),
            scale=certificate.scale,
            part_prices=tuple(_part_prices(relaxed, certificate)),
            source_prices=tuple(_source_prices(relaxed, certificate)),
        )


def _row_cost(offer: Offer, priced: bool) -> Decimal:
    return offer.unit_price() if priced else offer.unit_weight()


def _dual_cost(relaxed: Built, certificate: Certificate, priced: bool) -> Cost:
    """What the prices prove: every cost is a multiple of those of sticks as sold, of single yard cuts, and of a cent
    where rests may earn."""
    problem = relaxed.problem
    total = sum(p * i.demand for p, i in zip(certificate.item_prices, problem.items, strict=True))
    total -= sum(p * (s.limit or 0) for p, s in zip(certificate.source_prices, problem.sources, strict=True))
    charges = (way.yard.cut_charge for way in relaxed.parted if way is not None and priced)
    earned = CENT if relaxed.earns else 0
    step = reduce(gcd, (to_cost(charge) for charge in charges if charge), gcd(problem.cost_step, earned))
    return -(-max(0, -(-total // certificate.scale)) // step) * step


def _part_prices(built: Built, certificate: Certificate) -> Iterator[tuple[str, int]]:
    """Each part at its price; of a lot the first one at that of the lot, the others at none."""
    for kind, price in zip(built.kinds, certificate.item_prices, strict=True):
        own = len(kind.parts) if kind.lot is None else 1
        yield from ((part.mark, price if n < own else 0) for n, part in enumerate(kind.parts))


def _source_prices(built: Built, certificate: Certificate) -> Iterator[tuple[str, int]]:
    for origin, price in zip(built.origins, certificate.source_prices, strict=True):
        if price:
            names = [origin.id] if isinstance(origin, Offer) else [r.id for r in origin.pieces]
            yield from ((name, price) for name in names)


def _why(budget: Budget) -> Stopped:
    if budget.progress.interrupted():
        return "interrupted"
    return "work limit" if budget.counted else "time limit"


def short_of_stock(job: Job, group: Group, error: NoStock) -> Finding:
    built = build(job, group, sizes_of(group), next(choices_of(sizes_of(group))), is_priced(group))
    short = [(kind, n) for kind, n in zip(built.kinds, error.missing, strict=True) if n]
    missing = [f"{n} of {_named(kind, job.shop.unit)}" for kind, n in short]
    is_bound = any(kind.lot is not None or kind.part.source for kind, _ in short)
    free = ", or clear `source` or `together` of some of them" if is_bound else ""
    return Finding(
        code="stock-runs-out",
        table="rack",
        sentence=(
            f"the limited stock of {group.name} does not hold all parts: no place for {'; '.join(missing)}."
            f" Add an offer, raise `available`, or put more on the rack{free}"
        ),
    )


def _named(kind: Kind, unit: Unit) -> str:
    """The marks of a kind of part, with its size."""
    marks = ", ".join(part.mark for part in kind.parts)
    if kind.lot is None:
        return f"{marks} ({_size(kind.part, unit)})"
    return f"{marks} together ({show_length(kind.extent, unit)} in all)"


def _size(part: Part, unit: Unit) -> str:
    """Extent of a bar part, length and width of a plate part."""
    sides = [part.extent] if part.width is None else [part.length, part.width]
    return " x ".join(show_length(side, unit) for side in sides)

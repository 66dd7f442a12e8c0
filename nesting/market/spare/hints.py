"""What a change of a drawing would save: parts made shorter, and each group planned again with them.

A part is made shorter only within its `may_shorten`, one part at a time and then two together. What counts is a plan
that was really found, that buys or takes less, and that is cheaper than any plan of the parts as they are drawn can be.
Nothing is applied.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from nesting.bars.construct import NoStock
from nesting.job import Job, Part
from nesting.market.group import GroupPlanner
from nesting.market.planning import Planning
from nesting.market.spare.growth import finest, growth_hints
from nesting.market.yards.choices import Choice, scenario, within
from nesting.market.yards.fees import objective
from nesting.plan import GroupPlan, Hint, Plan
from nesting.progress import Budget, Unshown
from nesting.report.words import counted
from nesting.rules.sources import Group

_SHOWN = 6
_SHARE = 0.25
"""Of the time left, for planning a group once more."""

Changes = tuple[tuple[str, int], ...]
"""(mark, ticks shorter) of each part that is changed."""


def hint_plan(plan: Plan, choice: Choice, planning: Planning) -> Plan:
    """A plan with its hints: what shorter parts would save, then how much longer each part could be at no cost.

    Parameters
    ----------
    plan
        Without fill parts, which are no reason to keep a part as it is.
    choice
        Of yards, as planned; hints keep to it.
    planning
        Groups are planned again within the time that it has left, or each with a share of its work.
    """
    left, progress = planning.seconds_left(), planning.progress
    budget = Budget(None if left == float("inf") else left, plan.settings.work, Unshown(progress))
    hinted = []
    for number, (group, now) in enumerate(zip(planning.groups, plan.groups, strict=True)):
        search = _Search(plan, number, group, choice, budget)
        if search.parts:
            progress.begin(f"{group.name}, shorter parts", number + 1, len(plan.groups), now.priced)
        hinted.append(replace(now, hints=(*search.best(), *growth_hints(plan.job, now))))
    return replace(plan, groups=tuple(hinted))


class _Search:
    """Plans one group with shorter parts, each set of changes once."""

    def __init__(self, plan: Plan, number: int, group: Group, choice: Choice, budget: Budget) -> None:
        self.plan, self.number, self.choice, self.budget = plan, number, choice, budget
        self.group, self.now = group, plan.groups[number]
        self.parts = [part for part in group.parts if part.may_shorten]
        self.step = finest(plan.job.shop)
        self._tried: dict[Changes, Hint | None] = {}

    def best(self) -> tuple[Hint, ...]:
        """The hints that save most for each tick of change."""
        found = set(self._within(self.parts))
        ranked = sorted(found, key=lambda hint: (-hint.saves / sum(t for _, t in hint.changes), hint.changes))
        return tuple(ranked[:_SHOWN])

    def _within(self, parts: list[Part]) -> Iterator[Hint]:
        """Hints about one part, and about two, among these; none where all of them together save nothing."""
        if not parts or self._most(parts) <= 0:
            return
        if len(parts) == 1:
            yield from self._alone(parts[0])
            return
        half = len(parts) // 2
        yield from self._within(parts[:half])
        yield from self._within(parts[half:])
        yield from self._across(parts[:half], parts[half:])

    def _across(self, some: list[Part], others: list[Part]) -> Iterator[Hint]:
        """Hints about one of these and one of the others, as far as both sides together save more than each."""
        if self._most(some + others) <= self._most(some) + self._most(others):
            return
        if len(some) == len(others) == 1:
            yield from self._pair(some[0], others[0])
        elif len(some) >= len(others):
            half = len(some) // 2
            yield from self._across(some[:half], others)
            yield from self._across(some[half:], others)
        else:
            yield from self._across(others, some)

    def _most(self, parts: list[Part]) -> Decimal:
        """What is saved if all of these parts are as short as they may be."""
        return self._saves(tuple((part.mark, part.may_shorten) for part in parts))

    def _alone(self, part: Part) -> Iterator[Hint]:
        """The least change of a part that saves all it can save, and the least that saves anything."""
        enough = self._least(part, part.may_shorten, self._most([part]), ())
        yield from self._hint(((part.mark, enough),))
        yield from self._hint(((part.mark, self._least(part, enough, Decimal(0), ())),))

    def _pair(self, one: Part, other: Part) -> Iterator[Hint]:
        """The least change of two parts that saves all that they can save together."""
        both = self._most([one, other])
        second = self._least(other, other.may_shorten, both, ((one.mark, one.may_shorten),))
        first = self._least(one, one.may_shorten, both, ((other.mark, second),))
        yield from self._hint(((one.mark, first), (other.mark, second)))

    def _least(self, part: Part, most: int, due: Decimal, others: Changes) -> int:
        """The least change of a part, on the grid and at most `most`, that saves `due`, or anything if that is 0."""
        low, high = 0, -(-most // self.step)  # low saves too little, high enough
        while high - low > 1:
            middle = (low + high) // 2
            saves = self._saves(((part.mark, middle * self.step), *others))
            low, high = (low, middle) if saves > 0 and saves >= due else (middle, high)
        return min(most, high * self.step)

    def _saves(self, changes: Changes) -> Decimal:
        return sum((hint.saves for hint in self._hint(changes)), Decimal(0))

    def _hint(self, changes: Changes) -> Iterator[Hint]:
        """The hint of a set of changes, if it saves something."""
        changes = tuple(sorted(changes))
        if changes not in self._tried:
            self._tried[changes] = self._try(changes)
        hint = self._tried[changes]
        if hint is not None:
            yield hint

    def _try(self, changes: Changes) -> Hint | None:
        """Plan the group with these changes."""
        if self.budget.over():
            return None
        planner = self._planner(dict(changes))
        least = self.now.bound.value
        try:
            if planner.lower_bound() >= least:
                return None
            new = planner.plan()
        except NoStock:
            return None
        saves, words = self._saved(new), _words(self.plan.job, self.now, new)
        return (
            Hint(changes=changes, saves=saves, words=words)
            if saves > 0 and new.cost < least and words
            else None
        )

    def _planner(self, shorter: dict[str, int]) -> GroupPlanner:
        job = scenario(self.plan.job, self.choice)
        job = replace(job, parts=tuple(_shorter(part, shorter.get(part.mark, 0)) for part in job.parts))
        group = replace(
            self.group, parts=tuple(_shorter(p, shorter.get(p.mark, 0)) for p in self.group.parts)
        )
        return GroupPlanner(job, within(group, job), self.budget.share(_SHARE), self.plan.settings.seed)

    def _saved(self, new: GroupPlan) -> Decimal:
        """Money that the job costs less, fees included; kilograms in a group without prices."""
        if not new.priced:
            return self.now.cost - new.cost
        job, before = self.plan.job, list(self.plan.groups)
        after = [new if n == self.number else group for n, group in enumerate(before)]
        return objective(job, before, self.choice) - objective(job, after, self.choice)


def _shorter(part: Part, ticks: int) -> Part:
    return (
        replace(part, length=part.length - ticks, extent=part.extent - ticks, may_shorten=0)
        if ticks
        else part
    )


def _words(job: Job, old: GroupPlan, new: GroupPlan) -> str:
    """What is bought or taken less; "" if it is the same, and only rests earn more."""
    before, after = _taken(job, old), _taken(job, new)
    if before == after:
        return ""
    (sticks, sheets), (fewer_sticks, fewer_sheets) = _counts(before), _counts(after)
    said = [
        counted(more - less, what) + " fewer"
        for what, more, less in (("stick", sticks, fewer_sticks), ("sheet", sheets, fewer_sheets))
        if more > less
    ]
    return " and ".join(said) or "cheaper sizes"


def _taken(job: Job, group: GroupPlan) -> Counter[tuple[str, bool]]:
    """(source, whether a sheet) of all that is bought or taken from the rack, and how many.

    How long a yard is asked to cut it does not count: less of that is had by any shorter part.
    """
    taken: Counter[tuple[str, bool]] = Counter()
    for line in group.purchases:
        taken[line.offer, line.width is not None] += line.count
    wide = {piece.id: piece.width is not None for piece in job.rack}
    racked = [(x.source_kind, x.source) for x in group.layouts]
    racked += [(x.source_kind, x.source) for x in group.sheets]
    for kind, source in racked:
        if kind == "rack":
            taken[source, wide[source]] += 1
    return taken


def _counts(taken: Counter[tuple[str, bool]]) -> tuple[int, int]:
    sheets = sum(n for (_, is_sheet), n in taken.items() if is_sheet)
    return taken.total() - sheets, sheets

"""The groups of a job planned under one choice of yards or another, each once for the same terms, within one budget."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import TypeAlias

from nesting.bars.construct import NoStock
from nesting.findings import Finding, InputError
from nesting.job import Job
from nesting.market.group import GroupPlanner, short_of_stock
from nesting.market.memory import Memory
from nesting.market.supply import is_priced
from nesting.market.yards.choices import Choice, Terms, covers, scenario, terms_for, within
from nesting.market.yards.relief import Relief, relieved, rounding
from nesting.plan import GroupPlan, Settings
from nesting.progress import Budget, Progress
from nesting.rules.sources import Group, groups_of

INFINITE = Decimal("Infinity")
"""Bound of what cannot be planned."""

_Known: TypeAlias = tuple[int, Terms]
"""A group by its number, and what is left to it."""


class Planning:
    """Plans and bounds of the groups of a job.

    Parameters
    ----------
    job, settings, progress
        As given to `make_plan`; the clock runs from now on.
    """

    def __init__(self, job: Job, settings: Settings, progress: Progress) -> None:
        self.job, self.settings, self.progress = job, settings, progress
        self.groups = groups_of(job)
        self._start = time.monotonic()
        self._memories = [Memory() for _ in self.groups]
        self._planners: dict[_Known, GroupPlanner] = {}
        self._bounds: dict[_Known, Decimal] = {}
        self._relieved: dict[tuple[int, Terms, tuple[Decimal, ...]], Decimal] = {}
        self._spent: dict[_Known, float] = {}

    @property
    def priced(self) -> tuple[Group, ...]:
        """The groups that count money."""
        return tuple(g for g in self.groups if is_priced(g))

    def first(self, choice: Choice, share: float) -> tuple[GroupPlan, ...]:
        """Every group under a choice, within a share of the time; raises InputError if sources do not hold parts."""
        findings: list[Finding] = []
        for number, group in enumerate(self.groups):
            self.progress.begin(group.name, number + 1, len(self.groups), is_priced(group))
            try:
                self._plan(number, choice, self._budget(share, len(self.groups) - number))
            except NoStock as error:
                job = scenario(self.job, choice)
                findings.append(short_of_stock(job, within(group, job), error))
        if findings:
            raise InputError(findings)
        return tuple(planner.planned for planner in self.planners(choice))

    def plans(self, choice: Choice, share: float) -> tuple[GroupPlan, ...] | None:
        """Every group under another choice, within a share of the time left; None if no plan is found for one."""
        missing = [n for n in range(len(self.groups)) if self._key(n, choice) not in self._planners]
        for at, number in enumerate(missing):
            if self._least(self._key(number, choice)) == INFINITE:
                return None
            name, priced = f"{self.groups[number].name}, other yards", is_priced(self.groups[number])
            self.progress.begin(name, number + 1, len(self.groups), priced)
            try:
                self._plan(number, choice, self._budget(share, len(missing) - at))
            except NoStock:
                return None
        return tuple(planner.planned for planner in self.planners(choice))

    def planners(self, choice: Choice) -> tuple[GroupPlanner, ...]:
        """The planners behind the plans of a choice that was planned."""
        return tuple(self._planners[self._key(n, choice)] for n in range(len(self.groups)))

    def without_breaks(self, choice: Choice) -> tuple[GroupPlanner, ...] | None:
        """The planners of a choice with groups that take a lower price from a quantity planned without; None if none.

        What such a group must buy for its price cannot move to another yard.
        """
        planners = list(self.planners(choice))
        bound_to = [n for n, p in enumerate(planners) if p.priced and p.best.built.prepaid]
        for number in bound_to:
            own = planners[number]
            plain = tuple(o for o in own.group.offers if o.from_qty == 1)
            budget = self._budget(0.2, len(bound_to))
            planner = GroupPlanner(own.job, replace(own.group, offers=plain), budget, self.settings.seed)
            try:
                plan = planner.plan()
            except NoStock:
                return None
            stopped = own.planned.stopped
            if plan.cost > own.planned.bound.value and stopped in ("proved", "finished"):
                stopped = "settled"
            planner.planned = replace(plan, bound=own.planned.bound, stopped=stopped)
            planners[number] = planner
        return tuple(planners) if bound_to else None

    def again(self, choice: Choice) -> bool:
        """Give the time that is left to the groups that were cut short, the widest gaps first; whether one changed.

        A group gets no less than it had before: less time would hardly find more.
        """
        planners = self.planners(choice)
        late = [n for n, p in enumerate(planners) if p.planned.stopped == "time limit"]
        late.sort(key=lambda n: planners[n].planned.bound.value - planners[n].planned.cost)
        changed = False
        for at, number in enumerate(late):
            key, old = self._key(number, choice), planners[number]
            least = max(1.0, self._spent.get(key, 0.0))
            sharers = max(1, min(len(late) - at, int(self.seconds_left() / least)))
            budget = self._budget(1.0, sharers)
            if budget.seconds_left() < least:
                break
            self.progress.begin(self.groups[number].name, number + 1, len(self.groups), old.priced)
            planner = self._planner(number, choice, budget, self.settings.seed + 1)
            try:
                planner.plan()
            except NoStock:
                continue  # scarce stock, and no luck this time: the plan there is stays
            self._keep(key, _better(old, planner))
            changed = True
        return changed

    def material(self, choice: Choice) -> Decimal:
        """What priced groups cost at the least under a choice, by what is known; infinite if one cannot be planned."""
        return sum((self._least(self._key(n, choice)) for n in range(len(self.groups))), Decimal(0))

    def sharpen(self, choice: Choice) -> bool:
        """Bound the groups under terms that were not looked at yet, by prices alone; whether there were any."""
        new = [n for n in range(len(self.groups)) if self._key(n, choice) not in self._bounds]
        for number in new:
            planner = self._planner(number, choice, self._budget(0.2, len(new)), self.settings.seed)
            self._bounds[self._key(number, choice)] = _bound_of(planner)
        return bool(new)

    def relieved(self, choice: Choice, relief: Relief) -> Decimal:
        """As `material`, with the prices of some yards lowered; groups that do not buy there as they are.

        Less than anything if at these prices sticks would cost less than their rests earn.
        """
        total = Decimal(0)
        for number, group in enumerate(self.groups):
            key = self._key(number, choice)
            shares = tuple(
                relief.get(name, Decimal(0)) for name in dict.fromkeys(o.yard for o in group.offers)
            )
            if not any(shares) or not is_priced(group):
                total += self._least(key)
                continue
            if (*key, shares) not in self._relieved:
                whole = scenario(self.job, choice)
                job = relieved(whole, within(group, whole), relief)
                if job is None:
                    return -INFINITE
                budget = self._budget(0.1, len(self.groups))
                planner = GroupPlanner(
                    job, within(group, job), budget, self.settings.seed, self._memories[number]
                )
                bound = _bound_of(planner, printed=False)
                self._relieved[*key, shares] = max(Decimal(0), bound - rounding(job, group))
            total += self._relieved[*key, shares]
        return total

    def over(self, part: float = 1.0) -> bool:
        """Whether a part of the time is over, or the user asked to end."""
        budget, whole = self._budget(1.0, 1), self.settings.time_s
        return budget.over() or (whole is not None and budget.seconds_left() <= (1.0 - part) * whole)

    def interrupted(self) -> bool:
        """Whether the user asked to end early."""
        return self.progress.interrupted()

    def seconds_left(self) -> float:
        """Seconds left for the whole job, infinite where they are not counted."""
        return self._budget(1.0, 1).seconds_left()

    def _key(self, number: int, choice: Choice) -> _Known:
        return number, terms_for(self.groups[number], self.job, choice)

    def _least(self, key: _Known) -> Decimal:
        """The best bound known: whatever allows more costs no more."""
        return max(self._covering(key), default=Decimal(0))

    def _covering(self, key: _Known) -> Iterator[Decimal]:
        number, terms = key
        for (other, allowed), bound in self._bounds.items():
            if other == number and covers(allowed, terms):
                yield bound

    def _planner(self, number: int, choice: Choice, budget: Budget, seed: int) -> GroupPlanner:
        job = scenario(self.job, choice)
        return GroupPlanner(job, within(self.groups[number], job), budget, seed, self._memories[number])

    def _plan(self, number: int, choice: Choice, budget: Budget) -> None:
        planner, key = self._planner(number, choice, budget, self.settings.seed), self._key(number, choice)
        self._spent[key] = budget.seconds_left()
        planner.plan()
        self._keep(key, planner)

    def _keep(self, key: _Known, planner: GroupPlanner) -> None:
        """Keep a plan, and its bound if it has a price."""
        self._planners[key] = planner
        if planner.priced:
            self._bounds[key] = max(self._bounds.get(key, Decimal(0)), planner.planned.bound.value)
        else:
            self._bounds[key] = Decimal(0)

    def _budget(self, share: float, sharers: int) -> Budget:
        """An even part of a share of the time that is left, or the work for one group."""
        if self.settings.work is not None or self.settings.time_s is None:
            return Budget(None, self.settings.work, self.progress)
        left = self.settings.time_s - (time.monotonic() - self._start)
        return Budget(share * max(0.0, left) / sharers, None, self.progress)


def _bound_of(planner: GroupPlanner, printed: bool = True) -> Decimal:
    """What a group costs at the least, from prices alone; of a group by weight only whether it can be planned."""
    if not planner.group.offers and not planner.group.rack:
        return INFINITE
    try:
        bound = planner.lower_bound(printed)
    except NoStock:
        return INFINITE
    return bound if planner.priced else Decimal(0)


def _better(one: GroupPlanner, other: GroupPlanner) -> GroupPlanner:
    """The planner with the cheaper plan, which gets the higher of both bounds."""
    best = min(one, other, key=lambda p: p.planned.cost)
    bound = max(other.planned, one.planned, key=lambda p: p.bound.value).bound
    stopped = "proved" if best.planned.cost <= bound.value else other.planned.stopped
    best.planned = replace(best.planned, bound=bound, stopped=stopped)
    return best

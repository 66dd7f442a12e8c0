"""The plan of a job: every group solved within the budget, put together and priced."""

from __future__ import annotations

import time
from dataclasses import replace
from decimal import Decimal

from nesting.bars.construct import NoStock
from nesting.findings import Finding, InputError
from nesting.job import Job
from nesting.market.fill import fill_plan
from nesting.market.group import GroupPlanner, short_of_stock
from nesting.market.supply import is_priced
from nesting.market.yards import fees_of, leave_out_yards
from nesting.plan import GroupPlan, Plan, Settings
from nesting.progress import Budget, Progress, Silent
from nesting.sources import Group, groups_of
from nesting.version import VERSION


def make_plan(job: Job, settings: Settings | None = None, progress: Progress | None = None) -> Plan:
    """The cheapest plan found for a job within the budget, with a bound for each group.

    Parameters
    ----------
    job
        As `read_job` gives it.
    settings
        Budget and seed; by default 10 seconds.
    progress
        Told what is done, asked whether to end early.

    Raises
    ------
    InputError
        If the sources cannot hold the parts.
    """
    maker = _Maker(settings or Settings(), progress or Silent())
    plans = leave_out_yards(job, maker.plan_all(job), maker.plan_fewer)
    fees = tuple(fees_of(job, plans))
    lines = [p for plan in plans for p in plan.purchases]
    plan = Plan(
        job=job,
        settings=maker.settings,
        groups=tuple(plans),
        fees=fees,
        total=sum([p.total for p in lines if p.total is not None] + [f[2] for f in fees], Decimal(0)),
        weight_kg=sum(p.weight_kg for p in lines),
        version=VERSION,
    )
    return fill_plan(plan)


class _Maker:
    """Plans the groups of a job, and of the same job with fewer yards, within one budget."""

    def __init__(self, settings: Settings, progress: Progress) -> None:
        self.settings, self.progress = settings, progress
        self._start = time.monotonic()
        self._spent: dict[str, float] = {}

    def plan_all(self, job: Job) -> list[GroupPlan]:
        """Every group; raises InputError if the sources cannot hold the parts."""
        groups = groups_of(job)
        plans: list[GroupPlan] = []
        findings: list[Finding] = []
        for number, group in enumerate(groups, 1):
            self.progress.begin(group.name, number, len(groups), is_priced(group))
            budget = self._budget(len(groups) - number + 1)
            self._spent[group.name] = budget.seconds_left()
            try:
                plans.append(GroupPlanner(job, group, budget, self.settings.seed).plan())
            except NoStock as error:
                findings.append(short_of_stock(job, group, error))
        if findings:
            raise InputError(findings)
        self._again(job, groups, plans)
        return plans

    def _again(self, job: Job, groups: tuple[Group, ...], plans: list[GroupPlan]) -> None:
        """Give the time that proved groups left over to those that were cut short."""
        for at, group in enumerate(groups):
            late = [n for n in range(at, len(plans)) if plans[n].stopped == "time limit"]
            budget = self._budget(len(late) + 1)  # one share stays for trying fewer yards
            first = self._spent.get(group.name, 0.0)
            if at not in late or budget.seconds_left() < max(1.0, first):
                continue
            self.progress.begin(group.name, at + 1, len(groups), is_priced(group))
            try:
                again = GroupPlanner(job, group, budget, self.settings.seed + 1).plan()
            except NoStock:
                continue  # scarce stock, and no luck this time: the plan there is stays
            plans[at] = _better(plans[at], again)

    def plan_fewer(self, job: Job, below: Decimal) -> list[GroupPlan] | None:
        """Every group of a job with fewer offers; None if one cannot be planned, or all cannot cost less."""
        groups = groups_of(job)
        if any(not group.offers and not group.rack for group in groups):
            return None
        planners = [
            GroupPlanner(job, group, self._budget(2 * (len(groups) - n)), self.settings.seed)
            for n, group in enumerate(groups)
        ]
        try:
            if sum((p.lower_bound() for p in planners if p.priced), Decimal(0)) >= below:
                return None
            return [self._plan_one(p, n, len(groups)) for n, p in enumerate(planners, 1)]
        except NoStock:
            return None

    def _plan_one(self, planner: GroupPlanner, number: int, of: int) -> GroupPlan:
        self.progress.begin(f"{planner.group.name}, fewer yards", number, of, planner.priced)
        return planner.plan()

    def _budget(self, sharers: int) -> Budget:
        """An even share of the time that is left, or the work for one group."""
        if self.settings.work is not None or self.settings.time_s is None:
            return Budget(None, self.settings.work, self.progress)
        left = self.settings.time_s - (time.monotonic() - self._start)
        return Budget(max(0.0, left) / sharers, None, self.progress)


def _better(one: GroupPlan, other: GroupPlan) -> GroupPlan:
    """The cheaper plan of a group, with the higher of both bounds."""
    plan = min(other, one, key=lambda p: p.cost)
    bound = max(one, other, key=lambda p: p.bound.value).bound
    return replace(plan, bound=bound, stopped="proved" if plan.cost <= bound.value else other.stopped)

"""The plan of a job: yards chosen, every group solved within the budget, put together and priced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from nesting.job import Job
from nesting.market.planning import Planning
from nesting.market.spare.fill import fill_plan
from nesting.market.spare.hints import hint_plan
from nesting.market.yards.choices import scenario
from nesting.market.yards.fees import choice_made, fees_of, orders_of
from nesting.market.yards.others import other_choices
from nesting.market.yards.settle import Settled, YardSearch
from nesting.plan import GroupPlan, Plan, Settings
from nesting.progress import Progress, Silent
from nesting.version import VERSION


def make_plan(job: Job, settings: Settings | None = None, progress: Progress | None = None) -> Plan:
    """The cheapest plan found for a job within the budget, with a bound for each group and for all choices of yards.

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
    settings = settings or Settings()
    planning = Planning(job, settings, progress or Silent())
    search = YardSearch(job, planning)
    search.run(0.7)
    others = other_choices(job, search)
    search.again()
    search.run(1.0)
    plan = plan_of(job, settings, search.best)
    if planning.priced:
        plan = replace(plan, bound=search.bound(), others=others(search.best))
    return fill_plan(hint_plan(plan, choice_made(job, search.best.plans, search.best.choice), planning))


def plan_of(job: Job, settings: Settings, settled: Settled) -> Plan:
    """A choice of yards with its plans as the plan of the job."""
    choice = choice_made(job, settled.plans, settled.choice)
    groups = _of_yards_used(job, settled.plans, {o.id for o in scenario(job, choice).offers})
    fees = tuple(fees_of(job, groups, choice))
    lines = [p for group in groups for p in group.purchases]
    money = [p.total for p in lines if p.total is not None] + [fee for *_, fee in fees]
    cuts = [parting.times * parting.charge for group in groups if group.priced for parting in group.partings]
    return Plan(
        job=job,
        settings=settings,
        groups=groups,
        fees=fees,
        total=sum(money + cuts, Decimal(0)),
        weight_kg=sum(p.weight_kg for p in lines),
        version=VERSION,
        orders=orders_of(job, groups, choice),
    )


def _of_yards_used(job: Job, plans: Sequence[GroupPlan], left: set[str]) -> tuple[GroupPlan, ...]:
    """The plans with bounds that say nothing of offers of yards that are not used: the bounds hold without them too."""
    known = {offer.id for offer in job.offers}
    return tuple(
        replace(
            plan,
            bound=replace(
                plan.bound,
                source_prices=tuple(p for p in plan.bound.source_prices if p[0] in left or p[0] not in known),
            ),
        )
        for plan in plans
    )

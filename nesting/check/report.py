"""The check of a whole plan, and what it says of each group's proof."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from nesting.check.bill import bill_breaches
from nesting.check.certificate import Verified, verify
from nesting.check.choice import bound_breaches, bound_words, chosen_job, order_breaches
from nesting.check.counts import count_breaches
from nesting.check.fill import fill_breaches
from nesting.check.groups import group_breaches
from nesting.check.hauling import haul_breaches
from nesting.check.hints import hint_breaches
from nesting.check.lots import lot_breaches
from nesting.check.shape import shape_breaches
from nesting.check.sheets import sheet_breaches
from nesting.check.sticks import stick_breaches
from nesting.check.supply import Supply
from nesting.plan import GroupPlan, Plan, Proof

COVERS = (
    "The check of the bound covers pieces with square and mitred ends, pieces that come together, parts"
    " that name a piece or heat of the rack, kerf and its safety, trim, grip and clean ends, every saw"
    " by section and angle, limited stock, the lowest price of quantity breaks, material cut to length, and sticks that"
    " a yard parts, by what their segments hold together or each at best; on sheets, and on flat bars cut in two"
    " dimensions, the area of pieces with the room between them, by every process of the shop."
)
"""The rules that the checker's pricing knows, for the terminal and the page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupCheck:
    """What the check says of one group's bound.

    Parameters
    ----------
    group
        Its name.
    proof
        What the plan claims.
    proved
        What the dual prices prove by the checker's own pricing; None if they do not hold.
    verified
        Whether the bound itself, not only a weaker value, follows from the prices.
    words
        One sentence for the terminal and the page.
    """

    group: str
    proof: Proof
    proved: Decimal | None
    verified: bool
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """All that the check has to say.

    Parameters
    ----------
    breaches
        One sentence each; empty: the plan is sound.
    groups
        Of each group its proof, in the plan's order; empty if the plan could not be reckoned with.
    job
        One sentence about the bound of the whole job; "" if it is no more than the bounds of the groups.
    """

    breaches: tuple[str, ...]
    groups: tuple[GroupCheck, ...]
    job: str = ""

    @property
    def sound(self) -> bool:
        """Whether the plan may be cut by."""
        return not self.breaches


def check_report(plan: Plan) -> Report:
    """Check a plan against the job it answers, and verify its bounds.

    Parameters
    ----------
    plan
        Any plan, also one read from a file that was changed since.

    Returns
    -------
    Report
        Every breach, and for each group which proof was verified. Only a plan whose values are not of their
        kind gets no further than saying so.
    """
    wrong = shape_breaches(plan)
    if wrong:
        return Report(breaches=tuple(wrong), groups=())
    supply = Supply(plan.job, _delivered(plan))
    looks = (
        group_breaches,
        stick_breaches,
        sheet_breaches,
        haul_breaches,
        lot_breaches,
        fill_breaches,
        hint_breaches,
        count_breaches,
        bill_breaches,
        order_breaches,
        bound_breaches,
    )
    breaches = [breach for look in looks for breach in look(plan, supply)]
    groups = []
    chosen = chosen_job(plan)
    chosen_supply = Supply(chosen, {y.name for y in chosen.yards if y.delivery is not None})
    for group in plan.groups:
        verified = verify(group, chosen_supply)
        breaches += [f"group {group.name}: {b}" for b in verified.breaches]
        groups.append(_group_check(group, verified))
    return Report(breaches=tuple(breaches), groups=tuple(groups), job=bound_words(plan))


def _delivered(plan: Plan) -> set[str]:
    """Yards that bring what is bought: as the plan orders, or else those that have a fee for it."""
    chosen = {order.yard: order.delivered for order in plan.orders}
    return {y.name for y in plan.job.yards if chosen.get(y.name, y.delivery is not None)}


def check_plan(plan: Plan) -> tuple[str, ...]:
    """Every breach of the rules in a plan, one sentence each.

    Parameters
    ----------
    plan
        Any plan, also one read from a file that was changed since.

    Returns
    -------
    tuple of str
        Names group, layout or part, what was found and what is due; empty: the plan is sound.
    """
    return check_report(plan).breaches


def _group_check(group: GroupPlan, verified: Verified) -> GroupCheck:
    bound, proved = group.bound, verified.value
    holds = proved is not None and not verified.breaches and bound.value <= proved
    return GroupCheck(
        group=group.name,
        proof=bound.proof,
        proved=proved,
        verified=holds,
        words=_words(group, proved, holds) + _hint_words(group),
    )


def _hint_words(group: GroupPlan) -> str:
    """That what shortenings save stands as it was found."""
    shorter = sum(hint.saves > 0 for hint in group.hints)
    if not shorter:
        return ""
    what = "shortening saves was" if shorter == 1 else f"{shorter} shortenings save was"
    return f" What the {what} found by planning again and is not verified: only that each part may be so much shorter."


def _words(group: GroupPlan, proved: Decimal | None, holds: bool) -> str:
    unit = "" if group.priced else " kg"
    bound = f"{group.bound.value}{unit}"
    if proved is None:
        return f"The bound {bound} was not verified."
    if holds and group.bound.value > 0:
        return f"The bound {bound} was verified from its prices by the check's own pricing."
    if holds:
        return "No bound is claimed."
    if group.bound.proof == "search":
        return (
            f"The bound {bound} was found by search: repeatable, not verified by the check,"
            f" whose own pricing verifies {proved}{unit}."
        )
    return f"The bound {bound} was not verified; its prices verify {proved}{unit}."

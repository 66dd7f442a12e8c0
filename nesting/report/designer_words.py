"""What a plan tells the designer, worded once: spare parts made, what shorter parts save, what longer ones may be."""

from __future__ import annotations

from collections.abc import Iterator

from nesting.job import Part, Shop
from nesting.plan import GroupPlan, Hint, Plan
from nesting.report.words import length_words, money_words, weight_words

ONLY_SUGGESTED = (
    "Suggestions only: none of this is in the plan. What a shorter part saves was found by planning again."
)


def spare_words(part: Part, shop: Shop) -> str:
    """What a fill part is, "" for one that must be made."""
    if part.fill is None:
        return ""
    return f"spare, worth {money_words(part.fill, shop)}" if part.fill else "spare, worth its material"


def leeway_words(part: Part, shop: Shop) -> str:
    """What a part leaves open: whether it must be made at all, or how much shorter it could be; "" if neither."""
    if part.may_shorten:
        return f"may be {length_words(part.may_shorten, shop)} shorter"
    return spare_words(part, shop)


def spare_lines(plan: Plan) -> Iterator[str]:
    """How many spares are cut, as one sentence; nothing if none are wanted."""
    missing = dict(plan.unfilled)
    wanted = {part.mark: plan.job.copies(part) for part in plan.job.fills}
    said = [f"{n - missing.get(mark, 0)} of {n} {mark}" for mark, n in wanted.items()]
    if said:
        yield f"Spares, cut from what would be scrap: {', '.join(said)}"


def shorter_lines(plan: Plan) -> Iterator[str]:
    """What each shortening saves, the best of each group first."""
    for group in plan.groups:
        for hint in group.hints:
            if hint.saves > 0:
                yield f"{_changes(hint, plan.job.shop)}: saves {_saved(hint, group, plan.job.shop)}, {hint.words}"


def longer_lines(plan: Plan, most: int | None = None) -> Iterator[str]:
    """Which parts could be longer at no cost, a sentence for each group.

    Parameters
    ----------
    most
        How many parts of a group are named; None: all.
    """
    for group in plan.groups:
        longer = [hint.changes[0] for hint in group.hints if not hint.saves]
        said = [f"{mark} by {length_words(-ticks, plan.job.shop)}" for mark, ticks in longer[:most]]
        if said:
            more = f" and {len(longer) - len(said)} more" if len(longer) > len(said) else ""
            yield f"Of {group.name}, longer at no cost, each alone: {', '.join(said)}{more}"


def designer_lines(plan: Plan) -> tuple[str, ...]:
    """What could be changed in the drawings, a sentence each; spares are no matter of the drawings."""
    return (*shorter_lines(plan), *longer_lines(plan))


def _changes(hint: Hint, shop: Shop) -> str:
    return " and ".join(f"{mark} {length_words(ticks, shop)} shorter" for mark, ticks in hint.changes)


def _saved(hint: Hint, group: GroupPlan, shop: Shop) -> str:
    return money_words(hint.saves, shop) if group.priced else weight_words(float(hint.saves), shop)

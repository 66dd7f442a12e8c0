"""Other choices of yards, as plans that were really found, and how a choice is said."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from nesting.job import Job
from nesting.market.yards.choices import Choice, ways_of
from nesting.market.yards.fees import choice_made, steel_by_yard
from nesting.market.yards.settle import Settled, YardSearch
from nesting.plan import OtherChoice

_SHOWN = 4
_TRIED = 8
"""Choices that are planned for the sake of being shown."""


def other_choices(job: Job, search: YardSearch) -> Callable[[Settled], tuple[OtherChoice, ...]]:
    """Plan the choices that a buyer asks about, and say later how much dearer than the best each choice found is."""
    if search.is_open:
        for choice in list(_asked_about(job, search.best))[:_TRIED]:
            if search.planning.over(0.75):
                break
            search.plan(choice, share=0.1)

    def against(best: Settled) -> tuple[OtherChoice, ...]:
        cheapest: dict[str, Decimal] = {}
        own = choice_words(job, best, best)
        for settled in sorted(search.found, key=lambda s: s.cost) if search.is_open else ():
            words = choice_words(job, settled, best)
            if words != own:
                cheapest.setdefault(words, settled.cost - best.cost)
        return tuple(OtherChoice(words=w, more=more) for w, more in list(cheapest.items())[:_SHOWN])

    return against


def _asked_about(job: Job, best: Settled) -> Iterator[Choice]:
    """All from one yard; the yards of the plan used in the other way, one at a time."""
    chosen = choice_made(job, best.plans, best.choice)
    used = steel_by_yard(job, best.plans)
    selling = list(dict.fromkeys(o.yard for o in job.offers if o.price is not None))
    for name in selling:
        if set(used) != {name}:
            yield {y.name: ways_of(y)[-1] if y.name == name else "left out" for y in job.yards}
    for yard in job.yards:
        for how in ways_of(yard):
            if yard.name in used and how != chosen[yard.name]:
                yield {**chosen, yard.name: how}


def choice_words(job: Job, settled: Settled, best: Settled) -> str:
    """A choice as a buyer says it, beside the best one: "all from North", "South picked up instead of delivered"."""
    used, usual = list(steel_by_yard(job, settled.plans)), set(steel_by_yard(job, best.plans))
    if set(used) == usual:
        changed = [name for name in _in_order(job, used) if settled.choice.get(name) != best.choice.get(name)]
        return ", ".join(f"{n} {settled.choice[n]} instead of {best.choice[n]}" for n in changed)
    if not used:
        return "all from the rack"
    named = [f"{name}{_how(job, settled, name)}" for name in _in_order(job, used)]
    if len(used) == 1:
        return f"all from {named[0]}"
    return f"from {', '.join(named[:-1])} and {named[-1]}"


def _in_order(job: Job, names: list[str]) -> list[str]:
    """Yards in the order of their table, those without a row last."""
    table = [yard.name for yard in job.yards]
    return sorted(names, key=lambda name: (table.index(name) if name in table else len(table), name))


def _how(job: Job, settled: Settled, name: str) -> str:
    """How its material comes home, where that is a choice."""
    yard = next((y for y in job.yards if y.name == name), None)
    if yard is None or len([way for way in ways_of(yard) if way != "left out"]) < 2:
        return ""
    return f", {settled.choice[name]}"

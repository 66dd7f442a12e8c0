"""Choices of yards: which yards are bought from, and how the material of each comes home."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal, TypeAlias

from nesting.job import Job
from nesting.market.supply import is_priced
from nesting.rules.sources import Group
from stock.offer import Yard

How = Literal["left out", "picked up", "delivered"]
Choice: TypeAlias = Mapping[str, How]
"""How each yard is used, by its name; of one that is missing it is left open."""


def may_pick_up(yard: Yard) -> bool:
    """Whether its material can be fetched: always, but where a yard delivers and nothing is said of hauling."""
    return yard.delivery is None or yard.haul_limit is not None or yard.payload_kg is not None


def ways_of(yard: Yard) -> tuple[How, ...]:
    """Every way to use a yard that can be cheapest, the dearest in fees last.

    A yard that can be used without paying a fee is never left out; one that delivers for nothing is not driven to;
    fetching what has no haul limit is never dearer than its delivery.
    """
    ways: list[How] = []
    if yard.delivery == 0:
        ways.append("delivered")
    else:
        if may_pick_up(yard):
            ways.append("picked up")
        if yard.delivery is not None and not (ways and yard.haul_limit is None):
            ways.append("delivered")
    charges = yard.minimum_order > 0 or (ways == ["delivered"] and yard.delivery != 0)
    return ("left out", *ways) if charges else tuple(ways)


def sensible_ways(job: Job, groups: Sequence[Group]) -> dict[str, tuple[How, ...]]:
    """The ways to use each yard that charges something or that groups can buy from in more than one way.

    A yard that some group has nothing else from is not left out.
    """
    sold = [(group, {offer.yard for offer in group.offers}) for group in groups]
    needed = {name for group, names in sold if len(names) == 1 and not group.rack for name in names}
    ways = {y.name: ways_of(y) for y in job.yards if any(y.name in names for _, names in sold)}
    return {
        name: tuple(how for how in own if how != "left out" or name not in needed)
        for name, own in ways.items()
        if len(own) > 1
    }


def everything(job: Job) -> dict[str, How]:
    """Every yard used, and in the way that lets most be bought: no other choice holds a part that this one does not."""
    return {yard.name: ways_of(yard)[-1] for yard in job.yards}


def scenario(job: Job, choice: Choice) -> Job:
    """The job as a choice leaves it, for the planning of its groups.

    A yard that delivers has no haul limit, one that is fetched from no delivery; the priced offers of a yard that is
    left out are gone. What is left open is as generous as either.
    """
    out = {name for name, how in choice.items() if how == "left out"}
    return replace(
        job,
        yards=tuple(_terms(yard, choice.get(yard.name)) for yard in job.yards),
        offers=tuple(o for o in job.offers if o.yard not in out or o.price is None),
    )


def within(group: Group, job: Job) -> Group:
    """A group with its offers as a scenario leaves them; it stays one, even if its parts share no source any more."""
    left = {offer.id: offer for offer in job.offers}
    return replace(group, offers=tuple(left[o.id] for o in group.offers if o.id in left))


def _terms(yard: Yard, how: How | None) -> Yard:
    if how == "picked up":
        return replace(yard, delivery=None)
    if yard.delivery is None:
        return yard
    return replace(yard, haul_limit=None)


Terms: TypeAlias = tuple[int, ...]
"""What a choice leaves of each yard that a group can buy from: 0 nothing, 1 what can be hauled, 2 everything. Choices
with the same terms are the same to the group."""


def terms_for(group: Group, job: Job, choice: Choice) -> Terms:
    """The terms of a group under a choice, for the yards of its offers in order."""
    yards = {yard.name: yard for yard in job.yards}
    names = dict.fromkeys(offer.yard for offer in group.offers)
    priced = is_priced(group)
    return tuple(_left(yards[name], choice.get(name), priced) if name in yards else 2 for name in names)


def covers(one: Terms, other: Terms) -> bool:
    """Whether everything that some terms allow is allowed by the first."""
    return all(a >= b for a, b in zip(one, other, strict=True))


def _left(yard: Yard, how: How | None, priced: bool) -> int:
    if how == "left out" and priced:
        return 0
    limited = yard.haul_limit is not None and (how == "picked up" or yard.delivery is None)
    return 1 if limited else 2

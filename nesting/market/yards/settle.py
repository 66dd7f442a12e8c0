"""The cheapest choice of yards, deliveries and minimum orders included: all choices, the most promising first.

Choices are settled yard by yard. What is still open costs nothing and allows everything, so that each step is bounded
from below by the least cost of the groups and the fees that are settled; what is dearer than the best plan is dropped.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from heapq import heappop, heappush

from nesting.job import Job
from nesting.market.planning import INFINITE, Planning
from nesting.market.yards.choices import Choice, How, everything, sensible_ways
from nesting.market.yards.fees import choice_made, objective, steel_by_yard
from nesting.market.yards.least import LeastCost
from nesting.market.yards.minimum import topped_up
from nesting.market.yards.relief import rounded_up
from nesting.plan import GroupPlan
from stock.offer import Yard

_MOST_PLANNED = 40
"""Choices planned in full where steps are counted instead of seconds."""


@dataclass(frozen=True, slots=True)
class Settled:
    """A choice of yards with the best plan found for it.

    Parameters
    ----------
    cost
        Objective of the job, fees included.
    """

    choice: Choice
    plans: tuple[GroupPlan, ...]
    cost: Decimal


class YardSearch:
    """Searches the choices of yards of a job.

    Parameters
    ----------
    planning
        Plans and bounds the groups.

    Raises InputError if the sources cannot hold the parts.
    """

    def __init__(self, job: Job, planning: Planning) -> None:
        self.job, self.planning = job, planning
        self._ways = sensible_ways(job, planning.priced)
        self._charging = sorted((y for y in job.yards if y.name in self._ways), key=_charge, reverse=True)
        self._waiting: list[tuple[Decimal, int, int, dict[str, How]]] = []
        self._number = 0
        self._closed: list[dict[str, How]] = []
        self._least = LeastCost(job, planning, self._charging)
        self.found: list[Settled] = []
        """Every choice that was planned."""
        first = everything(job)
        self.best = self._settled(first, planning.first(first, 0.6 if self.is_open else 1.0))
        root = {name: how for name, how in first.items() if len(self._ways.get(name, ())) < 2}
        needed = tuple(y.name for y in self._charging if y.name in root)
        self._least.follow(root, needed, None)
        self._put(root)

    @property
    def is_open(self) -> bool:
        """Whether there is something to choose."""
        return any(len(ways) > 1 for ways in self._ways.values())

    def run(self, part: float) -> None:
        """Go through the choices until none that is left can be cheaper, or a part of the time is over."""
        self._go_through(part)
        made = choice_made(self.job, self.best.plans, self.best.choice)
        if made != self.best.choice and not self.planning.over():
            # at the same cost the plan of just these yards, which may be handier, and is proved for them
            again = self.plan(made)
            if again is not None and again.cost <= self.best.cost:
                self.best = again

    def _go_through(self, part: float) -> None:
        while self._waiting and self._waiting[0][0] < self.best.cost:
            if self.planning.over(part) or len(self.found) > _MOST_PLANNED:
                return
            bound, _, _, choice = heappop(self._waiting)
            self.planning.sharpen(choice)
            self._least.relieve(choice, self.best.cost)
            if self._least.of(choice) > bound:
                self._put(choice)
            elif len(choice) == len(self.job.yards):
                self._closed.append(choice)
                self.plan(choice)
            else:
                self._branch(choice)

    def _branch(self, choice: dict[str, How]) -> None:
        """Settle one more yard, in every way; what was known of the choice holds for each of them."""
        name = next(y.name for y in self._charging if y.name not in choice)
        for how in self._ways[name]:
            settled = {**choice, name: how}
            self._least.follow(settled, (name,), choice)
            self._put(settled)

    def plan(self, choice: Choice, share: float = 0.5) -> Settled | None:
        """Plan a choice within a share of the time left, and keep it if it is best; None if no plan is found for it."""
        for settled in self.found:
            if settled.choice == choice:
                return settled
        plans = self.planning.plans(choice, share)
        if plans is None:
            return None
        settled = self._settled(choice, plans)
        if settled.cost < self.best.cost:
            self.best = settled
        return settled

    def again(self) -> None:
        """Give the time that is left to what was cut short in the best plan."""
        if self.planning.again(self.best.choice):
            plans = tuple(planner.planned for planner in self.planning.planners(self.best.choice))
            settled = self._settled(self.best.choice, plans)
            self.best = min(settled, self.best, key=lambda s: s.cost)

    def bound(self) -> Decimal:
        """What no plan of any choice can beat, fees included."""
        choices = [choice for *_, choice in self._waiting] + self._closed
        bound = min([self.best.cost, *(self._least.of(choice) for choice in choices)])
        return min(self.best.cost, rounded_up(self.job, bound))

    def _put(self, choice: dict[str, How]) -> None:
        """Put a choice among those that wait, the deepest first of equally promising ones."""
        bound = self._least.of(choice)
        if bound < INFINITE:
            self._number += 1
            heappush(self._waiting, (bound, -len(choice), self._number, choice))

    def _settled(self, choice: Choice, plans: tuple[GroupPlan, ...]) -> Settled:
        """The plans of a choice, put together anew where that makes up for a shortfall to a minimum order."""
        cost = objective(self.job, plans, choice)
        if any(self._shortfalls(plans)) and not self.planning.interrupted():
            for planners in (self.planning.planners(choice), self.planning.without_breaks(choice)):
                better = planners and topped_up(self.job, planners, choice, self.planning.seconds_left())
                if better and objective(self.job, better, choice) < cost:
                    plans, cost = better, objective(self.job, better, choice)
        settled = Settled(choice, plans, cost)
        self.found.append(settled)
        return settled

    def _shortfalls(self, plans: tuple[GroupPlan, ...]) -> Iterator[bool]:
        """Of each yard that is bought from, whether its minimum order is not reached."""
        steel = steel_by_yard(self.job, plans)
        return (steel[y.name] < y.minimum_order for y in self._charging if y.name in steel)


def _charge(yard: Yard) -> Decimal:
    return (yard.delivery or Decimal(0)) + yard.minimum_order

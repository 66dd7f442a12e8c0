"""What a choice of yards costs at the least, also one that is settled in part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from nesting.job import Job
from nesting.market.planning import Planning
from nesting.market.yards.choices import Choice, How
from nesting.market.yards.relief import Relief, best_share
from stock.offer import Yard


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of a choice beyond the least cost of its groups.

    Parameters
    ----------
    bound
        From the choice it was made of, or from a relief.
    relief
        By which yards' prices are lowered for that.
    new
        Yards that were settled last, while that was not looked at.
    """

    bound: Decimal
    relief: Relief
    new: tuple[str, ...]


class LeastCost:
    """Bounds of choices, by the bounds of their groups.

    Parameters
    ----------
    charging
        The yards that charge something or can be used in more than one way. One that is settled as used is bought from:
        a plan that does not buy there is one of the choice that leaves it out, or that uses it for nothing.
    """

    def __init__(self, job: Job, planning: Planning, charging: Sequence[Yard]) -> None:
        self._planning, self._charging = planning, charging
        self._earns = bool(job.shop.offcut_share or job.shop.scrap_price)
        """Whether rests may earn something, so that less than the minimum orders may be paid in all."""
        self._known: dict[frozenset[tuple[str, How]], _Known] = {}

    def follow(self, choice: Choice, new: tuple[str, ...], parent: Choice | None) -> None:
        """A choice that settles some yards more than its parent, whose bound holds for it too."""
        bound, relief = Decimal(0), dict[str, Decimal]()
        if parent is not None:
            bound, relief = self.of(parent), dict(self._known[_named(parent)].relief)
        self._known[_named(choice)] = _Known(bound, relief, new)

    def of(self, choice: Choice) -> Decimal:
        """What any plan of a choice costs at the least.

        A yard that is settled to be used pays its delivery, and its minimum order at the least; where rests earn
        nothing, all that is paid is therefore at least the minimum orders together.
        """
        material, delivery = self._planning.material(choice), self._delivery(choice)
        if not self._earns:
            material = max(material, sum(self._minima(choice).values(), Decimal(0)))
        known = self._known.get(_named(choice))
        return max(delivery + material, known.bound if known else Decimal(0))

    def relieve(self, choice: Choice, enough: Decimal) -> None:
        """Raise the bound of a choice by relief, for the yards settled last: up to an amount, or until time is over."""
        known = self._known[_named(choice)]
        if not known.new:
            return
        minima, delivery = self._minima(choice), self._delivery(choice)

        def bound_at(relief: Relief) -> Decimal:
            paid = sum((share * minima[name] for name, share in relief.items()), Decimal(0))
            return delivery + paid + self._planning.relieved(choice, relief)

        def is_enough(bound: Decimal) -> bool:
            return bound >= enough or self._planning.over()

        bound, relief = self.of(choice), known.relief
        for name in known.new:
            if is_enough(bound):
                break
            if minima.get(name):
                tried, found = best_share(bound_at, relief, name, is_enough)
                if found > bound:
                    bound, relief = found, tried
            elif relief:
                bound = max(bound, bound_at(relief))
        self._known[_named(choice)] = _Known(bound, relief, ())

    def _minima(self, choice: Choice) -> dict[str, Decimal]:
        """Minimum orders of the yards that are settled to be used."""
        return {
            y.name: y.minimum_order for y in self._charging if choice.get(y.name, "left out") != "left out"
        }

    def _delivery(self, choice: Choice) -> Decimal:
        """Deliveries that are settled."""
        fees = (y.delivery for y in self._charging if choice.get(y.name) == "delivered")
        return sum((fee for fee in fees if fee), Decimal(0))


def _named(choice: Choice) -> frozenset[tuple[str, How]]:
    return frozenset(choice.items())

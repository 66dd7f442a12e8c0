"""The money and the weight, reckoned again from the layouts: lines, group costs, fees, totals."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from nesting.check.credit import stick_credit, total_credit
from nesting.check.regions import is_inside
from nesting.check.supply import Supply, bought_of, cut_alike, line_cost, unit_cost
from nesting.plan import GroupPlan, Plan, Purchase, SheetLayout
from stock.money import Cost, from_cost, to_cost

WEIGHT_TOLERANCE = 0.0001
"""Kilograms a stick by which a stated weight may differ: weights are shown and summed rounded to it."""


def bill_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say which amounts of a plan are not what its layouts, prices and weights come to."""
    for group in plan.groups:
        for breach in _Bill(group, supply).breaches():
            yield f"group {group.name}: {breach}"
    yield from _fees(plan, supply)
    yield from _totals(plan, supply)


def differs(found: Decimal | None, due: Cost | None) -> bool:
    """Whether an amount is another than the due one, exactly."""
    if found is None or due is None:
        return (found is None) != (due is None)
    return Fraction(found) != Fraction(due, 10_000)


def show(cost: Cost | None) -> str:
    """A due amount for a breach."""
    return "none" if cost is None else str(from_cost(cost))


class _Bill:
    def __init__(self, group: GroupPlan, supply: Supply) -> None:
        self.group, self.supply = group, supply

    def breaches(self) -> Iterator[str]:
        yield from self._priced()
        yield from self._counts()
        for purchase in self.group.purchases:
            if purchase.offer in self.supply.offers:
                yield from self._line(purchase)
        yield from self._credits()
        due = self._cost()
        if due is not None and differs(self.group.cost, due):
            yield f"cost is {self.group.cost}, due is {show(due)}"

    def _priced(self) -> Iterator[str]:
        """A group counts money if an offer for its parts has a price, kilograms if none has."""
        parts = [self.supply.parts[m] for m in self.group.marks if m in self.supply.parts]
        offers = [o for o in self.supply.offers.values() if any(self.supply.may_come(p, o) for p in parts)]
        due = any(o.price is not None for o in offers)
        if offers and due != self.group.priced:
            yield f"priced is {self.group.priced}, due is {due} by the offers for its parts"

    def _counts(self) -> Iterator[str]:
        cut: Counter[tuple[str, int]] = Counter()
        for offer, length, times in bought_of(self.group):
            cut[offer, length] += times
        bought: Counter[tuple[str, int]] = Counter()
        for p in self.group.purchases:
            if (p.offer, p.length) in bought:
                yield f"{p.offer} stands in two purchases of the same length, due is one"
            if p.count < 1:
                yield f"{p.offer}: count is {p.count}, due is 1 or more"
            if p.offer not in self.supply.offers:
                yield f"no offer of the job is called {p.offer}"
            bought[p.offer, p.length] += p.count
        for offer, length in sorted(cut.keys() | bought.keys()):
            found, due = bought[offer, length], cut[offer, length]
            if found != due:
                yield f"{offer}, length {length} ticks: {found} are bought, due is {due} by the layouts"

    def _line(self, p: Purchase) -> Iterator[str]:
        offer = self.supply.offers[p.offer]
        if p.width != offer.width:
            yield f"{p.offer}: width is {p.width} ticks, due is {offer.width}"
        due = unit_cost(offer, p.length, True) if self.group.priced else None
        if self.group.priced and due is None:
            yield f"{p.offer} has no price, and the group counts money"
            return
        if differs(p.unit_price, due):
            yield f"{p.offer}: unit price is {p.unit_price}, due is {show(due)}"
        line = None if due is None else line_cost(p.count, due)
        if differs(p.total, line):
            yield f"{p.offer}: total of the line is {p.total}, due is {show(line)}"
        weight = p.count * offer.material.weight_kg(p.length, offer.width)
        if abs(p.weight_kg - weight) > WEIGHT_TOLERANCE * max(1, p.count):
            yield f"{p.offer}: weight is {p.weight_kg} kg, due is {weight:.4f} kg"

    def _credits(self) -> Iterator[str]:
        """Of each layout what the rest of one stick earns, and of the group all of them."""
        for number, layout in enumerate(self.group.layouts, start=1):
            one = stick_credit(self.supply, self.group, layout)
            if differs(layout.credit, one):
                yield f"layout {number} ({layout.source}): credit is {layout.credit}, due is {show(one)}"
        total = total_credit(self.supply, self.group)
        if differs(self.group.credit, total):
            yield f"credit is {self.group.credit}, due is {show(total)}"

    def _cost(self) -> Cost | None:
        """The objective; None if a line has no price.

        Lines, rack pieces used, yard cuts and blanks handled, less what rests earn; or kilograms.
        """
        total: Cost = 0
        for p in self.group.purchases:
            offer = self.supply.offers.get(p.offer)
            cost = None if offer is None else unit_cost(offer, p.length, self.group.priced)
            if cost is None:
                return None
            total += line_cost(p.count, cost) if self.group.priced else p.count * cost
        if self.group.priced:
            taken = (
                x.source
                for x in cut_alike(self.group)
                if x.source_kind == "rack" and x.source in self.supply.rack
            )
            total += sum(to_cost(self.supply.rack[name].value) for name in taken)
            total -= total_credit(self.supply, self.group)
            total += yard_cuts(self.group)
            handled = sum(sheet.times * _handled(sheet) for sheet in self.group.sheets)
            total += handled * to_cost(self.supply.job.shop.blank_cost)
        return total


def _handled(sheet: SheetLayout) -> int:
    """Blanks that lie on the bed: those that a piece lies in."""
    return sum(any(is_inside(p.place, blank) for p in sheet.pieces) for blank in sheet.blanks)


def yard_cuts(group: GroupPlan) -> Cost:
    """What the cuts of the yards cost; each charge is whole cents, which is looked at beside its cuts."""
    return sum(int(p.times * Fraction(p.charge) * 10_000) for p in group.partings)


def _steel(plan: Plan, supply: Supply) -> dict[str, Cost]:
    """Sum of the priced lines of each yard."""
    steel: dict[str, Cost] = defaultdict(int)
    for group in plan.groups:
        for p in group.purchases:
            offer = supply.offers.get(p.offer)
            cost = unit_cost(offer, p.length, True) if offer is not None and group.priced else None
            if offer is not None and cost is not None:
                steel[offer.yard] += line_cost(p.count, cost)
    return steel


def _fees(plan: Plan, supply: Supply) -> Iterator[str]:
    """Each yard that is bought from: its delivery unless it is picked up, and what is missing to its minimum order.

    Of a yard whose lines have no price yet, neither is known to be due; its delivery may be stated.
    """
    yards = {y.name: y for y in supply.job.yards}
    fetched = {order.yard for order in plan.orders if not order.delivered}
    steel = _steel(plan, supply)
    due: dict[tuple[str, str], Fraction] = {}
    for name, lines in steel.items():
        if name in yards:
            due[name, "delivery"] = Fraction(0 if name in fetched else yards[name].delivery or 0)
            due[name, "shortfall"] = max(
                Fraction(0), Fraction(yards[name].minimum_order) - Fraction(lines, 10_000)
            )
    found: dict[tuple[str, str], Fraction] = defaultdict(Fraction)
    for name, what, money in plan.fees:
        found[name, _kind(what)] += Fraction(money)
    for p in (p for group in plan.groups for p in group.purchases if p.offer in supply.offers):
        yard = supply.offers[p.offer].yard
        if yard in yards and yard not in steel and (yard, "delivery") in found:
            due[yard, "delivery"] = Fraction(yards[yard].delivery or 0)
    for key in sorted(due.keys() | found.keys()):
        asked, owed = found.get(key, Fraction(0)), due.get(key, Fraction(0))
        if asked != owed:
            yield f"yard {key[0]}: {key[1]} is {float(asked):.4f}, due is {float(owed):.4f}"


def _kind(what: str) -> str:
    """Which fee is meant: a shortfall is one to the minimum order, whatever else its words say."""
    words = what.lower()
    if "shortfall" in words or "minimum" in words:
        return "shortfall"
    return "delivery" if "delivery" in words else what


def _totals(plan: Plan, supply: Supply) -> Iterator[str]:
    due = Fraction(sum(_steel(plan, supply).values()), 10_000) + sum(
        Fraction(money) for _, _, money in plan.fees
    )
    due += Fraction(sum(yard_cuts(group) for group in plan.groups if group.priced), 10_000)
    if Fraction(plan.total) != due:
        yield f"total is {plan.total}, due is {float(due):.4f} (purchases, yard cuts and fees)"
    sticks, weight = 0, 0.0
    for group in plan.groups:
        for p in group.purchases:
            offer = supply.offers.get(p.offer)
            if offer is not None:
                sticks += max(0, p.count)
                weight += p.count * offer.material.weight_kg(p.length, offer.width)
    if abs(plan.weight_kg - weight) > WEIGHT_TOLERANCE * max(1, sticks):
        yield f"weight is {plan.weight_kg} kg, due is {weight:.4f} kg"

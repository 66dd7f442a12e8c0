"""The proof of a bound, verified: no stick and no sheet holds parts worth more than it costs.

Every plan gives each stick or sheet some parts. If the prices of the parts in any of them never add up to more
than it costs (and, where its number is limited, plus a price of that source), then a whole plan costs at least
sum(copies x part price) - sum(limit x source price). Whether that holds is asked of every source, on each saw in
one dimension and by each process in two.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from nesting.check.area import Slab, fewest_blanks, most_worth
from nesting.check.credit import Earning, Line, earning, lines_below
from nesting.check.hauling import Room, parted_rooms
from nesting.check.lots import Unit, units_of
from nesting.check.mitres import on_bar
from nesting.check.outer import Case, Weighed, any_ends, beside, cases
from nesting.check.pricing import Found, Item, TooLargeError, find_above, worth_at_most
from nesting.check.rounding import rounded_bound
from nesting.check.supply import Size, Supply, ends, names, saw_takes, saw_turns, unit_cost
from nesting.check.ways import Source, Way, flat_lies
from nesting.job import Part, Saw
from nesting.plan import Bound, GroupPlan
from stock.money import Cost, from_cost, to_cost
from stock.offer import Offer


class Certificate:
    """The dual prices of one group against all that its parts may be cut from.

    Parameters
    ----------
    group
        The group with its bound.
    supply
        The job it belongs to.
    """

    def __init__(self, group: GroupPlan, supply: Supply) -> None:
        self.group, self.supply, self.bound = group, supply, group.bound
        marked = (supply.parts[m] for m in group.marks if m in supply.parts)
        self.parts = [part for part in marked if part.fill is None]
        self.units = units_of(supply, self.parts)
        self.prices = dict(self.bound.part_prices)

    @cached_property
    def sources(self) -> list[_Stock]:
        """Everything that at least one piece of the group can be cut from."""
        whole: list[Size | Source] = list(dict.fromkeys(self.supply.size_of.values()))
        stocks = (_Stock(one, self) for one in [*whole, *self.supply.rack.values()])
        return [s for s in stocks if s.cuts or s.slabs]

    def form_breaches(self) -> Iterator[str]:
        """What is wrong with the certificate before anything is reckoned."""
        if self.bound.scale < 1:
            yield f"scale of the bound is {self.bound.scale}, due is 1 or more"
        for kind, pairs in (("part", self.bound.part_prices), ("source", self.bound.source_prices)):
            names = [name for name, _ in pairs]
            yield from (
                f"the bound prices {kind} {n} twice" for n in sorted({n for n in names if names.count(n) > 1})
            )
            yield from (
                f"the bound's price of {kind} {n} is {p}, due is 0 or more" for n, p in pairs if p < 0
            )
        yield from (
            f"the bound prices part {m}, which is not of the group"
            for m in self.prices.keys() - set(self.marks)
        )
        for unit in self.units:
            for part, _ in unit.parts[1:]:
                if self.prices.get(part.mark):
                    yield f"the bound prices part {part.mark}, due is 0: it is priced with {unit.mark}"
        yield from self._source_breaches()

    def _source_breaches(self) -> Iterator[str]:
        """Only a limited source has a price, a size has one; a price of what no part fits does no harm."""
        limited = {n: s for n, s in self.supply.size_of.items() if s.limit is not None}
        priced: set[object] = set()
        for name, price in self.bound.source_prices:
            if name not in limited and name not in self.supply.rack and price:
                yield f"the bound prices source {name}, which is not a limited source of the job"
            elif name in limited and limited[name] in priced:
                yield f"the bound prices source {name}, whose size is priced already"
            priced.add(limited.get(name))

    @property
    def marks(self) -> tuple[str, ...]:
        """Parts that the bound may price."""
        return tuple(p.mark for p in self.parts)

    def cover_breaches(self) -> Iterator[str]:
        """Which sources can be cut so that the parts are worth more than the source.

        Raises TooLargeError if a source cannot be looked through.
        """
        asked: set[object] = set()
        for stock in self.sources:
            yield from stock.sheet_breaches()
            for saw, room in [(s, room) for s in stock.cuts for room in stock.rooms(s)]:
                question = stock.question(saw, room)
                if question in asked:
                    continue
                asked.add(question)
                found = stock.overpaid(saw, room)
                if found is not None:
                    yield (
                        f"the bound does not hold: {stock.names[0]} on saw {saw.name} can be cut to parts"
                        f" worth {found.value}, due is {stock.allowed(saw, room, found.weight)} at most"
                        " (certificate units)"
                    )

    def proved(self) -> Decimal:
        """What the prices prove, if they hold: money to the cent or kilograms to 0.0001."""
        total = sum(unit.copies * self.prices.get(unit.mark, 0) for unit in self.units)
        total -= sum(s.price * s.limit for s in self.sources if s.limit is not None)
        cut = [s for s in self.sources if s.is_cut_to_length]
        cuttable = {unit for s in cut for items in s.cuts.values() for unit, _ in items}
        value = rounded_bound(
            total,
            self.bound.scale,
            [s.row_costs() for s in self.sources if not s.is_cut_to_length and s.size],
            [s.value for s in self.sources if not s.size],
            sum(unit.copies for unit in cuttable) if cut else None,
            self.group.priced,
            [
                *(s.cut_charge for s in self.sources if s.yard is not None),
                *(s.blank_cost for s in self.sources if any(way.is_parted for way, _ in s.slabs)),
            ],
            any(s.earns for s in self.sources),
        )
        return from_cost(value)


class _Stock:
    """One size or one rack piece, sticks or sheets, as the certificate sees it."""

    def __init__(self, one: Size | Source, certificate: Certificate) -> None:
        self.size = one if isinstance(one, Size) else None
        self.source: Source = one.rows[0] if isinstance(one, Size) else one
        self.names = tuple(o.id for o in one.rows) if isinstance(one, Size) else (self.source.id,)
        self.limit = one.limit if isinstance(one, Size) else 1
        self.is_cut_to_length = isinstance(self.source, Offer) and self.source.cut_to_length is not None
        self.cut = certificate.supply.cut
        self.longest_had = certificate.supply.longest_had(self.source)
        self.yard = certificate.supply.parting_yard(self.source)
        self.priced, self.prices = certificate.group.priced, certificate.prices
        self.copies, self.scale = {u.mark: u.copies for u in certificate.units}, certificate.bound.scale
        given = dict(certificate.bound.source_prices)
        self.price = sum(given.get(n, 0) for n in self.names)
        self.blank_cost = to_cost(certificate.supply.job.shop.blank_cost) if self.priced else 0
        self.keep_length = certificate.supply.job.shop.keep_length
        self.rows = list(self._rows(certificate))
        """Cost of a whole stick at every row that can be reached, and what its rests earn then."""
        self.cuts: dict[Saw, list[tuple[Unit, int]]] = {}
        """Of each saw what it can cut from the stick, and the ticks of its pieces along it."""
        self.slabs: list[tuple[Way, list[Slab]]] = []
        """Of each way to cut in two dimensions the parts that have room."""
        units = [u for u in certificate.units if self._may_give(u, certificate.supply)]
        if units and (self.size is None or self.row_costs()):
            cuts = ((saw, self._fitting(saw, units)) for saw in certificate.supply.job.saws)
            self.cuts = {saw: fitting for saw, fitting in cuts if fitting}
            ways = certificate.supply.ways(self.source) if self.yard is None else ()
            parts = [unit.first for unit in units if unit.pieces == 1]
            slabs = ((way, self._slabs(way, parts)) for way in ways)
            self.slabs = [(way, fitting) for way, fitting in slabs if fitting]

    def _rows(self, certificate: Certificate) -> Iterator[tuple[Cost, Earning]]:
        for cost in self.row_costs() if self.size else [self.value]:
            yield cost, earning(certificate.supply, certificate.group, self.source, cost)

    @property
    def earns(self) -> bool:
        """Whether a rest earns something."""
        return any(not rates.is_none for _, rates in self.rows)

    def _may_give(self, unit: Unit, supply: Supply) -> bool:
        parts = (part for part, _ in unit.parts)
        return all(names(p, self.source) and supply.serves(p.material, self.source.material) for p in parts)

    def _fitting(self, saw: Saw, units: list[Unit]) -> list[tuple[Unit, int]]:
        if not saw_takes(saw, self.source):
            return []
        room = max((cap for room in self.rooms(saw) for cap in room.segments), default=0)
        able = (u for u in units if all(saw_turns(saw, part) for part, _ in u.parts))
        extents = ((u, u.extent_on(self.source)) for u in able)
        cut = self.cut(saw)
        return [
            (u, extent)
            for u, extent in extents
            if extent is not None and (u.pieces > 1 or extent + cut <= room) and self._takes(u, cut) <= room
        ]

    def _takes(self, unit: Unit, cut: int) -> int:
        """Ticks that a unit takes at the least."""
        return unit.weighed(self.source, cut).weight

    def _slabs(self, way: Way, parts: list[Part]) -> list[Slab]:
        able = (p for p in parts if way.saw is None or saw_turns(way.saw, p))
        lies = [(p, lie) for p in able if (lie := flat_lies(p, self.source, way))]
        if way.saw and self._is_sawn(way.saw, [p for p, _ in lies]):
            return []
        return [Slab(lie[0], self.prices.get(p.mark, 0), self.copies[p.mark]) for p, lie in lies]

    def _is_sawn(self, saw: Saw, parts: list[Part]) -> bool:
        """Whether all that a saw can cut from the bar in two dimensions is, one way round, as wide as the bar.

        Then sawing it to length gives as much, and that is priced exactly: with W the width of the bar, the areas
        (W + kerf) x (extent + kerf) have room only if the extents have.
        """
        sawn = {unit.mark for unit, _ in self.cuts.get(saw, ())}
        return all(part.mark in sawn for part in parts)

    def sheet_breaches(self) -> Iterator[str]:
        """By which processes parts on one sheet, by area, could be worth more than allowed."""
        for way, slabs in self.slabs:
            most = fewest_blanks(self.source, way) if way.is_parted and self.blank_cost else 1
            for blanks in range(1, most + 1):
                cost = self.cost(self.source.length) + (blanks * self.blank_cost if way.is_parted else 0)
                due = self.scale * cost + self.price
                worth = most_worth(slabs, self.source, way, blanks if blanks < most else None)
                if worth <= due:
                    continue
                yield (
                    f"the bound is not confirmed: by area {self.names[0]}, cut by {way.name}, could hold parts"
                    f" worth {worth}, due is {due} at most (certificate units)"
                )

    def rooms(self, saw: Saw) -> list[Room]:
        """What a stick has room for on a saw: as it is, or by the number of cuts that the yard makes."""
        if self.yard is not None:
            assert isinstance(self.source, Offer)
            rooms = parted_rooms(self.source, self.yard, saw, self.cut(saw))
            return [replace(room, charge=room.charge if self.priced else 0) for room in rooms]
        due = ends(self.source.clean_ends, saw, self.cut(saw))
        room = self.longest_had - due.head - due.tail
        return [Room(room, (room,), 0, self.longest_had - due.head)]

    @property
    def cut_charge(self) -> Cost:
        """What one cut of the yard adds to the cost."""
        charge = None if self.yard is None else self.yard.cut_charge
        return to_cost(charge) if charge is not None and self.priced else 0

    @property
    def value(self) -> Cost:
        """Cost of a rack piece; nothing is bought in a group that counts kilograms."""
        return 0 if isinstance(self.source, Offer) or not self.priced else to_cost(self.source.value)

    def row_costs(self, length: int | None = None) -> list[Cost]:
        """Unit costs of the rows that can be reached, of whole sticks or cut to a length."""
        rows = self.size.reachable if self.size else ()
        costs = (unit_cost(o, o.length if length is None else length, self.priced) for o in rows)
        return [c for c in costs if c is not None]

    def cost(self, length: int) -> Cost:
        """Least cost of a stick of a length."""
        return min(self.row_costs(length)) if self.size else self.value

    def question(self, saw: Saw, room: Room) -> object:
        """Sticks with the same answer on this saw."""
        if self.is_cut_to_length:
            return self.names, saw.name
        items = tuple(
            (w.weight, w.tolls, self.prices.get(w.part.mark, 0), self.copies[w.part.mark])
            for w in self._weighed(saw)
        )
        return room.capacity, room.segments, items, tuple(self.lines(saw, room)), self.earns and self.names

    def _weighed(self, saw: Saw) -> list[Weighed]:
        cut = self.cut(saw)
        parts = (part for unit, _ in self.cuts[saw] for part, _ in unit.parts)
        others = beside(on_bar(part, self.source.material) for part in parts)
        return [unit.weighed(self.source, cut, others) for unit, _ in self.cuts[saw]]

    def allowed(self, saw: Saw, room: Room, used: int) -> int:
        """Certificate units that parts may be worth which use so many ticks."""
        length = self.source.length
        if self.is_cut_to_length:
            due = ends(self.source.clean_ends, saw, self.cut(saw))
            length = used + due.head + due.tail
        cost = self.cost(length)
        if self.earns:
            rest = max(0, room.rest - used)
            keep = rest >= max(1, self.keep_length)
            cost = min(c - rates.of(rest, keep) for c, rates in self.rows)
        return self.scale * (cost + room.charge) + self.price

    def overpaid(self, saw: Saw, room: Room) -> Found | None:
        """A way to cut the stick on a saw into parts worth more than allowed; None if there is none."""
        asked = list(cases(self._weighed(saw)) if self.yard is None else [any_ends(self._weighed(saw))])
        for line in self.lines(saw, room):
            found = (self._overpaid(saw, room, line, case) for case in asked)
            first = next((one for one in found if one is not None), None)
            if first is not None and (len(room.segments) == 1 or self._apart(saw, room, line) > line.least):
                return first
        return None

    def _apart(self, saw: Saw, room: Room, line: Line) -> int:
        """The most that the parts of all segments can be worth beyond a line's slope, each filled best for itself."""
        items = []
        for w, _ in any_ends(self._weighed(saw)).parts:
            worth = max(0, self.prices.get(w.part.mark, 0) - int(line.slope * w.weight))
            items.append(Item(w.weight, worth, self.copies[w.part.mark], worth))
        most = {cap: worth_at_most(items, min(cap, line.capacity)) for cap in set(room.segments)}
        return sum(most[cap] for cap in room.segments)

    def _overpaid(self, saw: Saw, room: Room, line: Line, case: Case) -> Found | None:
        items = []
        for w, counted in case.parts:
            price = self.prices.get(w.part.mark, 0)
            worth = price - int(line.slope * w.weight)
            items.append(Item(w.weight, price, self.copies[w.part.mark], worth, counted))

        def exceeds(used: int, value: int) -> bool:
            return used > 0 and value > self.allowed(saw, room, used + case.taken)

        test = exceeds if self.is_cut_to_length or self.earns else None
        found = find_above(items, line.capacity - case.taken, line.least, test, case.ends)
        return found and Found(found.weight + case.taken, found.value)

    def lines(self, saw: Saw, room: Room) -> list[Line]:
        """Straight lines below what the stick costs, by which parts that could be worth too much are found."""
        if self.is_cut_to_length:
            return [Line(room.capacity, *self._rate(saw))]
        if not self.earns:
            return [Line(room.capacity, Fraction(0), self.allowed(saw, room, 0))]
        by_row = (
            lines_below(cost + room.charge, rates, room.capacity, room.rest, self.keep_length, self.scale)
            for cost, rates in self.rows
        )
        return [replace(line, least=line.least + self.price) for lines in by_row for line in lines]

    def _rate(self, saw: Saw) -> tuple[Fraction, int]:
        """A straight line below the cost of material cut to length, in certificate units.

        Returns its slope per tick used, and what parts must be worth beyond that slope to be asked about.
        The cost is a charge and a share in proportion to the length, rounded to a ten-thousandth; the line
        lies at most one and a half ten-thousandths below it.
        """
        length, charge = self.source.length, self._charge()
        slope = max(Fraction(0), Fraction(2 * (self.cost(length) - charge) - 1, 2 * length)) * self.scale
        due = ends(self.source.clean_ends, saw, self.cut(saw))
        least = self.price + self.scale * (charge - 1) + slope * (due.head + due.tail)
        return slope, least.__floor__()

    def _charge(self) -> Cost:
        if not self.priced or not isinstance(self.source, Offer):
            return 0
        return to_cost(self.source.cut_to_length or Decimal(0))


@dataclass(frozen=True, slots=True)
class Verified:
    """What became of a group's proof.

    Parameters
    ----------
    breaches
        What is wrong with it.
    value
        What its prices prove; None if they do not hold or were not looked through.
    """

    breaches: tuple[str, ...]
    value: Decimal | None


def verify(group: GroupPlan, supply: Supply) -> Verified:
    """Verify the bound of a group with the checker's own pricing."""
    certificate = Certificate(group, supply)
    breaches = list(certificate.form_breaches())
    if breaches:
        return Verified(tuple(breaches), None)
    try:
        breaches = list(certificate.cover_breaches())
    except TooLargeError as error:
        return Verified((f"the certificate is too large to verify: {error}",), None)
    value = None if breaches else certificate.proved()
    if value is not None:
        breaches += _value_breaches(group.bound, value)
    if group.bound.value > group.cost:
        breaches.append(f"the bound is {group.bound.value}, above the cost {group.cost} of this plan")
    return Verified(tuple(breaches), value)


def _value_breaches(bound: Bound, proved: Decimal) -> Iterator[str]:
    if min(bound.value, bound.dual_value) < 0:
        yield f"the bound is {bound.value} (prices: {bound.dual_value}), due is 0 or more"
    if bound.dual_value > proved:
        yield f"the value of the bound's prices is {bound.dual_value}, they prove {proved} at most"
    if bound.proof == "duals" and bound.value > proved:
        yield f"the bound is {bound.value}, its prices prove {proved} at most"
    if bound.proof == "search" and bound.value < bound.dual_value:
        yield f"the bound found by search is {bound.value}, below {bound.dual_value} of its own prices"
    if bound.proof == "none" and bound.value not in (0, bound.dual_value):
        yield f"the bound is {bound.value} without a proof, due is 0 or {bound.dual_value} of its prices"

"""From a group to a problem in whole numbers, with the way back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from nesting.bars.form import Segments
from nesting.bars.mitres import Mitres
from nesting.bars.problem import Item, Problem, Source, Stock
from nesting.bars.rests import Rests
from nesting.job import Job, Part
from nesting.market.build_sheets import joint_problem
from nesting.market.mitred import mitred_ends, mitred_stocks
from nesting.market.rests import rests_of
from nesting.market.supply import (
    Alike,
    Kind,
    Size,
    Supplied,
    alike,
    kinds_of,
    may_give,
    saw_can,
    saws_for,
    stick_cost,
)
from nesting.rules.credit import NOTHING, Earns, earns
from nesting.rules.hauling import Parted, is_too_long, longest_from, longest_had, parted_ways
from nesting.rules.sheet_ways import SheetWay
from nesting.rules.sources import Group
from nesting.rules.stick_ways import cut_width, usable_length
from stock.money import Cost, from_cost, to_cost
from stock.offer import Offer


@dataclass(frozen=True, slots=True)
class Built:
    """A problem and what its numbers stand for.

    Parameters
    ----------
    problem
        Whole numbers; a joint problem if the group has plate parts and sheets to cut them from.
    kinds
        What each item stands for.
    origins
        What each source stands for: an offer, or rack pieces that are alike.
    saws
        Name of the saw of each stock that is sawn to length.
    parted
        Of each of these stocks how the yard parts it; None: it comes home as it is sold.
    ways
        Of each kind of sheet, how it is cut.
    prepaid
        Sources that hold the sticks bought in any case, because a quantity break is taken, and their offers.
    sunk
        Cost of those sticks.
    earning
        What the rests of each offer and rack piece earn, by its id.
    """

    problem: Problem
    kinds: tuple[Kind, ...]
    origins: tuple[Offer | Alike, ...]
    saws: tuple[str, ...]
    parted: tuple[Parted | None, ...]
    ways: tuple[SheetWay, ...]
    prepaid: dict[int, Offer]
    sunk: Cost
    earning: dict[str, Earns]

    @property
    def earns(self) -> bool:
        """Whether rests may earn something by their prices; none may be long enough for that."""
        return any(earning != NOTHING for earning in self.earning.values())


def build(
    job: Job, group: Group, sizes: tuple[Size, ...], choice: tuple[tuple[Offer, int], ...], priced: bool
) -> Built:
    """The problem of a group at one choice of quantity breaks.

    Parameters
    ----------
    choice
        For each size the offer it is bought at and how many must be bought; -1: none is bought.
    """
    supplied, prepaid, sunk = _supplied(job, group, sizes, choice, priced)
    kinds = kinds_of(job, group)
    forms = _forms(kinds, supplied)
    stocks, saws, parted = _stocks(job, kinds, forms, supplied, priced)
    sources = tuple(s.source for s in supplied)
    items = tuple(Item(length=extent, demand=kinds[k].demand(job)) for k, extent in forms)
    problem: Problem = Problem(items, sources, stocks)
    ways: tuple[SheetWay, ...] = ()
    if _has_plates(kinds):
        owners = tuple(k for k, _ in forms)
        joint, ways = joint_problem(job, kinds, supplied, problem, owners, priced)
        # where all is sawn to length, each kind of part in one way, the room of sticks knows and proves more
        if joint.sheets.kinds or owners != tuple(range(len(kinds))):
            problem = joint
    origins, earning = tuple(s.origin for s in supplied), {s.one.id: s.earns for s in supplied}
    return Built(problem, kinds, origins, saws, parted, ways, prepaid, sunk, earning)


def _has_plates(kinds: tuple[Kind, ...]) -> bool:
    """Whether some part is a plate part."""
    return any(kind.part.is_plate for kind in kinds)


def _supplied(
    job: Job, group: Group, sizes: tuple[Size, ...], choice: tuple[tuple[Offer, int], ...], priced: bool
) -> tuple[list[Supplied], dict[int, Offer], Cost]:
    """Everything to cut from; of each size what must be bought in any case apart, as offcuts until they are cut."""
    supplied: list[Supplied] = []
    prepaid: dict[int, Offer] = {}
    sunk = 0
    for size, (offer, least) in zip(sizes, choice, strict=True):
        if least < 0:
            continue
        cost, rate = stick_cost(offer, priced)
        rest = earns(job.shop, offer, from_cost(cost)) if priced else NOTHING
        if least and not rate[0]:
            whole = to_cost(rest.of(offer.length, keep=True))
            sunk += least * (cost - whole)
            prepaid[len(supplied)] = offer
            supplied.append(Supplied(offer, Source(limit=least), whole, rate, rest))
        limit = None if size.limit is None else size.limit - least
        if limit is None or limit > 0:
            supplied.append(Supplied(offer, Source(limit=limit), cost, rate, rest))
    for pieces in alike(group):
        one = pieces.pieces[0]
        value = to_cost(one.value) if priced else 0
        rest = earns(job.shop, one, one.value) if priced else NOTHING
        supplied.append(Supplied(pieces, Source(limit=len(pieces.pieces), rack=True), value, (0, 1), rest))
    return supplied, prepaid, sunk


def as_rests_earn(stock: Stock, earning: Earns, rest: int, keep_length: int) -> Iterator[Stock]:
    """A stick as its rest earns: once as it is, and once cut so that enough is left to keep.

    Parameters
    ----------
    rest
        Ticks that are left if nothing is cut from it.
    """
    kept_room = min(stock.capacity, rest - max(1, keep_length))
    if earning.scrap == earning.kept:
        kept_room = 0
    if kept_room < stock.capacity:
        yield _earning(stock, earning.scrap, rest)
    if kept_room > 0:
        yield replace(_earning(stock, earning.kept, rest), capacity=kept_room)


def _earning(stock: Stock, rate: Fraction, rest: int) -> Stock:
    return replace(stock, rate=(rate.numerator, rate.denominator), rest=rest) if rate else stock


def _forms(kinds: tuple[Kind, ...], supplied: list[Supplied]) -> list[tuple[int, int]]:
    """(kind, extent) of everything that can be sawn to length, by kinds: a bar part, or a plate part on a flat bar."""
    bars = [s.one for s in supplied if not s.one.material.is_plate]
    forms = [(k, extent) for k, kind in enumerate(kinds) for bar in bars for extent in kind.sawn(bar)]
    forms += [(k, kind.extent) for k, kind in enumerate(kinds) if not kind.part.is_plate]
    return sorted(set(forms))


def _stocks(
    job: Job, kinds: tuple[Kind, ...], forms: list[tuple[int, int]], supplied: list[Supplied], priced: bool
) -> tuple[tuple[Stock, ...], tuple[str, ...], tuple[Parted | None, ...]]:
    """Every source on every saw worth considering, with the name of the saw, and how the yard parts the stick."""
    may = may_give(job)
    has_lots = any(kind.lot is not None for kind in kinds)
    stocks: list[Stock] = []
    saws: list[str] = []
    parted: list[Parted | None] = []
    for at, s in enumerate(supplied):
        one = s.one
        if one.material.is_plate:
            continue
        for saw in saws_for(job, one):
            cut = cut_width(job, saw)
            longest = longest_from(job, one, saw)
            parts = {f: kinds[k].in_a_row(one, extent) for f, (k, extent) in enumerate(forms)}
            # items too long for this stick stay on its list, so that sticks of all lengths are priced by one table
            items = tuple(
                f
                for f, (k, extent) in enumerate(forms)
                if may(kinds[k], one)
                and all(saw_can(saw, part) for part in kinds[k].parts)
                and extent in kinds[k].sawn(one)
            )
            lengths = {f: forms[f][1] + (kinds[forms[f][0]].pieces - 1) * cut for f in items}
            fitting = {f for f in items if _reach(kinds[forms[f][0]], lengths[f]) <= longest}
            if not fitting:
                continue
            length = longest_had(job, one)
            room = usable_length(job, length, one.clean_ends, saw)
            whole = Stock(
                source=at,
                length=length,
                kerf=cut,
                capacity=room,
                ends=length - room,
                cost=s.cost,
                rate=s.rate,
                items=items,
                weights=tuple(taken + cut for taken in lengths.values()) if has_lots else (),
                head=0 if one.clean_ends else saw.trim,
            )
            if isinstance(one, Offer) and is_too_long(job, one):
                weights = {f: taken + cut for f, taken in lengths.items() if f in fitting}
                for way in parted_ways(job, one, saw):
                    formed = _as_parted(
                        whole, one, way, weights, parts, priced, _rests(job, one, way, s.earns)
                    )
                    for stock in as_rests_earn(formed, s.earns, way.rest, job.shop.keep_length):
                        saws.append(saw.name)
                        parted.append(way)
                        stocks.append(stock)
                continue
            for formed in mitred_stocks(whole, parts):
                first = replace(formed, head=whole.head + formed.ends - whole.ends)
                for stock in as_rests_earn(first, s.earns, length - first.head, job.shop.keep_length):
                    saws.append(saw.name)
                    parted.append(None)
                    stocks.append(stock)
    return tuple(stocks), tuple(saws), tuple(parted)


def _reach(kind: Kind, length: int) -> int:
    """Ticks that an item takes at the least whose pieces, laid square, take so many."""
    return length if kind.reach == kind.extent else kind.reach


def _as_parted(
    whole: Stock,
    offer: Offer,
    way: Parted,
    weights: dict[int, int],
    parts: Mapping[int, Sequence[Part]],
    priced: bool,
    rests: Rests | None,
) -> Stock:
    """A stick that the yard parts; its cuts cost money alone, so that in a group that counts weight they are free."""
    stick = replace(
        whole,
        length=offer.length,
        capacity=way.capacity,
        ends=offer.length - way.capacity,
        cost=whole.cost + (way.cuts * to_cost(way.yard.cut_charge or Decimal(0)) if priced else 0),
        items=tuple(weights),
        weights=tuple(weights.values()),
    )
    formed = mitred_ends(stick, parts)
    if len(way.caps) == 1:
        return formed
    held = tuple(zip(formed.items, formed.weights, strict=True))
    ends = formed.form if isinstance(formed.form, Mitres) else None
    as_one = mitred_stocks(stick, parts)
    return replace(formed, form=Segments(way.caps, held, ends, way.capacity, as_one, rests))


def _rests(job: Job, offer: Offer, way: Parted, earning: Earns) -> Rests | None:
    """What the rests of a stick's segments earn; None: nothing."""
    if earning == NOTHING:
        return None
    return rests_of(job, offer.length, way, earning)

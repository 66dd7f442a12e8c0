"""From a group to a problem in whole numbers, with the way back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from nesting.bars.problem import Item, Problem, Source, Stock
from nesting.job import Job
from nesting.market.supply import Alike, Kind, Size, alike, kinds_of, saw_can, saws_for, stick_cost
from nesting.sources import Group, serves, usable_length
from stock.material import Material
from stock.money import Cost, to_cost
from stock.offer import Offer
from stock.rack import RackPiece


@dataclass(frozen=True, slots=True)
class Built:
    """A problem and what its numbers stand for.

    Parameters
    ----------
    problem
        Whole numbers.
    kinds
        What each item stands for.
    origins
        What each source stands for: an offer, or rack pieces that are alike.
    saws
        Name of each stock's saw.
    prepaid
        Sources that hold the sticks bought in any case, because a quantity break is taken, and their offers.
    sunk
        Cost of those sticks.
    """

    problem: Problem
    kinds: tuple[Kind, ...]
    origins: tuple[Offer | Alike, ...]
    saws: tuple[str, ...]
    prepaid: dict[int, Offer]
    sunk: Cost


def build(
    job: Job, group: Group, sizes: tuple[Size, ...], choice: tuple[tuple[Offer, int], ...], priced: bool
) -> Built:
    """The problem of a group at one choice of quantity breaks.

    Parameters
    ----------
    choice
        For each size the offer it is bought at and how many must be bought; -1: none is bought.
    """
    kinds = kinds_of(job, group)
    maker = _Maker(job, kinds)
    sunk = 0
    prepaid: dict[int, Offer] = {}
    for size, (offer, least) in zip(sizes, choice, strict=True):
        if least < 0:
            continue
        cost, rate = stick_cost(offer, priced)
        if least and not rate[0]:
            sunk += least * cost
            prepaid[len(maker.sources)] = offer
            maker.add(offer, Source(limit=least), 0, rate)
        limit = None if size.limit is None else size.limit - least
        if limit is None or limit > 0:
            maker.add(offer, Source(limit=limit), cost, rate)
    for pieces in alike(group):
        value = to_cost(pieces.pieces[0].value) if priced else 0
        maker.add(pieces, Source(limit=len(pieces.pieces), rack=True), value, (0, 1))
    items = tuple(Item(length=k.extent, demand=sum(job.copies(p) for p in k.parts)) for k in kinds)
    problem = Problem(items, tuple(maker.sources), tuple(maker.stocks))
    return Built(problem, kinds, tuple(maker.origins), tuple(maker.saws), prepaid, sunk)


class _Maker:
    """Collects sources and stocks."""

    def __init__(self, job: Job, kinds: tuple[Kind, ...]) -> None:
        self.job, self.kinds = job, kinds
        self.test: Callable[[Material, Material], bool] = serves(job)
        self.sources: list[Source] = []
        self.origins: list[Offer | Alike] = []
        self.stocks: list[Stock] = []
        self.saws: list[str] = []

    def add(self, origin: Offer | Alike, source: Source, cost: Cost, rate: tuple[int, int]) -> None:
        one: Offer | RackPiece = origin if isinstance(origin, Offer) else origin.pieces[0]
        at = len(self.sources)
        self.sources.append(source)
        self.origins.append(origin)
        for saw in saws_for(self.job, one.material, one.length, one.clean_ends):
            room = usable_length(one.length, one.clean_ends, saw)
            # items too long for this stick stay on its list, so that sticks of all lengths are priced by one table
            items = tuple(
                i
                for i, kind in enumerate(self.kinds)
                if self.test(kind.parts[0].material, one.material) and saw_can(saw, kind.parts[0])
            )
            if any(self.kinds[i].extent + saw.kerf <= room for i in items):
                self.saws.append(saw.name)
                self.stocks.append(
                    Stock(
                        source=at,
                        length=one.length,
                        kerf=saw.kerf,
                        capacity=room,
                        ends=one.length - room,
                        cost=cost,
                        rate=rate,
                        items=items,
                    )
                )

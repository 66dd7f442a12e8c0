"""Lines by surface: taking off the scale of hot-rolled steel, and paint."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from nesting.estimate.figures import Measures, cents, hundredths_up, measures_of, number_words, work
from nesting.estimate.line import Line
from nesting.estimate.rates import Rates
from nesting.job import Part, Shop
from nesting.plan import Plan
from nesting.report.saw_list import SawList
from nesting.report.sheet_list import SheetList
from nesting.report.words import counted, money_words
from stock.grade import Family
from stock.material import Material


@dataclass(frozen=True, slots=True)
class Areas:
    """Outside surface of all pieces, m2; of a plate part both faces and its edges, of a bar without its ends.

    Parameters
    ----------
    scaled
        Of hot-rolled steel, steel of no said finish included.
    assumed
        Of that, steel of no said finish.
    painted
        Of carbon steel that is not galvanised.
    """

    scaled: float
    assumed: float
    painted: float


def surface_lines(plan: Plan, saws: SawList, sheets: SheetList, rates: Rates) -> list[Line]:
    """Cleaning and paint, as far as the job needs them."""
    areas, shop = areas_of(plan, saws, sheets), plan.job.shop
    lines = []
    if areas.scaled:
        lines += [_cleaning(areas, rates, shop), _discs(areas, rates, shop)]
    if areas.painted and rates.coats:
        lines += [_painting(areas, rates, shop), _paint(areas, rates, shop)]
    return lines


def areas_of(plan: Plan, saws: SawList, sheets: SheetList) -> Areas:
    """The surface of every piece by what has to be done to it."""
    parts = {part.mark: part for part in plan.job.parts}
    scaled = assumed = painted = 0.0
    for mark, material, times in _pieces(saws, sheets):
        part = parts[mark]
        area = times * part.material.surface_m2(part.extent, part.width)
        finish = _finish(part, material)
        if part.material.family is not Family.CARBON:
            continue
        scaled += area if finish in ("", "hot-rolled") else 0
        assumed += area if not finish else 0
        painted += area if finish != "galvanised" else 0
    return Areas(scaled, assumed, painted)


def _pieces(saws: SawList, sheets: SheetList) -> Iterator[tuple[str, Material, int]]:
    """Mark, material it is cut from, and how often, of every piece in every layout."""
    for stick in saws.cut:
        yield from ((piece.mark, stick.material, stick.layout.times) for piece in stick.layout.pieces)
    for sheet in sheets.cut:
        yield from ((placed.mark, sheet.material, sheet.layout.times) for placed in sheet.layout.pieces)


def coverage(solids: Decimal, film: Decimal, measures: Measures) -> float:
    """Surface that one gallon or litre covers, nothing lost.

    Parameters
    ----------
    solids
        Percent of the volume.
    film
        Thickness of the dry coat, mil or um.

    Returns
    -------
    float
        ft2/gal (1604 x solids / mils) or m2/L (10 x percent / um).
    """
    return float(measures.spread) * float(solids) / 100 / float(film)


def _finish(part: Part, source: Material) -> str:
    """What the stick or sheet is said to be, or else what the part asks for."""
    return source.finish or part.material.finish


def _cleaning(areas: Areas, rates: Rates, shop: Shop) -> Line:
    measures = measures_of(shop)
    area, rate = areas.scaled / measures.surface_m2, float(rates.clean_rate)
    how = (
        f"{number_words(area, shop)} {measures.surface} at {number_words(rates.clean_rate, shop)} "
        f"{measures.surface} an hour{rates.mark('clean_rate')}"
    )
    if areas.assumed:
        blank = number_words(areas.assumed / measures.surface_m2, shop)
        how += f"; {blank} {measures.surface} of steel without a finish counted as hot-rolled"
    return work("Taking off mill scale", 3600 * area / rate, how, rates, ("clean_rate",))


def _discs(areas: Areas, rates: Rates, shop: Shop) -> Line:
    measures = measures_of(shop)
    count = math.ceil(areas.scaled / measures.surface_m2 / float(rates.disc_area))
    price = rates.disc_price
    how = (
        f"{counted(count, 'disc')}, one for {number_words(rates.disc_area, shop)} {measures.surface}"
        f"{rates.mark('disc_area')}, {_each(price, shop, 'disc_price')}"
    )
    return Line(
        operation="Cleaning discs",
        kind="supply",
        amount=None if price is None else cents(count * price),
        how=how,
        is_start_value=rates.are_start_values("disc_area"),
    )


def _painting(areas: Areas, rates: Rates, shop: Shop) -> Line:
    measures = measures_of(shop)
    area = areas.painted / measures.surface_m2
    how = (
        f"{number_words(area, shop)} {measures.surface} × {counted(int(rates.coats), 'coat')}{rates.mark('coats')} at "
        f"{number_words(rates.paint_rate, shop)} {measures.surface} an hour{rates.mark('paint_rate')}"
    )
    seconds = 3600 * area * float(rates.coats) / float(rates.paint_rate)
    return work("Painting", seconds, how, rates, ("coats", "paint_rate"))


def _paint(areas: Areas, rates: Rates, shop: Shop) -> Line:
    measures = measures_of(shop)
    names = ("coats", "paint_solids", "paint_film", "paint_loss")
    covers = coverage(rates.paint_solids, rates.paint_film, measures)
    kept = 1 - float(rates.paint_loss) / 100
    area = areas.painted / measures.surface_m2 * float(rates.coats)
    volume = hundredths_up(area / covers / kept)
    price = rates.paint_price
    how = (
        f"{number_words(area, shop)} {measures.surface} in all coats; {number_words(rates.paint_solids, shop)} % solids"
        f"{rates.mark('paint_solids')} dry to {number_words(rates.paint_film, shop)} {measures.film}"
        f"{rates.mark('paint_film')} cover {number_words(covers, shop)} {measures.surface}/{measures.paint}, "
        f"{number_words(rates.paint_loss, shop)} % is lost{rates.mark('paint_loss')}: "
        f"{number_words(volume, shop)} {measures.paint}, {_each(price, shop, 'paint_price')}"
    )
    return Line(
        operation="Paint",
        kind="supply",
        amount=None if price is None else cents(volume * price),
        how=how,
        is_start_value=rates.are_start_values(*names),
    )


def _each(price: Decimal | None, shop: Shop, setting: str) -> str:
    if price is None:
        return f"no {setting} is set"
    return f"each at {money_words(price, shop)}"

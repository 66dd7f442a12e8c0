"""Lines for the torch: metres of cut and pierces, the time they take, and what the torch itself costs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from nesting.estimate.feed import counted_amps, feed_mm_min, pierce_seconds
from nesting.estimate.figures import cents, hundredths_up, measures_of, number_words, work
from nesting.estimate.line import Line
from nesting.estimate.rates import Rates
from nesting.estimate.straight import cut_length
from nesting.job import Shop
from nesting.plan import Plan, SheetLayout
from nesting.report.hole_list import hole_list
from nesting.report.sheet_list import SheetList
from nesting.report.words import counted, money_words
from stock.length import to_mm
from stock.material import Material

CUTTING = "Cutting, torch"


@dataclass(frozen=True, slots=True, kw_only=True)
class TorchWork:
    """What the torch does on one sheet.

    Parameters
    ----------
    metres
        Of cut, on the nominal outlines.
    pierces
        One for each outline, each hole and each straight cut that parts the sheet.
    seconds
        Cutting and piercing, without the way between; None: too thick for any feed that is known.
    """

    metres: float
    pierces: int
    seconds: float | None


def torch_work(
    layout: SheetLayout, thickness: int, holes: Mapping[str, Sequence[int]], rates: Rates
) -> TorchWork:
    """What the torch does on one sheet: outlines, holes, and the straight cuts that part the sheet into blanks.

    Parameters
    ----------
    layout
        Of a sheet that the torch cuts; one of those cut alike.
    thickness
        Ticks.
    holes
        Diameters, ticks, of the holes that the torch cuts in one copy of a part, by mark (see `torch_holes`).
    """
    bores = [diameter for piece in layout.pieces for diameter in holes.get(piece.mark, ())]
    outlines = sum(2 * (piece.place.length + piece.place.width) for piece in layout.pieces)
    parting = sum(cut_length(cut) for cut in layout.cuts)
    mm = to_mm(outlines + parting) + math.pi * to_mm(sum(bores))
    pierces = len(layout.pieces) + len(layout.cuts) + len(bores)
    feed = feed_mm_min(thickness, rates)
    seconds = None if feed is None else 60 * mm / feed + pierces * pierce_seconds(thickness, rates)
    return TorchWork(metres=mm / 1000, pierces=pierces, seconds=seconds)


def torch_holes(plan: Plan) -> dict[str, tuple[int, ...]]:
    """Diameters, ticks, of the holes that the torch cuts in one copy of each part that has some, by mark."""
    found = {
        listed.part.mark: tuple(each.hole.diameter for each in listed.holes if each.made_by == "torch")
        for listed in hole_list(plan)
    }
    return {mark: diameters for mark, diameters in found.items() if diameters}


def torch_lines(plan: Plan, sheets: SheetList, rates: Rates) -> list[Line]:
    """Cutting, a line for each plate too thick for a known feed, and what the torch costs if the shop said so."""
    if not sheets.torch:
        return []
    shop, done = plan.job.shop, _by_material(plan, sheets, rates)
    known = {material: found for material, found in done.items() if found.seconds is not None}
    lines = [_cutting(known, rates, shop)] if known else []
    lines += _running(lines, rates, shop)
    lines += [_too_thick(material, done[material], rates, shop) for material in done if material not in known]
    return lines + _tips(sum(found.pierces for found in done.values()), rates, shop)


def _by_material(plan: Plan, sheets: SheetList, rates: Rates) -> dict[Material, TorchWork]:
    """All sheets of each material together, in cutting order."""
    holes, done = torch_holes(plan), dict[Material, TorchWork]()
    for sheet in sheets.torch:
        once = torch_work(sheet.layout, sheet.material.thickness, holes, rates)
        before = done.get(sheet.material, TorchWork(metres=0.0, pierces=0, seconds=0.0))
        times = sheet.layout.times
        done[sheet.material] = TorchWork(
            metres=before.metres + times * once.metres,
            pierces=before.pierces + times * once.pierces,
            seconds=None
            if before.seconds is None or once.seconds is None
            else before.seconds + times * once.seconds,
        )
    return done


def _cutting(done: Mapping[Material, TorchWork], rates: Rates, shop: Shop) -> Line:
    how = "; ".join(_material_words(material, found, rates, shop) for material, found in done.items())
    names = ("torch_feed", "pierce_seconds")
    if rates.are_start_values(*names):
        how += f"; {counted_amps(rates)} A air plasma in mild steel, ±25 % (starting value)"
    seconds = sum(found.seconds or 0.0 for found in done.values())
    return work(CUTTING, seconds, how, rates, names)


def _material_words(material: Material, found: TorchWork, rates: Rates, shop: Shop) -> str:
    measures, thickness = measures_of(shop), material.thickness
    feed = feed_mm_min(thickness, rates) or 0.0
    return (
        f"{material.designation}: {_metres_words(found, shop)} of cut at "
        f"{number_words(feed / measures.feed_mm, shop)} {measures.feed} and {counted(found.pierces, 'pierce')} of "
        f"{number_words(pierce_seconds(thickness, rates), shop)} s"
    )


def _metres_words(found: TorchWork, shop: Shop) -> str:
    measures = measures_of(shop)
    return f"{number_words(found.metres / measures.run_m, shop)} {measures.run}"


def _too_thick(material: Material, found: TorchWork, rates: Rates, shop: Shop) -> Line:
    how = (
        f"{_metres_words(found, shop)} of cut and {counted(found.pierces, 'pierce')}: no feed is known for "
        f"{counted_amps(rates)} A in that thickness; set torch_feed, or torch_amps if the torch is stronger"
    )
    return Line(operation=f"{CUTTING}: {material.designation}", kind="machine", amount=None, how=how)


def _running(cutting: list[Line], rates: Rates, shop: Shop) -> list[Line]:
    """What the torch costs while it cuts, beyond the work at it."""
    if rates.torch_rate is None or not cutting:
        return []
    hours = sum((line.hours for line in cutting if line.hours is not None), Decimal(0))
    return [
        Line(
            operation="Torch running",
            kind="machine",
            amount=cents(hours * rates.torch_rate),
            how=f"{number_words(hours, shop)} h of cutting at {money_words(rates.torch_rate, shop)} an hour",
            is_start_value=any(line.is_start_value for line in cutting),
        )
    ]


def _tips(pierces: int, rates: Rates, shop: Shop) -> list[Line]:
    if rates.tip_price is None or rates.tip_pierces is None:
        return []
    worn = hundredths_up(pierces / float(rates.tip_pierces))
    how = (
        f"{counted(pierces, 'pierce')} at {number_words(rates.tip_pierces, shop)} a set: "
        f"{number_words(worn, shop)} × {money_words(rates.tip_price, shop)}"
    )
    return [Line(operation="Torch tips", kind="supply", amount=cents(worn * rates.tip_price), how=how)]

"""Lines for the saws: how long the cuts take by the metal they go through, and the handling of sticks around them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from nesting.estimate.figures import cents, hundredths_up, measures_of, number_words, work
from nesting.estimate.line import Line
from nesting.estimate.rates import Rates
from nesting.estimate.straight import straight_work
from nesting.job import Saw, Shop
from nesting.plan import Plan
from nesting.report.saw_list import SawList
from nesting.report.sheet_list import SheetList
from nesting.report.words import counted, money_words
from stock.length import to_mm

_PLURAL = {"load of sticks": "loads of sticks", "row of pieces": "rows of pieces"}


@dataclass(frozen=True, slots=True)
class _Cuts:
    """How many cuts a saw makes, and the metal area they go through, mm2; sticks cut together share a cut."""

    count: int
    area_mm2: float


def saw_lines(plan: Plan, saws: SawList, sheets: SheetList, rates: Rates) -> list[Line]:
    """Cuts of each saw, handling of sticks, and what the saws themselves cost, if the shop said so."""
    shop = plan.job.shop
    cuts = {saw: _cuts(saw, saws, sheets) for saw in plan.job.saws}
    used = {saw: found for saw, found in cuts.items() if found.count}
    lines = [_cutting(saw, found, rates, shop) for saw, found in used.items()]
    if saws.cut:
        lines.append(_handling(saws, rates, shop))
    lines += _running(lines[: len(used)], rates, shop)
    lines += _blades(sum(found.area_mm2 for found in used.values()), rates, shop)
    return lines


def cut_area(area_mm2: float, angle: Decimal) -> float:
    """Metal area of one cut, mm2: of a mitre the section's area over the cosine of its angle."""
    return area_mm2 / math.cos(math.radians(float(angle)))


def cut_seconds(area_mm2: float, rate_mm2: float) -> float:
    """Seconds to cut through a metal area, at an area a minute; both mm2."""
    return 60 * area_mm2 / rate_mm2


def _cuts(saw: Saw, saws: SawList, sheets: SheetList) -> _Cuts:
    """Of sticks, and straight through sheets: there the length of the cut times the thickness."""
    count, area = 0, 0.0
    for block in saws.blocks:
        if block.saw != saw:
            continue
        for stick in block.sticks:
            count += len(stick.cuts) * block.loads(stick)
            areas = (cut_area(block.material.area_mm2, cut.angle) for cut in stick.cuts)
            area += stick.layout.times * sum(areas)
    for sheet in sheets.straight:
        if sheet.layout.saw == saw.name:
            once = straight_work(sheet.layout)
            count += sheet.layout.times * once.count
            area += sheet.layout.times * once.length_mm * to_mm(sheet.material.thickness)
    return _Cuts(count, area)


def _cutting(saw: Saw, cuts: _Cuts, rates: Rates, shop: Shop) -> Line:
    measures = measures_of(shop)
    rate_mm2 = float(saw.rate) if saw.rate else float(rates.saw_rate) * measures.cut_mm2
    shown = Decimal(rate_mm2 / measures.cut_mm2).quantize(Decimal("0.0001")).normalize()
    area = number_words(cuts.area_mm2 / measures.cut_mm2, shop)
    how = (
        f"{counted(cuts.count, 'cut')} through {area} {measures.cut} of metal at "
        f"{number_words(shown, shop)} {measures.cut} a minute{'' if saw.rate else rates.mark('saw_rate')}"
    )
    names = () if saw.rate else ("saw_rate",)
    return work(f"Cutting, {saw.name}", cut_seconds(cuts.area_mm2, rate_mm2), how, rates, names)


def _handling(saws: SawList, rates: Rates, shop: Shop) -> Line:
    """Sticks that go through the saw together are loaded once, and pieces cut at one stroke handled as one."""
    loads = [(block.loads(stick), stick) for block in saws.blocks for stick in block.sticks]
    is_bundled = any(number < stick.layout.times for number, stick in loads)
    sticks, pieces = sum(n for n, _ in loads), sum(n * len(stick.layout.pieces) for n, stick in loads)
    counts = (
        (sticks, "load of sticks" if is_bundled else "stick", "seconds_per_stick"),
        (pieces, "row of pieces" if is_bundled else "piece", "seconds_per_piece"),
        (saws.stop_moves, "stop move", "seconds_per_stop"),
    )
    seconds = sum(count * getattr(rates, name) for count, _, name in counts)
    said = ((counted(count, what, _PLURAL.get(what, "")), name) for count, what, name in counts)
    how = ", ".join(
        f"{words} × {number_words(getattr(rates, name), shop)} s{rates.mark(name)}" for words, name in said
    )
    return work("Handling at the saw", float(seconds), how, rates, tuple(name for *_, name in counts))


def _running(cutting: list[Line], rates: Rates, shop: Shop) -> list[Line]:
    """What the saws cost while they cut, beyond the work at them."""
    if rates.machine_rate is None or not cutting:
        return []
    hours = sum((line.hours for line in cutting if line.hours is not None), Decimal(0))
    return [
        Line(
            operation="Saws running",
            kind="machine",
            amount=cents(hours * rates.machine_rate),
            how=f"{number_words(hours, shop)} h of cutting at {money_words(rates.machine_rate, shop)} an hour",
            is_start_value=any(line.is_start_value for line in cutting),
        )
    ]


def _blades(area_mm2: float, rates: Rates, shop: Shop) -> list[Line]:
    if rates.blade_price is None or rates.blade_area is None or not area_mm2:
        return []
    measures = measures_of(shop)
    area = area_mm2 / measures.cut_mm2
    worn = hundredths_up(area / float(rates.blade_area))
    how = (
        f"{number_words(area, shop)} {measures.cut} of metal at {number_words(rates.blade_area, shop)} {measures.cut} "
        f"a blade: {number_words(worn, shop)} × {money_words(rates.blade_price, shop)}"
    )
    return [Line(operation="Blades", kind="supply", amount=cents(worn * rates.blade_price), how=how)]

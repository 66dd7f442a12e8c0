"""The whole estimate of a plan: its lines one after the other, then contingency and tax."""

from __future__ import annotations

from decimal import Decimal

from nesting.estimate.drill import drill_lines
from nesting.estimate.figures import cents, number_words
from nesting.estimate.line import Estimate, Kind, Line, known
from nesting.estimate.material import material_lines
from nesting.estimate.rates import Rates, rates_of
from nesting.estimate.saw import saw_lines
from nesting.estimate.sheets import shear_lines, sheet_handling
from nesting.estimate.surface import surface_lines
from nesting.estimate.torch import torch_lines
from nesting.job import Shop
from nesting.plan import Plan
from nesting.report.order import order_of
from nesting.report.saw_list import SawList, saw_list
from nesting.report.sheet_list import SheetList, sheet_list

_CHEAPEST = (
    "The layouts make the material cheapest, bought and from the rack, fees and what the rests of sticks earn "
    "included: labour, supplies, paint, contingency and tax are no part of that."
)
_START = (
    "Starting values are common practice or from memory, where no source stands with them: time your own shop, and "
    "put your figures in the shop table."
)
_TORCH = (
    "Torch: combustibles 35 ft (11 m) away or shielded, fire watch for at least 30 minutes after; shade 8 or darker, "
    "skin covered; draw off the fume; no galvanised plate without stripping it and a respirator; never over a closed "
    "container (29 CFR 1910.252, 1910.133, 1910.1000). Follow local rules."
)
_DRILLING = (
    "Drilling: work clamped, no gloves or loose sleeves at the spindle, eye protection, chips stopped before they are "
    "cleared (29 CFR 1910.133; common practice)."
)
_CLEANING = (
    "Wheels and discs: guard on, rated for the machine's speed, eye and hearing protection, sparks away from what "
    "can burn (29 CFR 1910.215, 1910.252). Acid: into water, never water into acid; goggles, gloves, ventilation, no "
    "flame, never on galvanised steel indoors. No chlorinated cleaner near an arc. Follow local rules."
)
_PAINT = (
    "Paint: follow its data sheet and local rules on fumes, fire and waste; ventilate, wear a respirator that fits "
    "the paint, keep flames and sparks away (common practice)."
)


def estimate_of(plan: Plan) -> Estimate:
    """What a plan costs to make.

    Parameters
    ----------
    plan
        A sound plan; the rates are those of its job's shop, starting values where it set none.

    Returns
    -------
    Estimate
        Lines for what the plan holds; money only where the shop or the yards gave a price.
    """
    shop, saws, sheets = plan.job.shop, saw_list(plan), sheet_list(plan)
    rates = rates_of(shop)
    lines = [
        *material_lines(plan, order_of(plan)),
        *saw_lines(plan, saws, sheets, rates),
        *torch_lines(plan, sheets, rates),
        *shear_lines(sheets, rates, shop),
        *sheet_handling(sheets, rates, shop),
        *drill_lines(plan, rates),
        *surface_lines(plan, saws, sheets, rates),
    ]
    lines.append(_added("Contingency", "contingency", rates.contingency, lines, shop))
    lines.append(_added("Tax", "tax", rates.tax, lines, shop))
    return Estimate(lines=tuple(lines), notes=tuple(_notes(lines, _cut_by(saws, sheets), rates)), rates=rates)


def _added(operation: str, kind: Kind, percent: Decimal, lines: list[Line], shop: Shop) -> Line:
    """A percentage of all lines before it; nothing unless the shop set one."""
    how = f"{number_words(percent, shop)} % of all lines above" if percent else f"no {kind} is set"
    amount = cents(known(lines) * percent / 100)
    is_start = bool(percent) and any(line.is_start_value for line in lines if line.amount is not None)
    return Line(operation=operation, kind=kind, amount=amount, how=how, is_start_value=is_start)


def _cut_by(saws: SawList, sheets: SheetList) -> set[str]:
    """Processes that cut something here."""
    return {sheet.layout.process for sheet in sheets.cut} | ({"saw"} if saws.cut else set())


def _notes(lines: list[Line], cut_by: set[str], rates: Rates) -> list[str]:
    notes = [_CHEAPEST]
    has = {line.operation for line in lines}
    if any(line.hours is not None for line in lines):
        notes.append("Hours, paint, blades and tips are rounded up to a hundredth, line by line.")
    if any(line.is_start_value for line in lines):
        notes.append(_START)
    if rates.labour_rate is None and any(line.kind == "work" for line in lines):
        notes.append("No labour_rate is set in the shop table: hours are shown without money for them.")
    notes.append(f"Not in it: {', '.join(_left_out(has, cut_by, rates))}.")
    cautions = (("Drilling", _DRILLING), ("Taking off mill scale", _CLEANING), ("Paint", _PAINT))
    if "torch" in cut_by:
        notes.append(_TORCH)
    return notes + [caution for operation, caution in cautions if operation in has]


def _left_out(has: set[str], cut_by: set[str], rates: Rates) -> list[str]:
    out = ["design, fitting, welding and transport of what is built"]
    if "saw" in cut_by and "Saws running" not in has:
        out.append("the cost of the saws (no machine_rate is set)")
    if "saw" in cut_by and "Blades" not in has:
        out.append("blades and wheels of the saws (blade_price and blade_area are not both set)")
    if "torch" in cut_by:
        out.append("the way of the torch between cuts, and dressing its edges")
    if "torch" in cut_by and "Torch running" not in has:
        out.append("gas, air and power of the torch (no torch_rate is set)")
    if "torch" in cut_by and "Torch tips" not in has:
        out.append("tips of the torch (tip_price and tip_pierces are not both set)")
    if "shear" in cut_by:
        out.append("the cost of the shear")
    if "Paint" not in has:
        out.append(
            "paint (no coats are set)" if not rates.coats else "paint (nothing here is taken to need it)"
        )
    return out

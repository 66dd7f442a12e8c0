"""The whole estimate of a plan: its lines one after the other, then contingency and tax."""

from __future__ import annotations

from decimal import Decimal

from nesting.estimate.figures import cents, number_words
from nesting.estimate.line import Estimate, Kind, Line, known
from nesting.estimate.material import material_lines
from nesting.estimate.rates import Rates, rates_of
from nesting.estimate.saw import saw_lines
from nesting.estimate.surface import surface_lines
from nesting.job import Shop
from nesting.order import order_of
from nesting.plan import Plan
from nesting.saw_list import saw_list
from nesting.words import counted

_CHEAPEST = (
    "The layouts make the material cheapest, bought and from the rack: labour, supplies, paint, the credit for "
    "offcuts, contingency and tax are no part of that."
)
_START = (
    "Starting values are common practice or from memory, without a source: time your own shop, and put your figures "
    "in the shop table."
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
    rates, saws = rates_of(plan.job.shop), saw_list(plan)
    lines = [
        *material_lines(plan, order_of(plan)),
        *saw_lines(plan, saws, rates),
        *surface_lines(plan, saws, rates),
    ]
    shop = plan.job.shop
    lines.append(_added("Contingency", "contingency", rates.contingency, lines, shop))
    lines.append(_added("Tax", "tax", rates.tax, lines, shop))
    return Estimate(lines=tuple(lines), notes=tuple(_notes(plan, lines, rates)), rates=rates)


def _added(operation: str, kind: Kind, percent: Decimal, lines: list[Line], shop: Shop) -> Line:
    """A percentage of all lines before it; nothing unless the shop set one."""
    how = f"{number_words(percent, shop)} % of all lines above" if percent else f"no {kind} is set"
    amount = cents(known(lines) * percent / 100)
    is_start = bool(percent) and any(line.is_start_value for line in lines if line.amount is not None)
    return Line(operation=operation, kind=kind, amount=amount, how=how, is_start_value=is_start)


def _notes(plan: Plan, lines: list[Line], rates: Rates) -> list[str]:
    notes = [_CHEAPEST]
    has = {line.operation for line in lines}
    if any(line.hours is not None for line in lines):
        notes.append("Hours, paint and blades are rounded up to a hundredth, line by line.")
    if any(line.is_start_value for line in lines):
        notes.append(_START)
    if rates.labour_rate is None and any(line.kind == "work" for line in lines):
        notes.append("No labour_rate is set in the shop table: hours are shown without money for them.")
    notes.append(f"Not in it: {', '.join(_left_out(plan, rates, has))}.")
    if "Taking off mill scale" in has:
        notes.append(_CLEANING)
    if "Paint" in has:
        notes.append(_PAINT)
    return notes


def _left_out(plan: Plan, rates: Rates, has: set[str]) -> list[str]:
    out = ["design, fitting, welding and transport of what is built"]
    if plan.job.holes:
        out.append(f"drilling of the {counted(len(plan.job.holes), 'hole')} of the holes table")
    if "Saws running" not in has:
        out.append("the cost of the saws (no machine_rate is set)")
    if "Blades" not in has:
        out.append("blades and wheels of the saws (blade_price and blade_area are not both set)")
    if "Paint" not in has:
        out.append(
            "paint (no coats are set)" if not rates.coats else "paint (nothing here is taken to need it)"
        )
    return out

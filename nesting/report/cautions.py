"""What a plan must warn about, each caution with the source it is taken from. Local rules go first,
always."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from nesting.plan import Plan
from nesting.report import hazards
from nesting.report.hazards import Caution
from nesting.report.hole_list import hole_list
from nesting.report.order import Order, order_of
from nesting.report.saw_list import SawList, saw_list
from nesting.report.sheet_list import SheetList, sheet_list
from nesting.report.words import goods_words, numbered, weight_words
from stock.material import Material

__all__ = ["Caution", "cautions_of", "is_heavy"]

_IDEAL = "The limit is a ceiling for an ideal lift; reach, twist and repetition lower it."


def cautions_of(plan: Plan) -> tuple[Caution, ...]:
    """Every caution that a plan calls for: the most general first, then from the yard through the shop."""
    order, saws, sheets = order_of(plan), saw_list(plan), sheet_list(plan)
    return (
        hazards.STRENGTH,
        *_lifting(plan, saws, sheets),
        *_hauling(plan, order),
        *_of_work(plan, saws, sheets),
        *_of_materials(
            [stick.material for stick in saws.sticks] + [sheet.material for sheet in sheets.sheets]
        ),
    )


def is_heavy(kg: float, plan: Plan) -> bool:
    """Whether one person should not lift that alone, by the shop's own limit."""
    return kg > plan.job.shop.lift_kg


def _of_work(plan: Plan, saws: SawList, sheets: SheetList) -> Iterator[Caution]:
    """What must be minded at each place where something is done."""
    used = {sheet.layout.process for sheet in sheets.cut} | ({"saw"} if saws.cut else set())
    if sheets.sheets:
        yield hazards.SHEETS
    if "torch" in used:
        yield from hazards.TORCH
    if "shear" in used:
        yield hazards.SHEAR
    if "saw" in used:
        yield from hazards.SAWS
    if any(listed.made_by == "drill" for part in hole_list(plan) for listed in part.holes):
        yield hazards.DRILL


def _lifting(plan: Plan, saws: SawList, sheets: SheetList) -> Iterator[Caution]:
    shop = plan.job.shop
    sticks = [stick for stick in saws.sticks if is_heavy(stick.weight_kg, plan)]
    plates = [sheet for sheet in sheets.sheets if is_heavy(sheet.weight_kg, plan)]
    if not sticks and not plates:
        return
    goods = goods_words(sum(s.layout.times for s in sticks), sum(s.layout.times for s in plates))
    names = [
        numbered("stick", (each.run for each in sticks)),
        numbered("sheet", (each.run for each in plates)),
    ]
    most = max([stick.weight_kg for stick in sticks] + [sheet.weight_kg for sheet in plates])
    yield Caution(
        topic="lifting",
        text=f"Not for one person alone: {goods} heavier than {weight_words(float(shop.lift_kg), shop)} "
        f"({'; '.join(filter(None, names))}), up to {weight_words(most, shop)}. {_IDEAL}",
        source="NIOSH lifting equation, 23 kg / 51 lb, as OSHA and CCOHS give it",
    )


def _hauling(plan: Plan, order: Order) -> Iterator[Caution]:
    for yard in order.yards:
        if yard.too_long:
            sticks = sum(line.count for line in yard.too_long if line.width is None)
            sheets = sum(line.count for line in yard.too_long if line.width is not None)
            text = (
                f"{goods_words(sticks, sheets)} from {yard.yard.name} {'is' if sticks + sheets == 1 else 'are'} longer "
                "than you can carry home: ask for delivery."
            )
            yield Caution(topic="hauling", text=text, source="the job's own limits")
        if yard.too_heavy:
            heaviest = max(line.weight_each_kg for line in yard.too_heavy)
            text = (
                f"{weight_words(heaviest, plan.job.shop)} in one piece from {yard.yard.name} is more than a trip can "
                "carry: ask for delivery."
            )
            yield Caution(topic="hauling", text=text, source="the job's own limits")
        elif yard.trips > 1:
            text = (
                f"{weight_words(yard.weight_kg, plan.job.shop)} from {yard.yard.name} is more than one trip can carry: "
                f"{yard.trips} trips at the least, or ask for delivery."
            )
            yield Caution(topic="hauling", text=text, source="the job's own limits")


def _of_materials(materials: Iterable[Material]) -> Iterator[Caution]:
    """What the materials themselves call for; each sentence begins with its topic and a colon."""
    for sentence in dict.fromkeys(said for material in materials for said in material.cautions):
        topic, _, text = sentence.partition(": ")
        source = hazards.OF_MATERIALS.get(topic.lower(), "common practice")
        yield Caution(topic=topic.lower(), text=text[:1].upper() + text[1:], source=source)

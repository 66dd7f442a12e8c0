"""What a plan must warn about, each caution with the source it is taken from. Local rules go first,
always."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from nesting.order import Order, order_of
from nesting.plan import Plan
from nesting.saw_list import SawList, saw_list
from nesting.words import counted, number_words, weight_words
from stock.material import Material

_NO_STRENGTH = (
    "Nothing here says that what you build is strong enough: no strength, weld or stability is computed. "
    "This is not engineering advice; check with a licensed engineer and the local authority."
)
_MEASURE = (
    "Kerf and trim are taken as the job gives them. Measure your own saw: cut one piece, measure what is "
    "missing, and put that in. The slack of a stick says how much thicker its cuts may be."
)
_WHEEL = (
    "If the saw runs an abrasive wheel: guard on, a wheel rated for the machine's speed, no side load on "
    "it. Its sparks are hot work: keep what can burn 35 ft (11 m) away or shielded, and watch for fire "
    "for at least 30 minutes after."
)
_SAW = (
    "Wear eye and hearing protection; clamp the stick and support both its ends and the falling piece; "
    "deburr before you carry."
)
_MATERIAL_SOURCES = {
    "galvanised": "29 CFR 1910.1000 table Z-1; AWS Fact Sheet 25",
    "stainless": "29 CFR 1910.1026",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One warning.

    Parameters
    ----------
    topic
        One or two words.
    text
        What to do.
    source
        Where it comes from; "common practice" where no source stands behind it.
    """

    topic: str
    text: str
    source: str


def cautions_of(plan: Plan) -> tuple[Caution, ...]:
    """Every caution that a plan calls for, the most general first."""
    order, saws = order_of(plan), saw_list(plan)
    found = [Caution(topic="strength", text=_NO_STRENGTH, source="what this program does not do")]
    found += _lifting(plan, order, saws)
    found += _hauling(plan, order)
    found.append(Caution(topic="saw cuts", text=_MEASURE, source="common practice"))
    found.append(Caution(topic="abrasive wheels", text=_WHEEL, source="29 CFR 1910.215, 1910.252(a)(2)(iii)"))
    found.append(Caution(topic="at the saw", text=_SAW, source="29 CFR 1910.95, 1910.133; common practice"))
    found += _of_materials(stick.material for stick in saws.sticks)
    return tuple(found)


def is_heavy(kg: float, plan: Plan) -> bool:
    """Whether one person should not lift that alone, by the shop's own limit."""
    return kg > plan.job.shop.lift_kg


def _lifting(plan: Plan, order: Order, saws: SawList) -> list[Caution]:
    shop = plan.job.shop
    heavy = [stick for stick in saws.sticks if is_heavy(stick.weight_kg, plan)]
    if not heavy:
        return []
    most = max(stick.weight_kg for stick in heavy)
    text = (
        f"Not for one person alone: {counted(sum(stick.layout.times for stick in heavy), 'stick')} "
        f"heavier than {weight_words(float(shop.lift_kg), shop)} (numbers "
        f"{number_words(stick.run for stick in heavy)}), up to {weight_words(most, shop)}. The limit is a "
        "ceiling for an ideal lift; reach, twist and repetition lower it."
    )
    return [
        Caution(
            topic="lifting",
            text=text,
            source="NIOSH lifting equation, 23 kg / 51 lb, as OSHA and CCOHS give it",
        )
    ]


def _hauling(plan: Plan, order: Order) -> list[Caution]:
    found = []
    for yard in order.yards:
        if yard.too_long:
            count = sum(line.count for line in yard.too_long)
            verb = "is" if count == 1 else "are"
            text = (
                f"{counted(count, 'stick')} from {yard.yard.name} {verb} longer than you can carry home: "
                "ask for delivery."
            )
            found.append(Caution(topic="hauling", text=text, source="the job's own limits"))
        if yard.is_too_heavy:
            text = (
                f"{weight_words(yard.weight_kg, plan.job.shop)} from {yard.yard.name} is more than one "
                "trip can carry: drive more than once or ask for delivery."
            )
            found.append(Caution(topic="hauling", text=text, source="the job's own limits"))
    return found


def _of_materials(materials: Iterable[Material]) -> list[Caution]:
    """What the materials themselves call for; each sentence begins with its topic and a colon."""
    found = []
    for sentence in dict.fromkeys(said for material in materials for said in material.cautions):
        topic, _, text = sentence.partition(": ")
        source = _MATERIAL_SOURCES.get(topic.lower(), "common practice")
        found.append(Caution(topic=topic.lower(), text=text[:1].upper() + text[1:], source=source))
    return found

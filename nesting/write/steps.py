"""What the cards of plan.pdf say: the steps of each stick in words, with their boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence

from nesting.job import Part, Saw, Shop
from nesting.plan import Plan
from nesting.report.cautions import is_heavy
from nesting.report.designer_words import spare_words
from nesting.report.mitre_cuts import Sawn
from nesting.report.mitre_words import begin_words, degrees_words, run_words
from nesting.report.order import Source
from nesting.report.saw_list import Block, Stick
from nesting.report.saw_words import alike_words
from nesting.report.words import (
    bound_words,
    length_words,
    number_words,
    part_of_stick_words,
    size_words,
    slack_words,
    weight_words,
)
from nesting.write.bar_drawing import BarDrawing
from nesting.write.card import Card, Title
from nesting.write.card_line import Line, TickLine, set_remark, set_text, with_boxes
from nesting.write.lettering import is_lacking, printable
from nesting.write.picture import pictures_of
from stock.material import Material
from stock.offer import Offer


def cards_of(block: Block, plan: Plan, width: float) -> list[Card]:
    """The cards of a block, in cutting order, for a width in points."""
    shop, pictures = plan.job.shop, pictures_of(block, plan.job.shop)
    parts = {part.mark: part for part in plan.job.parts}
    topic = printable(f"{block.saw.name}: {material_words(block.material)}", 80)
    cards = []
    for stick in block.sticks:
        weight = weight_words(stick.weight_kg, shop)
        title = Title(
            numbers=number_words([stick.run]),
            text=printable(stick_text(stick, block.saw, shop), 100),
            aside=f"{weight} each" if stick.layout.times > 1 else weight,
            lift=is_heavy(stick.weight_kg, plan),
            topic=topic,
        )
        cards.append(Card(title, BarDrawing(pictures[stick.first]), _lines(stick, plan, parts, width)))
    return cards


def material_words(material: Material) -> str:
    """A material with its grade and finish."""
    return " ".join(text for text in (material.designation, material.grade, str(material.finish)) if text)


def stick_text(stick: Stick, saw: Saw, shop: Shop) -> str:
    """How many alike, how many at once, how long, and where from."""
    alike = alike_words(stick.layout.times, saw)
    size = part_of_stick_words(stick.layout.length, stick.asked, shop)
    return f"{alike + ', ' if alike else ''}{size} from {source_words(stick.source)}"


def mark_words(part: Part) -> str:
    """The mark of a part; where the font lacks a sign of it, with its row in the parts table."""
    row = f" (row {part.row})" if is_lacking(part.mark) and part.row else ""
    return printable(part.mark, 120) + row


def source_words(source: Source) -> str:
    """Where a stick or sheet comes from: a yard, or the rack and the place there."""
    if isinstance(source, Offer):
        return source.yard
    return f"rack {source.id}, {source.place}" if source.place else f"rack {source.id}"


def _lines(stick: Stick, plan: Plan, parts: dict[str, Part], width: float) -> list[Line | TickLine]:
    shop = plan.job.shop
    first, times = stick.run
    numbers = [str(first + index) for index in range(times)] if times > 1 else [""]
    lines: list[Line | TickLine] = [_plain(1, begin_words(stick, shop))]
    order = 1
    for step in stick.steps:
        setting = length_words(step.setting, shop)
        for mark, count, cuts in step.runs:
            order += 1
            text, size = set_text(f"{count} × {mark_words(parts[mark])}", True)
            line = Line(
                order=str(order),
                setting=setting,
                lines=text,
                size=size,
                remark=set_remark(printable(_remark(parts[mark], cuts, step.setting, shop)), width),
                is_measured=True,
            )
            lines += with_boxes(line, numbers, count, width)
    last = _plain(order + 1, _rest(stick, plan), f"slack {slack_words(stick.slack, shop)}")
    return lines + with_boxes(last, numbers if times > 1 else ["done"], 1, width)


def _plain(order: int, said: str, aside: str = "") -> Line:
    text, size = set_text(said, False)
    return Line(order=str(order), setting="", lines=text, size=size, aside=aside)


def _rest(stick: Stick, plan: Plan) -> str:
    shop, layout = plan.job.shop, stick.layout
    if not layout.rest:
        return "nothing left"
    rest = length_words(layout.rest, shop)
    if not layout.keep:
        return f"scrap {rest}"
    weight = stick.material.weight_kg(layout.rest, stick.source.width)
    return f"keep {rest}, {weight_words(weight, shop)}{', two people' if is_heavy(weight, plan) else ''}"


def _remark(part: Part, cuts: Sequence[Sawn], setting: int, shop: Shop) -> str:
    """What a saw hand must know of a part beyond its stop setting."""
    said = [spare_words(part, shop)] if part.is_fill else []
    if part.width is not None:
        said.append(f"a plate part, {size_words(part.length, part.width, shop)}")
        if setting != part.length:
            said.append("its length lies across the bar")
    if mitres := run_words(cuts, part):
        said.append(mitres)
    if part.is_mitred:
        ends = f"{degrees_words(part.end_a)} / {degrees_words(part.end_b)}"
        said.append(
            f"ends {ends} from square, {part.lean}, {part.measured} {length_words(part.length, shop)}"
        )
    if bound := bound_words(part):
        said.append(bound)
    for end, extra in (("a", part.extra_a), ("b", part.extra_b)):
        if extra:
            said.append(f"{length_words(extra, shop)} of it is left on at end {end} for facing")
    return "; ".join(said)

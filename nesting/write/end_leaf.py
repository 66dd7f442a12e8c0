"""The last leaves of plan.pdf: what stays whole, what goes back to the rack, and what to mind."""

from __future__ import annotations

from reportlab.platypus import CondPageBreak, Flowable, PageBreak, Spacer

from nesting.plan import Plan
from nesting.report.cautions import cautions_of, is_heavy
from nesting.report.designer_words import ONLY_SUGGESTED, designer_lines
from nesting.report.offcuts import offcuts_of, sheet_offcuts_of
from nesting.report.saw_list import SawList
from nesting.report.sheet_list import SheetList
from nesting.report.words import (
    left_words,
    length_words,
    number_words,
    numbered,
    part_of_stick_words,
    size_words,
    weight_words,
)
from nesting.write.flow import (
    BODY,
    HEADING,
    RIGHT,
    SMALL,
    TITLE,
    TickBox,
    rows_table,
    strong,
    text,
    with_small,
)
from nesting.write.sheet_card import sheet_size
from nesting.write.steps import material_words
from stock.material import Material

_WHY_WHOLE = "bought for the price at that quantity and not cut"
_WHY_HOME = "comes home beside what is cut from the rest of its stick"


def whole_table(saws: SawList, sheets: SheetList, plan: Plan, width: float) -> list[Flowable]:
    """Sticks and sheets that are bought and stay whole; nothing if there are none."""
    rows: list[list[Flowable | str]] = [
        [
            TickBox(),
            strong(number_words([stick.run])),
            strong(material_words(stick.material)),
            text(part_of_stick_words(stick.layout.length, stick.asked, plan.job.shop).removesuffix(",")),
            text(_WHY_WHOLE if stick.asked is None else _WHY_HOME),
        ]
        for stick in saws.whole
    ]
    rows += [
        [
            TickBox(),
            strong(f"sheet {number_words([sheet.run])}"),
            strong(material_words(sheet.material)),
            text(sheet_size(sheet, plan)),
            text(_WHY_WHOLE),
        ]
        for sheet in sheets.whole
    ]
    if not rows:
        return []
    widths = [share * width for share in (0.04, 0.12, 0.3, 0.14, 0.4)]
    return [
        CondPageBreak(110),
        text("Not cut", TITLE),
        rows_table(widths, ["", "Stick", "Material", "Size", ""], rows),
    ]


def offcuts_table(saws: SawList, sheets: SheetList, plan: Plan, width: float) -> list[Flowable]:
    """What goes back to the rack: rests of sticks, then rectangles of sheets."""
    shop = plan.job.shop
    heading = [CondPageBreak(110), text("Offcuts to keep", TITLE)]
    rows = [
        _offcut(
            offcut.count,
            offcut.material,
            length_words(offcut.length, shop),
            offcut.weight_kg,
            f"{numbered('stick', offcut.runs)}; clean ends: {offcut.clean_ends}",
            plan,
        )
        for offcut in offcuts_of(saws)
    ]
    rows += [
        _offcut(
            offcut.count,
            offcut.material,
            size_words(offcut.length, offcut.width, shop),
            offcut.weight_kg,
            numbered("sheet", offcut.runs),
            plan,
        )
        for offcut in sheet_offcuts_of(sheets)
    ]
    left = left_words(plan)
    worth = [text(f"{left[0].upper()}{left[1:]}.")] if left else []
    if not rows:
        return [*heading, text(f"None of {length_words(shop.keep_length, shop)} or longer."), *worth]
    widths = [share * width for share in (0.04, 0.08, 0.28, 0.21, 0.14, 0.25)]
    table = rows_table(widths, ["", "Count", "Material", "Size", "Weight each", "From"], rows)
    return [*heading, table, *worth]


def _offcut(
    count: int, material: Material, size: str, kg: float, origin: str, plan: Plan
) -> list[Flowable | str]:
    lift = "two people" if is_heavy(kg, plan) else ""
    return [
        TickBox(),
        strong(f"{count} ×"),
        strong(material_words(material)),
        strong(size),
        with_small(weight_words(kg, plan.job.shop), lift, RIGHT),
        text(origin),
    ]


def designer_lines_of(plan: Plan) -> list[Flowable]:
    """What shorter parts would save and how much longer others could be; nothing if there is nothing to say."""
    lines = designer_lines(plan)
    if not lines:
        return []
    return [
        CondPageBreak(110),
        text("For the drawings", TITLE),
        text(ONLY_SUGGESTED, SMALL),
        *(text(line, BODY, None) for line in lines),
    ]


def mind_leaf(plan: Plan, width: float) -> list[Flowable]:
    """The cautions, on a leaf of their own."""
    story: list[Flowable] = [PageBreak(), text("Mind", TITLE)]
    for caution in cautions_of(plan):
        story += [
            CondPageBreak(70),
            text(caution.topic, HEADING),
            text(caution.text, BODY, None),
            text(caution.source, SMALL),
        ]
    if plan.job.notices:
        story.append(text("Noticed in the job", HEADING))
        story += [text(str(notice), BODY, None) for notice in plan.job.notices]
    story += [Spacer(1, 12), text("Local rules go before anything said here.")]
    return story

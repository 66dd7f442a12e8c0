"""plan.pdf: the papers for the saw, large enough to read at arm's length, with boxes to tick."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from functools import partial

from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    PageBreak,
    PageTemplate,
    Spacer,
)

from nesting.job import Job, Shop
from nesting.plan import Plan
from nesting.report.mitre_words import convention_lines
from nesting.report.order import order_of
from nesting.report.saw_list import Block, SawList, saw_list
from nesting.report.saw_words import doubt_words, saw_rules
from nesting.report.sheet_list import sheet_list
from nesting.report.words import counted
from nesting.write.buy_leaf import buy_leaf
from nesting.write.end_leaf import designer_lines_of, mind_leaf, offcuts_table, whole_table
from nesting.write.flow import (
    BODY,
    SMALL,
    TITLE,
    text,
)
from nesting.write.hole_leaf import hole_leaves
from nesting.write.leaf import FOOT, HEAD, MARGIN, Leaves, PaperSize, measures, paper_size
from nesting.write.legend import OF_BARS, Legend
from nesting.write.lettering import LACKING, is_lacking, load_letters, printable
from nesting.write.sheets_leaf import sheets_leaves
from nesting.write.steps import cards_of, material_words

_TO_SCALE = "drawn to scale, each section to its own; a saw cut never thinner than a line"
_ROOM_FOR_A_CARD = 170
"""Points below a heading without which it goes on the next leaf."""


def paper_bytes(plan: Plan, size: PaperSize | None = None, compressed: bool = True) -> bytes:
    """The plan as sheets for the saw: what to buy first, then each saw and section in cutting order.

    Parameters
    ----------
    size
        Of the paper; None: letter in a shop that reads inches, else A4.
    compressed
        Whether the pages are packed; the look is the same.

    Returns
    -------
    bytes
        A PDF file, the same each time. It brings its own font; a sign that the font lacks is shown as "◊".
    """
    return bound_leaves(plan, "plan", partial(_story, plan), size, compressed)


def bound_leaves(
    plan: Plan,
    title: str,
    story: Callable[[float], list[Flowable]],
    size: PaperSize | None = None,
    compressed: bool = True,
) -> bytes:
    """Leaves about a plan as a PDF file, the same each time.

    Parameters
    ----------
    title
        What the leaves are: "plan", "order".
    story
        What stands on them, for a width in points.
    """
    load_letters()
    width, height = measures(size or paper_size(plan.job.shop))
    inside = width - 2 * MARGIN
    stream = io.BytesIO()
    document = BaseDocTemplate(
        stream,
        pagesize=(width, height),
        title=printable(f"{plan.job.name}: {title}"),
        author="",
        creator=f"Steelyard {plan.version}",
        invariant=1,
        pageCompression=int(compressed),
    )
    frame = Frame(
        MARGIN, FOOT, inside, height - HEAD - FOOT,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
    )  # fmt: skip
    document.addPageTemplates([PageTemplate(frames=[frame])])
    made = f"Steelyard {plan.version}: no strength is computed"
    leaves = partial(Leaves, job=printable(plan.job.name, 60), made=made)
    document.build(story(inside), canvasmaker=leaves)
    return stream.getvalue()


def _story(plan: Plan, width: float) -> list[Flowable]:
    saws = saw_list(plan)
    story = buy_leaf(plan, order_of(plan), width)
    if any(is_lacking(said) for said in _texts(plan.job)):
        story.append(Spacer(1, 8))
        story.append(
            text(f"{LACKING} stands for a sign that the font of this file lacks; plan.html shows it.", SMALL)
        )
    if saws.cut:
        story += [PageBreak(), *_introduction(saws, plan.job.shop)]
    for before, block in zip((None, *saws.blocks), saws.blocks, strict=False):
        story += _block(block, before, plan, width)
    sheets = sheet_list(plan)
    story += sheets_leaves(sheets, plan, width)
    return [
        *story,
        *hole_leaves(plan, width),
        *whole_table(saws, sheets, plan, width),
        *offcuts_table(saws, sheets, plan, width),
        *designer_lines_of(plan),
        *mind_leaf(plan, width),
    ]


def _texts(job: Job) -> Iterator[str]:
    """Every text of a job that may stand on paper."""
    yield job.name
    yield from (part.mark for part in job.parts)
    yield from (saw.name for saw in job.saws)
    for offer in job.offers:
        yield from (offer.yard, offer.note)
    for piece in job.rack:
        yield from (piece.id, piece.place, piece.heat)
    yield from (str(notice) for notice in job.notices)


def _introduction(saws: SawList, shop: Shop) -> list[Flowable]:
    times = counted(saws.stop_moves, "time")
    said = (
        "Square the first end, then cut piece after piece against the stop. In this order the stop is set "
        f"{times}. Slack is how much thicker the saw may cut, at each cut, before the last piece falls short. "
        "Tick each piece; on the line at the right write what the first one measures. "
        "Before the first cut, read the last leaf: Mind."
    )
    doubt = [text(words, BODY, None) for words in [doubt_words(saws, shop)] if words]
    mitres = [text(line, SMALL, None) for line in convention_lines(saws)]
    return [
        text("Cut", TITLE),
        text(said, BODY, None),
        *doubt,
        *mitres,
        Spacer(1, 6),
        Legend(OF_BARS, _TO_SCALE),
    ]


def _block(block: Block, before: Block | None, plan: Plan, width: float) -> list[Flowable]:
    """The sticks of a section; each saw begins a leaf of its own."""
    shop, saw = plan.job.shop, block.saw
    rules = saw_rules(saw, shop)
    sticks = sum(stick.layout.times for stick in block.sticks)
    pieces = sum(stick.layout.times * len(stick.layout.pieces) for stick in block.sticks)
    new_saw = before is not None and before.saw != saw
    return [
        PageBreak() if new_saw else CondPageBreak(_ROOM_FOR_A_CARD + 60),
        text(f"{saw.name}: {material_words(block.material)}", TITLE),
        text(f"{counted(sticks, 'stick')}, {counted(pieces, 'piece')}. {rules[0].upper()}{rules[1:]}."),
        *(text(caution, SMALL, None) for caution in block.material.cautions),
        text("Kerf as measured: ____________", SMALL),
        Spacer(1, 6),
        *cards_of(block, plan, width),
    ]

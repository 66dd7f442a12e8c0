"""plan.html: the printable page, one self-contained file without scripts."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from itertools import groupby
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from nesting.estimate import estimate_of
from nesting.estimate.figures import number_words
from nesting.job import Part, Shop
from nesting.plan import GroupPlan, Placed, Plan
from nesting.report import mitre_words, words
from nesting.report.cautions import cautions_of, is_heavy
from nesting.report.designer_words import ONLY_SUGGESTED, designer_lines, spare_words
from nesting.report.grain import grain_words
from nesting.report.hole_list import hole_list
from nesting.report.indexing import indexing_words, parting_words
from nesting.report.mitre_cuts import Sawn
from nesting.report.offcuts import Use, area_use_of, offcuts_of, sheet_offcuts_of, use_of
from nesting.report.order import order_of
from nesting.report.saw_list import saw_list
from nesting.report.saw_words import alike_words, doubt_words, saw_rules
from nesting.report.sheet_list import Sheet, SheetList, blanks_of, kerf_of, sheet_list
from nesting.report.yard_cuts import yard_cut_lines
from nesting.write import sheet_words
from nesting.write.drawings import drawing_name, drawn_blanks
from nesting.write.hole_leaf import hole_notes
from nesting.write.picture import BAR_HEIGHT, BAR_TOP, Box, pictures_of
from nesting.write.sheet_picture import THINNEST, detail_picture, marks_of, sheet_picture
from nesting.write.torch_words import torch_words_of
from stock.length import Unit, show_length

_HERE = Path(__file__).parent


def page_html(plan: Plan) -> str:
    """The plan as one HTML page that needs nothing else, neither a script nor another file.

    Returns
    -------
    str
        HTML text; every text of the job is escaped.
    """
    environment = Environment(
        loader=FileSystemLoader(_HERE, encoding="utf-8"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(_filters(plan))
    order, saws = order_of(plan), saw_list(plan)
    return environment.get_template("page.html").render(
        plan=plan,
        job=plan.job,
        order=order,
        to_buy=words.goods_words(order.sticks, order.sheets),
        saws=saws,
        saw_rules=partial(saw_rules, shop=plan.job.shop),
        alike=alike_words,
        doubt=doubt_words(saws, plan.job.shop),
        pictures={
            key: drawn for block in saws.blocks for key, drawn in pictures_of(block, plan.job.shop).items()
        },
        **_sheets(plan, sheet_list(plan)),
        remarks=partial(_remarks, shop=plan.job.shop),
        begin=partial(mitre_words.begin_words, shop=plan.job.shop),
        cut_words=partial(_cut_words, parts={part.mark: part for part in plan.job.parts}),
        mitre_lines=mitre_words.convention_lines(saws),
        offcuts=offcuts_of(saws),
        uses=[_uses(group) for group in plan.groups],
        made=sheet_words.made_of(plan, saws, sheet_list(plan)),
        origins=sheet_words.origins_of(saws, sheet_list(plan)),
        estimate=estimate_of(plan),
        cautions=cautions_of(plan),
        drawing_hints=designer_lines(plan),
        of_drawings=ONLY_SUGGESTED,
        spares={part.mark for part in plan.job.fills},
        style=Markup((_HERE / "page.css").read_text(encoding="utf-8")),
        best=words.plan_proof_words(plan),
        is_best=words.best_possible_words(plan),
        others=words.other_words(plan),
        others_heading=words.others_heading(plan),
        left=words.left_words(plan),
        blanks_said=words.blanks_words(plan),
        counted=words.counted,
        included=words.included_words(plan),
        part_of_stick=partial(words.part_of_stick_words, shop=plan.job.shop),
        yard_cut_lines=partial(yard_cut_lines, shop=plan.job.shop),
        numbers=words.number_words,
        numbered=words.numbered,
        is_heavy=partial(is_heavy, plan=plan),
        bar_top=BAR_TOP,
        bar_height=BAR_HEIGHT,
    )


def _sheets(plan: Plan, sheets: SheetList) -> dict[str, Any]:
    """What the sections of sheets and holes are made of."""
    job = plan.job
    parts = {part.mark: part for part in job.parts}

    def size_on(sheet: Sheet, piece: Placed) -> str:
        return sheet_words.part_size(parts[piece.mark], piece, job.shop)

    return {
        "sheets": sheets,
        "sheet_runs": [
            list(run)
            for _, run in groupby(
                sheets.cut, key=lambda sheet: (sheet_words.tool_words(sheet), sheet.material)
            )
        ],
        "drawn": {
            sheet.first: (sheet_picture(sheet, job), detail_picture(sheet, job)) for sheet in sheets.cut
        },
        "kept": sheet_offcuts_of(sheets),
        "holes": hole_list(plan),
        "hole_notes": hole_notes(plan),
        "size": partial(words.size_words, shop=job.shop),
        "size_on": size_on,
        "both": partial(_both, shop=job.shop),
        "tool": sheet_words.tool_words,
        "origin": sheet_words.origin_words,
        "used": sheet_words.used_share,
        "torch_words": torch_words_of(plan),
        "cut_rows": partial(sheet_words.cut_rows, job=job),
        "spoken": partial(sheet_words.spoken, job=job),
        "kerf": partial(kerf_of, job=job),
        "blanks": blanks_of,
        "grain": partial(grain_words, job=job),
        "parting": parting_words(job.shop),
        "indexing": partial(indexing_words, shop=job.shop),
        "marks_of": marks_of,
        "drawing_name": drawing_name,
        "drawn_blanks": drawn_blanks,
        "thinnest": THINNEST,
    }


def _filters(plan: Plan) -> dict[str, Callable[..., Any]]:
    shop = plan.job.shop
    return {
        "money": partial(words.money_words, shop=shop),
        "weight": partial(words.weight_words, shop=shop),
        "measured": partial(words.length_words, shop=shop),
        "stick": partial(words.stick_words, shop=shop),
        "slack": partial(words.slack_words, shop=shop),
        "proof": partial(words.proof_words, from_yards=words.is_of_yards(plan.job)),
        "evidence": words.evidence_words,
        "stopped": words.stopped_words,
        "hours": lambda hours: f"{number_words(hours, shop, places=2)} h",
        "percent": lambda share, whole: f"{100 * share / whole:.1f} %" if whole else "–",
        "unit": lambda value: f"{value:.2f}".rstrip("0").rstrip("."),
        "degrees": mitre_words.degrees_words,
        "outline": _outline,
    }


def _cut_words(mark: str, cuts: tuple[Sawn, ...], parts: dict[str, Part]) -> str:
    return mitre_words.run_words(cuts, parts[mark])


def _outline(box: Box) -> str:
    """The corners of a slanted shape, in a square as wide and as high as 1."""
    return " ".join(f"{x:.5f},{y}" for x, y in zip(box.corners, (0, 0, 1, 1), strict=True))


def _both(ticks: int, shop: Shop) -> str:
    """A length in the unit of the shop and in the other."""
    other: Unit = "mm" if shop.unit == "in" else "in"
    return f"{words.length_words(ticks, shop)} = {show_length(ticks, other, shop.denominator)}"


def _remarks(part: Part, shop: Shop) -> list[str]:
    """What the job says about a part beyond its size."""
    extras = [
        f"{words.length_words(extra, shop)} more left on at end {end} for facing"
        for end, extra in (("a", part.extra_a), ("b", part.extra_b))
        if extra
    ]
    carried = [f"{name}: {text}" for name, text in part.carried if text]
    assembly = part.assembly and f"assembly {part.assembly}"
    said = (spare_words(part, shop), words.bound_words(part), *extras, assembly, part.note, *carried)
    return [text for text in said if text]


def _uses(group: GroupPlan) -> list[tuple[str, Use]]:
    """Where the length of sticks and the area of sheets goes."""
    found = [("length of the sticks", use_of(group)), ("area of the sheets", area_use_of(group))]
    return [(what, use) for what, use in found if use.total]

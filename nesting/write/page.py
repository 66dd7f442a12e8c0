"""plan.html: the printable page, one self-contained file without scripts."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from nesting import words
from nesting.cautions import cautions_of, is_heavy
from nesting.estimate import estimate_of
from nesting.estimate.figures import number_words
from nesting.job import Part
from nesting.offcuts import offcuts_of, use_of
from nesting.order import order_of
from nesting.plan import Plan
from nesting.saw_list import SawList, saw_list
from nesting.write.picture import BAR_HEIGHT, BAR_TOP, pictures_of

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
    saws = saw_list(plan)
    return environment.get_template("page.html").render(
        plan=plan,
        job=plan.job,
        order=order_of(plan),
        saws=saws,
        pictures={
            key: drawn for block in saws.blocks for key, drawn in pictures_of(block, plan.job.shop).items()
        },
        remarks=_remarks,
        offcuts=offcuts_of(saws),
        uses=[use_of(group) for group in plan.groups],
        made=_made(saws),
        estimate=estimate_of(plan),
        cautions=cautions_of(plan),
        style=Markup((_HERE / "page.css").read_text(encoding="utf-8")),
        best=words.plan_proof_words(plan),
        is_best=words.best_possible_words(plan),
        counted=words.counted,
        numbers=words.number_words,
        is_heavy=partial(is_heavy, plan=plan),
        bar_top=BAR_TOP,
        bar_height=BAR_HEIGHT,
    )


def _filters(plan: Plan) -> dict[str, Callable[..., Any]]:
    shop = plan.job.shop
    return {
        "money": partial(words.money_words, shop=shop),
        "weight": partial(words.weight_words, shop=shop),
        "measured": partial(words.length_words, shop=shop),
        "stick": partial(words.stick_words, shop=shop),
        "slack": partial(words.slack_words, shop=shop),
        "proof": words.proof_words,
        "evidence": words.evidence_words,
        "stopped": words.stopped_words,
        "hours": lambda hours: f"{number_words(hours, shop, places=2)} h",
        "percent": lambda share, whole: f"{100 * share / whole:.1f} %" if whole else "–",
        "degrees": lambda angle: f"{angle.normalize():f}°",
    }


def _remarks(part: Part) -> list[str]:
    """What the job says about a part beyond its size."""
    carried = [f"{name}: {text}" for name, text in part.carried if text]
    return [text for text in (part.assembly and f"assembly {part.assembly}", part.note, *carried) if text]


def _made(saws: SawList) -> dict[str, tuple[int, list[tuple[int, int]]]]:
    """By mark: how many pieces are made, and from which sticks."""
    made: dict[str, tuple[int, list[tuple[int, int]]]] = {}
    for stick in saws.cut:
        for piece in stick.layout.pieces:
            count, runs = made.get(piece.mark, (0, []))
            made[piece.mark] = (
                count + stick.layout.times,
                runs if stick.run in runs[-1:] else [*runs, stick.run],
            )
    return made

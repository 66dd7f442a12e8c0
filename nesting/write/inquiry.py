"""inquiry.csv: what to ask the yards when nothing of a group has a price."""

from __future__ import annotations

import csv
import io

from nesting.job import Job
from nesting.plan import Plan, Purchase
from nesting.report.words import shown_weight, stick_words, weight_unit
from stock.offer import Offer


def inquiry_csv(plan: Plan) -> str:
    """The table to send to yards, every size of the unpriced groups with empty columns for the answer.

    Each yard that sells a size without a price is asked for it, not only the one in the plan.

    Returns
    -------
    str
        CSV text, semicolons where the shop's decimal mark is a comma; empty if every group has prices.
    """
    lines = [line for group in plan.groups if not group.priced for line in group.purchases]
    if not lines:
        return ""
    shop = plan.job.shop
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=";" if shop.decimal == "," else ",", lineterminator="\r\n")
    unit = weight_unit(shop)
    writer.writerow(
        [
            "yard",
            "material",
            "grade",
            "finish",
            "length",
            "width",
            "count",
            f"weight {unit}",
            "price",
            "per",
            "lead days",
            "note",
        ]
    )
    asked = sorted(
        (
            (offer.yard, row, offer, line)
            for row, line in enumerate(lines)
            for offer in _askable(plan.job, line)
        ),
        key=lambda each: each[:2],
    )
    for yard, _, offer, line in asked:
        weight = f"{shown_weight(line.weight_kg, shop):.1f}".replace(".", shop.decimal)
        material = offer.material
        size = [stick_words(line.length, shop), "" if line.width is None else stick_words(line.width, shop)]
        cells = [yard, material.designation, material.grade, material.finish, *size, str(line.count), weight]
        writer.writerow([safe_cell(cell) for cell in (*cells, "", "", "", offer.note)])
    return text.getvalue()


def safe_cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula.

    >>> safe_cell("=1+1"), safe_cell("tube")
    ("'=1+1", 'tube')
    """
    return f"'{text}" if text.lstrip(" ")[:1] in ("=", "+", "-", "@", "\t", "\r", "\n") and text else text


def _askable(job: Job, line: Purchase) -> list[Offer]:
    """One offer of every yard that sells the size of a line, unpriced."""
    size = next(offer for offer in job.offers if offer.id == line.offer)
    return list(
        {
            offer.yard: offer
            for offer in reversed(job.offers)
            if offer.price is None
            and (offer.material, offer.width) == (size.material, size.width)
            and (
                offer.length == line.length
                or (offer.cut_to_length is not None and offer.length >= line.length)
            )
        }.values()
    )

"""How old the prices are that a plan rests on."""

from __future__ import annotations

from datetime import date

from nesting.plan import Plan
from nesting.report.words import counted
from nesting.rules.sources import material_words


def age_words(plan: Plan, today: date | None = None) -> str:
    """Which of the prices that are paid is the oldest, by the days on which they were quoted; "" if none is dated.

    Parameters
    ----------
    today
        Tells how many days ago that was; None: the day alone is told.
    """
    offers = {offer.id: offer for offer in plan.job.offers}
    bought = [offers[line.offer] for group in plan.groups for line in group.purchases if group.priced]
    dated = [offer for offer in bought if offer.quoted]
    if not dated:
        return ""
    oldest = min(dated, key=lambda offer: offer.quoted)
    words = f"oldest price: {material_words(oldest.material)} from {oldest.yard}, quoted {oldest.quoted}"
    if today is not None:
        days = (today - date.fromisoformat(oldest.quoted)).days
        words += f", {counted(days, 'day')} ago" if days > 0 else ""
    undated = len(bought) - len(dated)
    return words + (f"; of {counted(undated, 'price')} the day is not known" if undated else "")

"""The command `prices`: how far each price of a plan may rise before another plan is cheaper."""

from __future__ import annotations

from pathlib import Path

import click
from rich.console import Console

from nesting.cli.display import Display
from nesting.cli.planning import compile_first
from nesting.plan import Plan, Settings
from nesting.rules.sources import material_words
from nesting.work.price_limits import PriceLimit, price_limits
from nesting.write import read_plan


def show_limits(path: Path, settings: Settings) -> None:
    """Plan again at higher prices, material by material, and tell what was found."""
    plan = read_plan(path)
    with Display(Console(stderr=True)) as display:
        compile_first(plan.job, display)
        limits = list(price_limits(plan, settings, display))
    if not limits:
        click.echo("nothing is bought at a price")
    for limit in limits:
        click.echo(limit_words(plan, limit))


def limit_words(plan: Plan, limit: PriceLimit) -> str:
    """One sentence about a price."""
    offer, shop = limit.offer, plan.job.shop
    basis = "each" if offer.per == "each" else f"per {offer.per}"

    def quoted(price: object) -> str:
        return f"{shop.currency}{price} {basis}"

    now = quoted(f"{(offer.price or 0):f}")
    head = f"{material_words(offer.material)} from {offer.yard}, {now}"
    if limit.beats is None:
        twice = quoted(f"{2 * (offer.price or 0):f}")
        is_proved = limit.holds >= 2 * (offer.price or 0)
        words = (
            f"nothing is cheaper up to {twice}"
            if is_proved
            else "nothing cheaper was found, but it is not proved"
        )
        return f"{head}: {words}"
    if limit.holds > (offer.price or 0):
        return f"{head}: this plan stays the cheapest up to {quoted(f'{limit.holds:f}')}"
    return f"{head}: another plan is cheaper at {quoted(f'{limit.beats:f}')}; nothing below that was proved"

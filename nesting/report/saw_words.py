"""What reports say of a saw: its rules, how many sticks it cuts at once, and what a thicker kerf would spoil."""

from __future__ import annotations

from nesting.job import Saw, Shop
from nesting.report.saw_list import SawList, Stick
from nesting.report.words import length_words, numbered
from stock.length import show_length

_FINEST = 1024
"""Kerfs and what is added to them are shown to this fraction of an inch, however coarse other lengths are."""


def saw_rules(saw: Saw, shop: Shop) -> str:
    """Kerf, trim, grip and bundle of a saw, as one phrase."""
    said = [f"kerf {length_words(saw.kerf, shop)}"]
    if shop.kerf_safety:
        said.append(f"each cut planned {_fine(saw.kerf + shop.kerf_safety, shop)} wide")
    if saw.trim:
        said.append(f"an end that is not clean loses {length_words(saw.trim, shop)}")
    if saw.grip:
        said.append(f"the saw holds the last {length_words(saw.grip, shop)}")
    if saw.bundle > 1:
        said.append(f"up to {saw.bundle} sticks together")
    return ", ".join(said)


def alike_words(times: int, saw: Saw) -> str:
    """How many sticks are cut alike and how many go through the saw at once; "" for one stick.

    >>> alike_words(6, Saw(name="band", kerf=0, bundle=4)), alike_words(3, Saw(name="chop", kerf=0))
    ('6 alike, 4 together', '3 alike')
    """
    if times == 1:
        return ""
    at_once = min(times, saw.bundle)
    return f"{times} alike, {at_once} together" if at_once > 1 else f"{times} alike"


def falling_short(saws: SawList, thicker: int) -> tuple[Stick, ...]:
    """The sticks whose last piece falls short if every cut takes so many ticks more than the kerf says."""
    return tuple(stick for stick in saws.cut if stick.slack is not None and stick.slack < thicker)


def doubt_words(saws: SawList, shop: Shop) -> str:
    """Which sticks fall short if the kerf is thicker by the shop's doubt, and what to do; "" if there are none."""
    short = falling_short(saws, shop.kerf_doubt)
    if not short:
        return ""
    return (
        f"If the saw cuts {_fine(shop.kerf_doubt, shop)} thicker than said, the last piece of "
        f"{numbered('stick', (stick.run for stick in short))} comes out short: measure the kerf on a test cut first, "
        "or plan with a kerf_safety."
    )


def _fine(ticks: int, shop: Shop) -> str:
    return show_length(ticks, shop.unit, _FINEST)

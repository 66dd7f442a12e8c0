"""Holes that the torch does not cut: seconds at the drill by diameter and depth, and the handling around them.

Speeds and feeds: US Navy, NAVEDTRA 14345, for drills of high-speed steel: published ranges, of which the speed is
taken from within and the feed runs from the lower end at the least diameter to the upper end at the largest.
"""

from __future__ import annotations

import math
from itertools import pairwise

from nesting.estimate.figures import measures_of, number_words, work
from nesting.estimate.line import Line
from nesting.estimate.rates import Rates
from nesting.job import Hole, Part, Shop
from nesting.plan import Plan
from nesting.report.hole_list import hole_list
from nesting.report.words import counted
from stock.grade import Family
from stock.length import to_inches

_SOURCE = "NAVEDTRA 14345"
_FOOT_M = 0.3048
_SPEEDS = {Family.CARBON: 90.0, Family.STAINLESS: 35.0, Family.ALUMINIUM: 250.0}
"""Feet a minute: 80-110 in low-carbon steel, 30-40 in stainless, 200-300 in aluminium."""

_METALS = {Family.CARBON: "steel", Family.STAINLESS: "stainless steel", Family.ALUMINIUM: "aluminium"}

_FEEDS = ((0.125, 0.002), (0.25, 0.004), (0.5, 0.007), (1.0, 0.015))
"""Diameter in inches, inches a turn: 0.002-0.004 up to 1/4, 0.004-0.007 up to 1/2, 0.007-0.015 up to 1."""

_POINT = 0.3
"""Of its diameter that a drill of 118 degrees has to go deeper for its point: 1/2 cot 59 degrees."""


def drill_lines(plan: Plan, rates: Rates) -> list[Line]:
    """Drilling of every hole that the torch does not cut; none if there is no such hole."""
    shop = plan.job.shop
    drilled = [
        (listed.part, listed.copies, [each.hole for each in listed.holes if each.made_by == "drill"])
        for listed in hole_list(plan)
    ]
    drilled = [(part, copies, holes) for part, copies, holes in drilled if holes]
    if not drilled:
        return []
    seconds = sum(
        copies * hole_seconds(part, hole, rates) for part, copies, holes in drilled for hole in holes
    )
    counts = (
        (sum(copies * len(holes) for _, copies, holes in drilled), "hole", "seconds_per_hole"),
        (sum(copies for _, copies, _ in drilled), "part", "seconds_per_drilled_part"),
    )
    families = dict.fromkeys(part.material.family for part, *_ in drilled)
    how = ", ".join(
        [f"{number_words(seconds / 60, shop)} min of drilling at {_speed_words(families, rates, shop)}"]
        + [
            f"{counted(count, what)} × {number_words(getattr(rates, name), shop)} s{rates.mark(name)}"
            for count, what, name in counts
        ]
    )
    handling = float(sum(count * getattr(rates, name) for count, _, name in counts))
    names = ("drill_speed", *(name for *_, name in counts))
    return [work("Drilling", seconds + handling, how, rates, names)]


def hole_seconds(part: Part, hole: Hole, rates: Rates) -> float:
    """Seconds at the drill for one hole: through the plate or the wall of a section, or to its depth."""
    depth = part.material.thickness if hole.depth is None else hole.depth
    diameter = to_inches(hole.diameter)
    return drill_seconds(
        diameter, to_inches(depth), speed_ft_min(part.material.family, rates), feed_inches(diameter)
    )


def drill_seconds(diameter: float, depth: float, speed: float, feed: float) -> float:
    """Seconds to drill a hole, the point of the drill included.

    Parameters
    ----------
    diameter, depth
        Inches.
    speed
        Of the drill's edge, feet a minute.
    feed
        Inches a turn.
    """
    turns_a_minute = 12 * speed / (math.pi * diameter)
    return 60 * (depth + _POINT * diameter) / (turns_a_minute * feed)


def speed_ft_min(family: Family, rates: Rates) -> float:
    """Speed of a drill's edge: what the shop set, or else by the metal."""
    return _SPEEDS[family] if rates.drill_speed is None else float(rates.drill_speed) / _FOOT_M


def feed_inches(diameter: float) -> float:
    """Inches a turn for a diameter in inches: straight between the table's ends, in proportion below it."""
    least, first = _FEEDS[0]
    if diameter <= least:
        return first * diameter / least
    for (thin, low), (thick, high) in pairwise(_FEEDS):
        if diameter <= thick:
            return low + (high - low) * (diameter - thin) / (thick - thin)
    return _FEEDS[-1][1]


def _speed_words(families: dict[Family, None], rates: Rates, shop: Shop) -> str:
    measures = measures_of(shop)
    if rates.drill_speed is not None:
        return f"{number_words(float(rates.drill_speed) / measures.speed_m, shop)} {measures.speed}"
    said = [
        f"{number_words(_SPEEDS[family] * _FOOT_M / measures.speed_m, shop, 0)} {measures.speed} in "
        f"{_METALS[family]}"
        for family in families
    ]
    return f"{' and '.join(said)} by {_SOURCE}{rates.mark('drill_speed')}"

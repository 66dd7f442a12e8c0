"""How fast a torch cuts a plate and how long it takes to pierce it.

Air plasma in mild steel: the middle of generic ranges, from memory, ±25 %; no chart stands behind them.
"""

from __future__ import annotations

import math
from itertools import pairwise

from nesting.estimate.rates import Rates
from stock.length import to_mm

_Row = tuple[float, float, float]

_ROWS: dict[int, tuple[_Row, ...]] = {
    45: ((1.5, 7750, 0.05), (3, 3750, 0.25), (6, 1450, 0.5), (10, 800, 0.8), (12, 500, 1.0)),
    85: (
        (3, 7500, 0.15),
        (6, 3600, 0.4),
        (10, 2100, 0.6),
        (12, 1500, 0.7),
        (16, 1000, 1.05),
        (20, 700, 1.5),
        (25, 425, 2.1),  # begun at an edge; the pierce is the step before, carried on
    ),
}
"""By amperes: thickness in mm, mm a minute, seconds to pierce."""

AMPS = tuple(_ROWS)
"""Amperes that figures are known for, the least first."""

_BEYOND = 4 / 3
"""How much thicker than its last row a torch may be taken to cut, at the feed to which the rows fall."""


def feed_mm_min(thickness: int, rates: Rates) -> float | None:
    """Feed of the torch: what the shop set, or else by thickness.

    Parameters
    ----------
    thickness
        Of the plate, ticks.

    Returns
    -------
    float | None
        mm a minute. A plate thinner than the first row is cut as fast as that one; None: so thick that no feed
        is known.
    """
    if rates.torch_feed is not None:
        return float(rates.torch_feed)
    rows, mm = _rows_of(rates), to_mm(thickness)
    if mm > _BEYOND * rows[-1][0]:
        return None
    (thin, fast, _), (thick, slow, _) = _around(rows, mm)
    power = math.log(slow / fast) / math.log(thick / thin)
    return fast * math.pow(max(mm, thin) / thin, power)


def pierce_seconds(thickness: int, rates: Rates) -> float:
    """Seconds to pierce a plate of that thickness, ticks: what the shop set, or else by thickness."""
    if rates.pierce_seconds is not None:
        return float(rates.pierce_seconds)
    mm = to_mm(thickness)
    (thin, _, short), (thick, _, long) = _around(_rows_of(rates), mm)
    return short + (long - short) * (max(mm, thin) - thin) / (thick - thin)


def counted_amps(rates: Rates) -> int:
    """Amperes whose figures are taken: the most that are known and not above those of the shop's torch."""
    return max((amps for amps in AMPS if amps <= rates.torch_amps), default=AMPS[0])


def _rows_of(rates: Rates) -> tuple[_Row, ...]:
    return _ROWS[counted_amps(rates)]


def _around(rows: tuple[_Row, ...], mm: float) -> tuple[_Row, _Row]:
    """The two rows that a thickness lies between; the last two if it lies beyond them."""
    pairs = list(pairwise(rows))
    return next((pair for pair in pairs if mm <= pair[1][0]), pairs[-1])

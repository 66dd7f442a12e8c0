"""From a sum of dual prices to a bound in money or kilograms, every rounding counted."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from math import gcd

from stock.money import Cost


def rounded_bound(
    total: int,
    scale: int,
    sizes: Iterable[Iterable[Cost]],
    rack: Iterable[Cost],
    pieces_cut: int | None,
    priced: bool,
    yard_cuts: Iterable[Cost] = (),
    earns: bool = False,
) -> Cost:
    """What a sum of dual prices proves about the cost of a plan, all rounding counted.

    1. Bought at the lowest prices of its sizes, a plan costs at least total / scale before its lines are
       rounded: up to the next ten-thousandth.
    2. Where nothing is cut to length, that cost is a multiple of the greatest common divisor of all unit
       costs (the lowest of each size, every rack value, every charge of a yard cut): up to the next multiple.
       What rests earn is whole cents, stick by stick, so a cent is among them then. But where a size has several
       rows, a dearer one may earn a cent more a stick: then only the first step holds, and nothing of a dearer row
       counts in the next.
    3. Lines are rounded to the cent. A size bought whole, sticks or sheets, makes one line, which loses at most
       `size_loss`; of a flat bar the same line pays for what is sawn to length and what is cut in two dimensions.
       Material cut to length makes at most one line for each piece that can be cut from it, which loses at
       most 49 ten-thousandths. Take all of these off.
    4. Lines are whole cents. If all rack values are, so is the cost: up to the next cent.

    Steps 3 and 4 are about money only. The result is never below zero.

    Parameters
    ----------
    total
        sum(copies x part price) - sum(limit x source price), in certificate units.
    scale
        Certificate units per ten-thousandth.
    sizes
        Of each size bought whole, the unit costs of the rows that can be reached.
    rack
        Cost of each rack piece that a part can be cut from.
    pieces_cut
        Copies of parts that can come from material cut to length; None if there is no such material.
    priced
        Whether the cost is money.
    yard_cuts
        What one cut costs, of each yard that parts sticks; whole cents.
    earns
        Whether rests of sticks earn something.

    >>> rounded_bound(1_000_001, 1, [[624_650]], [], None, True)
    1249300
    """
    rows, values = [sorted(size) for size in sizes], list(rack)
    bound = max(0, -(-total // scale))
    step = reduce(gcd, (size[0] for size in rows if size), reduce(gcd, [*values, *yard_cuts], 100 * earns))
    is_blurred = earns and any(len(size) > 1 for size in rows)
    if pieces_cut is None and step and not is_blurred:
        bound = -(-bound // step) * step
    if not priced:
        return bound
    lost = (max(map(line_loss, size), default=0) if is_blurred else size_loss(size) for size in rows)
    bound -= sum(lost) + line_loss(1) * (pieces_cut or 0)
    if all(v % 100 == 0 for v in values):
        bound = -(-bound // 100) * 100
    return max(0, bound)


def line_loss(cost: Cost) -> Cost:
    """The most by which a line at this unit price can be rounded down, in ten-thousandths.

    A line is a multiple of gcd(price, 0.01) above a whole cent, and less than half a cent of it is dropped.

    >>> line_loss(624600), line_loss(624650), line_loss(624625), line_loss(624601)
    (0, 0, 25, 49)
    """
    step = gcd(cost, 100)
    return 49 // step * step


def size_loss(rows: Iterable[Cost]) -> Cost:
    """The most by which a line of a size can lie below its count at the lowest price, in ten-thousandths.

    A dearer row loses so much less as one stick of it costs more.

    >>> size_loss([624_601, 700_001]), size_loss([624_600, 700_001]), size_loss([624_600, 624_601])
    (49, 0, 48)
    """
    costs = sorted(rows)
    return max((line_loss(c) - (c - costs[0]) for c in costs), default=0)

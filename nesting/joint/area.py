"""The most that parts on one sheet can be worth, by area: pieces enlarged by a cut against a room enlarged likewise."""

from __future__ import annotations

from collections.abc import Sequence

from nesting.plates.problem import RectItem, SheetKind


def apart(kind: SheetKind) -> int:
    """Least distance of any two pieces: between neighbouring blanks lie only a cut and two margins."""
    steps = [
        b.x + kind.near[0] - (a.x + a.width - kind.far[0])
        for a in kind.blanks
        for b in kind.blanks
        if b.x >= a.x + a.width
    ]
    steps += [
        b.y + kind.near[1] - (a.y + a.height - kind.far[1])
        for a in kind.blanks
        for b in kind.blanks
        if b.y >= a.y + a.height
    ]
    return min([kind.between, *steps])


def room_area(kind: SheetKind, between: int) -> int:
    """Area of the sheet less its margins, enlarged by `between` (at most `apart` of the kind); or of its blanks.

    Where they lie does not count: so it holds for any way to part the sheet into blanks no larger.
    """
    wide, high = (near + far - between for near, far in zip(kind.near, kind.far, strict=True))
    whole = max(0, kind.width - wide) * max(0, kind.height - high)
    parted = sum(max(0, b.width - wide) * max(0, b.height - high) for b in kind.blanks)
    return min(whole, parted) if kind.blanks else whole


def item_area(item: RectItem, between: int) -> int:
    """Area of a piece enlarged by `between`."""
    return (item.width + between) * (item.height + between)


def most_worth(room: int, areas: Sequence[int], prices: Sequence[int], numbers: Sequence[int]) -> int:
    """The most that pieces can be worth whose areas add up to no more than a room.

    Parameters
    ----------
    areas, prices, numbers
        Of each item: area and price of a piece, and how many there are at the most.

    An upper bound in exact arithmetic, and the best possible one if pieces could be cut in fractions: for any price
    L per area the worth is at most L x room + sum(numbers x max(0, price - L x area)). L is the density of the item at
    which the room is full (Dantzig 1957).
    """
    ranked = sorted((j for j, p in enumerate(prices) if p > 0), key=lambda j: -prices[j] / areas[j])
    left = room
    for j in ranked:
        left -= areas[j] * numbers[j]
        if left <= 0:
            over = sum(numbers[i] * max(0, prices[i] * areas[j] - prices[j] * areas[i]) for i in ranked)
            return -(-(prices[j] * room + over) // areas[j])
    return sum(prices[j] * numbers[j] for j in ranked)

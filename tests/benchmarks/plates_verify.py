"""Whether layouts of rectangles are sound: arithmetic of its own, nothing of the solver."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

Lying = tuple[int, int, int, int, int]
"""Item, x, y, width, height."""


def wrongs(
    size: tuple[int, int],
    items: Sequence[tuple[int, int]],
    pieces: Sequence[Lying],
    turn: bool,
    straight: bool,
) -> list[str]:
    """What is wrong with one sheet; empty if nothing is.

    Parameters
    ----------
    size, items
        Width and height, of the sheet and of each item.
    turn, straight
        Whether pieces may lie turned by a quarter; whether cuts from edge to edge must free them.
    """
    found = []
    for item, x, y, w, h in pieces:
        if (w, h) != items[item] and not (turn and (h, w) == items[item]):
            found.append(f"item {item} lies as {w} x {h}")
        if x < 0 or y < 0 or x + w > size[0] or y + h > size[1]:
            found.append(f"item {item} at {x}, {y} leaves the sheet")
    for n, (a, x, y, w, h) in enumerate(pieces):
        for b, u, v, p, q in pieces[:n]:
            if x < u + p and u < x + w and y < v + q and v < y + h:
                found.append(f"items {a} and {b} overlap at {x}, {y}")
    if straight and not is_straight([p[1:] for p in pieces]):
        found.append("no straight cuts free the pieces")
    return found


def is_straight(rectangles: Sequence[tuple[int, int, int, int]]) -> bool:
    """Whether cuts from edge to edge free every rectangle; any order of possible cuts will do."""
    if len(rectangles) < 2:
        return True
    for axis in (0, 1):
        end = None
        for n, r in enumerate(ordered := sorted(rectangles, key=lambda r: r[axis])):
            if end is not None and r[axis] >= end:
                return is_straight(ordered[:n]) and is_straight(ordered[n:])
            end = max(end or 0, r[axis] + r[axis + 2])
    return False


def miscounted(made: Counter[int], items: Sequence[tuple[int, int, int]]) -> list[str]:
    """Which items are not made as often as asked; items are width, height, demand."""
    return [
        f"item {i} is made {made[i]} times, not {demand}"
        for i, (_, _, demand) in enumerate(items)
        if made[i] != demand
    ]

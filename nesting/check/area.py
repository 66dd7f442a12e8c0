"""The checker's pricing of sheets: the most that parts on one sheet can be worth, by area.

Pieces are at least some distance apart along one axis. Enlarge each by that distance, and the room for them as
well: then they do not overlap, and their areas add up to no more than that of the room.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nesting.check.ways import Size, Source, Way, width_of


@dataclass(frozen=True, slots=True)
class Slab:
    """A part as a sheet sees it: its sides as it lies (ticks), its price, and how many are asked for."""

    sides: Size
    value: int
    copies: int


def most_worth(slabs: Sequence[Slab], source: Source, way: Way, blanks: int | None = None) -> int:
    """What parts on one sheet can be worth at the most, in certificate units; an upper bound, by area alone.

    Of parts alike in area and price no more are counted than there is room for in whole pieces. There is one at least.

    Parameters
    ----------
    blanks
        Into how many it is parted; None: into any number.
    """
    bounds = []
    for room, apart in (*_rooms(source, way), *(() if blanks is None else (_blanks_room(way, blanks),))):
        alike: Counter[tuple[int, int]] = Counter()
        for s in slabs:
            alike[(s.sides[0] + apart) * (s.sides[1] + apart), s.value] += s.copies
        areas, values = zip(*alike, strict=True)
        copies = [min(number, room // area) for (area, _), number in alike.items()]
        bounds.append(_in_fractions(room, areas, values, copies))
    return min(bounds)


def _rooms(source: Source, way: Way) -> Iterator[Size]:
    """(area of a room that no way to part the sheet exceeds, distance by which it and the pieces are enlarged).

    The sheet as a whole always is one. If it must be parted, two more are known, as every blank loses its edges:

    - By shares. Each blank enlarged by a kerf takes so much of the sheet enlarged by one, and the share of that
      which is room for pieces grows with the blank: it is greatest where the blank is as large as the bed.
    - By axes. Along one axis blanks side by side have no more room than `_along`, and the product of what holds
      along x and along y holds for rectangles (Fekete and Schepers 2004, on conservative scales; from memory).
    """
    sheet = (source.length, width_of(source))
    margin = 2 * way.edge
    taken = (way.trims[0] + way.trims[2] + margin, way.trims[1] + way.trims[3] + margin)
    yield _product(sheet, -taken[0] + way.apart, -taken[1] + way.apart), way.apart
    gain = way.between - margin
    if way.is_parted and gain < way.kerf:
        whole = _product(sheet, way.kerf, way.kerf)
        shares = (whole * _product(b, gain, gain) // _product(b, way.kerf, way.kerf) for b in way.beds)
        along = [
            _along(s, max(beds), way.kerf, gain)
            for s, beds in zip(sheet, zip(*way.beds, strict=True), strict=True)
        ]
        yield min(max(shares), along[0] * along[1]), way.between


def _blanks_room(way: Way, number: int) -> Size:
    """(area, distance) as of `_rooms`: so many blanks of the largest size; one alone knows no neighbour."""
    apart = way.between if number == 1 else way.apart
    more = apart - 2 * way.edge
    return number * max(_product(bed, more, more) for bed in way.beds), apart


def fewest_blanks(source: Source, way: Way) -> int:
    """From how many blanks on their number tells no more about the room than the sheet does."""
    whole, _ = next(_rooms(source, way))
    one, _ = _blanks_room(way, 2)
    return max(1, -(-2 * whole // one)) if one else 1


def _along(total: int, most: int, kerf: int, gain: int) -> int:
    """The most that sum(blank + gain) can be of blanks a kerf apart in a length, none longer than `most`.

    With the fewest blanks that use all of it, or with one less, each as long as can be; `gain` is below the kerf.
    """
    fewest = -(-(total + kerf) // (most + kerf))
    return max(total + kerf - fewest * (kerf - gain), (fewest - 1) * (most + gain))


def _product(sides: Size, more_x: int, more_y: int) -> int:
    return max(0, sides[0] + more_x) * max(0, sides[1] + more_y)


def _in_fractions(room: int, areas: Sequence[int], values: Sequence[int], copies: Sequence[int]) -> int:
    """The most worth that has room if pieces could be cut in fractions, rounded down.

    For any price L of area, what the pieces are worth is at most L x room + sum(copies x what a piece is worth above
    L x its area). The least of these is at the density of the piece at which the room is full (Dantzig 1957, from
    memory); being true for any L, it holds however the densities are ordered.
    """
    ranked = sorted((n for n, v in enumerate(values) if v > 0), key=lambda n: -values[n] / areas[n])
    left = room
    for last in ranked:
        left -= copies[last] * areas[last]
        if left <= 0:
            value, area = values[last], areas[last]
            above = sum(copies[n] * max(0, values[n] * area - value * areas[n]) for n in ranked)
            return (value * room + above) // area
    return sum(copies[n] * values[n] for n in ranked)

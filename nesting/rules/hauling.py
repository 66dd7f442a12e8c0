"""Sticks that are longer than can be carried home: how the yard may part them, and what the segments yield on a saw.

A yard that is picked up from with a haul limit parts each longer stick by its own saw, into *segments*. A segment with
parts is carried home; one without may stay at the yard, whatever its length. All segments of a stick go to one saw.
"""

from __future__ import annotations

from dataclasses import dataclass

from nesting.job import Job, Saw, Shop
from nesting.rules.stick_ways import cut_width, tail_of, usable_length
from stock.offer import Offer, Yard
from stock.rack import RackPiece


@dataclass(frozen=True, slots=True)
class Parted:
    """One way to have a stick parted, as one saw of the shop sees it.

    Parameters
    ----------
    yard
        That parts it.
    clean_ends
        Of each segment, in order along the stick, how many of its ends need no trim.
    left
        Which segment stays at the yard, however long; None: all may be carried home.
    caps
        Of each segment that may be carried home, in order, ticks for sum(extent + kerf) if it is as long as allowed.
    tails
        Of each of these the ticks that are left behind its pieces at the least, below zero where the last kerf may be
        missing.
    capacity
        Ticks for sum(extent + kerf) of all of them together.
    """

    yard: Yard
    clean_ends: tuple[int, ...]
    left: int | None
    caps: tuple[int, ...]
    tails: tuple[int, ...]
    capacity: int

    @property
    def cuts(self) -> int:
        """Cuts that the yard makes."""
        return len(self.clean_ends) - 1

    @property
    def rest(self) -> int:
        """Ticks of what is left of the segments with pieces if nothing is cut from them, all together at the most."""
        if len(self.tails) == 1:
            return self.capacity + self.tails[0]
        return self.capacity + sum(max(0, tail) for tail in self.tails)

    @property
    def carried(self) -> tuple[int, ...]:
        """Numbers of the segments that may be carried home, from 0."""
        return tuple(n for n in range(len(self.clean_ends)) if n != self.left)


def haul_limit(job: Job, offer: Offer) -> int | None:
    """Ticks of the longest piece of an offer that can be carried home; None: its yard delivers, or any length."""
    yard = _yard(job, offer)
    return None if yard is None or yard.delivery is not None else yard.haul_limit


def is_too_long(job: Job, source: Offer | RackPiece) -> bool:
    """Whether a stick cannot be carried home as it is sold; material cut to length can be had shorter.

    A sheet is never parted by the yard: see `is_too_large`.
    """
    if not isinstance(source, Offer) or source.cut_to_length is not None or source.width is not None:
        return False
    limit = haul_limit(job, source)
    return limit is not None and source.length > limit


def is_too_large(job: Job, source: Offer | RackPiece) -> bool:
    """Whether a sheet has a side longer than can be carried home, so that nothing is cut from it."""
    if not isinstance(source, Offer) or source.width is None:
        return False
    limit = haul_limit(job, source)
    return limit is not None and max(source.length, source.width) > limit


def is_unwieldy(shop: Shop, source: Offer | RackPiece) -> bool:
    """Whether a sheet is larger or heavier than the shop takes in, so that it is not bought; the rack is there."""
    if not isinstance(source, Offer) or source.width is None:
        return False
    long, short = max(source.length, source.width), min(source.length, source.width)
    most = shop.largest_sheet
    is_large = most is not None and (long > max(most) or short > min(most))
    weight = source.material.weight_kg(source.length, source.width)
    return is_large or (shop.heaviest_sheet is not None and weight > shop.heaviest_sheet)


def longest_had(job: Job, source: Offer | RackPiece) -> int:
    """Ticks of the longest stick that comes home from a source, whole, parted or cut to length."""
    limit = haul_limit(job, source) if isinstance(source, Offer) else None
    return source.length if limit is None else min(source.length, limit)


def most_segments(length: int, limit: int, kerf: int) -> int:
    """The most segments that a stick is parted into: no two of them could be carried home as one.

    If any two segments, with the cut between them, are longer than the limit, then m of them and their m - 1 cuts are
    longer than m (limit + kerf) / 2 - kerf.
    """
    return max(fewest_segments(length, limit, kerf), -(-2 * (length + kerf) // (limit + kerf)) - 1)


def fewest_segments(length: int, limit: int, kerf: int) -> int:
    """The fewest segments of which none is longer than the limit."""
    return -(-(length + kerf) // (limit + kerf))


def parted_ways(job: Job, offer: Offer, saw: Saw) -> tuple[Parted, ...]:
    """Every way worth considering to have a stick parted that is too long to carry, fewest cuts first.

    None if the yard makes no cuts. A way that another one beats in cuts, in room and in every segment is left out.
    """
    yard, limit = _yard(job, offer), haul_limit(job, offer)
    if yard is None or limit is None or yard.cut_charge is None:
        return ()
    fewest = fewest_segments(offer.length, limit, yard.cut_kerf)
    most = most_segments(offer.length, limit, yard.cut_kerf)
    ways = [_way(job, offer, yard, saw, n, True) for n in range(2, fewest + 1)]
    ways += [_way(job, offer, yard, saw, n, False) for n in range(fewest, most + 1)]
    useful = [w for w in ways if w.capacity > cut_width(job, saw)]
    kept = [
        w
        for n, w in enumerate(useful)
        if not any(_beats(o, w, k < n) for k, o in enumerate(useful) if k != n)
    ]
    return tuple(sorted(kept, key=lambda w: w.cuts))


def longest_from(job: Job, source: Offer | RackPiece, saw: Saw) -> int:
    """Ticks of the longest single piece that a source yields on a saw; zero or less if it yields none."""
    if is_too_long(job, source):
        assert isinstance(source, Offer)
        return max((cap for way in parted_ways(job, source, saw) for cap in way.caps), default=0) - cut_width(
            job, saw
        )
    return usable_length(job, longest_had(job, source), source.clean_ends, saw) - cut_width(job, saw)


def room_from(job: Job, source: Offer | RackPiece, saw: Saw) -> int:
    """Ticks for sum(extent + kerf) in one stick of a source on a saw, at the most."""
    if is_too_long(job, source):
        assert isinstance(source, Offer)
        return max((way.capacity for way in parted_ways(job, source, saw)), default=0)
    return usable_length(job, longest_had(job, source), source.clean_ends, saw)


def needed(job: Job, yard: Yard, clean_ends: int, saw: Saw, used: int) -> int:
    """Nominal ticks of a segment that holds pieces of `used` = sum(extent + kerf) ticks."""
    return used - usable_length(job, 0, clean_ends, saw) + yard.cut_tolerance


def _way(job: Job, offer: Offer, yard: Yard, saw: Saw, segments: int, one_stays: bool) -> Parted:
    assert yard.haul_limit is not None
    clean = tuple(
        (n == 0 and offer.clean_ends >= 1) + (n == segments - 1 and offer.clean_ends == 2)
        for n in range(segments)
    )
    # what stays should not take a clean end with it, if it can be helped
    left = min(range(segments - 1, -1, -1), key=lambda n: clean[n]) if one_stays else None
    carried = [clean[n] for n in range(segments) if n != left]
    ends = [usable_length(job, -yard.cut_tolerance, c, saw) for c in carried]
    nominal = offer.length - (segments - 1) * yard.cut_kerf - (1 if one_stays else 0)
    caps = tuple(yard.haul_limit + e for e in ends)
    tails = tuple(tail_of(job, c, saw) for c in carried)
    return Parted(yard, clean, left, caps, tails, min(sum(caps), nominal + sum(ends)))


def _beats(one: Parted, other: Parted, is_first: bool) -> bool:
    """Whether a way does all that another does, with no more cuts; of two alike the first."""
    mine, theirs = sorted(one.caps, reverse=True), sorted(other.caps, reverse=True)
    covers = len(mine) >= len(theirs) and all(m >= t for m, t in zip(mine, theirs, strict=False))
    if not covers or one.cuts > other.cuts or one.capacity < other.capacity:
        return False
    return is_first or (one.cuts, one.capacity, mine) != (other.cuts, other.capacity, theirs)


def _yard(job: Job, offer: Offer) -> Yard | None:
    return next((yard for yard in job.yards if yard.name == offer.yard), None)

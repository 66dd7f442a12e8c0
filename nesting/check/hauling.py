"""What can be carried home from a yard that is picked up from, and the cuts that the yard makes for it.

A stick longer than the haul limit is parted by the yard. Its segments and the kerfs between them make up the stick; a
segment counts as its nominal length less the yard's tolerance, once; what is carried home is at most the haul limit. No
stick is parted into more segments than would be needed if any two of them were too long to be carried as one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from nesting.check import say
from nesting.check.supply import Supply, cut_alike, ends
from nesting.job import Saw
from nesting.plan import GroupPlan, Layout, Parting, Plan
from stock.money import Cost, to_cost
from stock.offer import Offer, Yard


@dataclass(frozen=True, slots=True)
class Room:
    """What a stick has room for, if the yard makes so many cuts.

    Parameters
    ----------
    capacity
        Ticks for sum(extent + kerf) of all pieces.
    segments
        Of each segment that is carried home, the same for its pieces; one for a stick that comes home whole.
    charge
        Cost of the cuts, ten-thousandths of money.
    rest
        Ticks behind the heads of all these segments together, at the most: what is left if nothing is cut.
    """

    capacity: int
    segments: tuple[int, ...]
    charge: Cost
    rest: int


def haul_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say what cannot be carried home, and which yard cuts are not as they should be."""
    for group in plan.groups:
        for breach in _Hauled(group, supply).breaches():
            yield f"group {group.name}: {breach}"


def parted_rooms(offer: Offer, yard: Yard, saw: Saw, cut: int) -> list[Room]:
    """Rooms of a stick that must be parted, for every number of cuts the rule allows; none if the yard makes none.

    Parameters
    ----------
    cut
        Ticks planned for one cut of the saw.

    Of m segments all are carried home; or, where as many without the last cut are too long for that, all but one. More
    that stay would be one with fewer cuts. What is carried is no longer than so many haul limits, nor than the stick
    less the kerfs; each segment loses the tolerance and the trim of its ends, of which only the stick's own are clean.

    Each of them holds parts, for what holds none is not carried. So of what is carried the tolerances and heads are no
    rest; where the last kerf of a segment may be missing, another one's rest may be longer by as much.
    """
    if yard.cut_charge is None or yard.haul_limit is None:
        return []
    ends_of = [ends(clean, saw, cut) for clean in (0, 1)]
    lost = [yard.cut_tolerance + due.head + due.tail for due in ends_of]
    tails = [due.tail for due in ends_of]
    rooms = []
    for segments in range(2, most_segments(offer.length, yard) + 1):
        whole = offer.length - (segments - 1) * yard.cut_kerf
        for carried in (segments - 1, segments):
            uncut = whole + yard.cut_kerf if carried < segments else whole
            if (carried * yard.haul_limit < uncut) != (carried < segments):
                continue
            clean = min(offer.clean_ends, carried)
            losses = [lost[1]] * clean + [lost[0]] * (carried - clean)
            room = min(carried * yard.haul_limit, whole) - sum(losses)
            caps = tuple(yard.haul_limit - loss for loss in losses)
            behind = [tails[1]] * clean + [tails[0]] * (carried - clean)
            rest = room + (behind[0] if carried == 1 else sum(max(0, tail) for tail in behind))
            rooms.append(Room(room, caps, (segments - 1) * to_cost(yard.cut_charge), rest))
    return rooms


def most_segments(length: int, yard: Yard) -> int:
    """The greatest number of segments: m of them, any two with their cut longer than the haul limit, fill a stick.

    Every pair adds up to more than limit - kerf, so that m segments are longer than m (limit - kerf) / 2; with their
    m - 1 cuts they are no longer than the stick. Never fewer than what it takes to keep each within the limit.
    """
    assert yard.haul_limit is not None
    per = Fraction(length + yard.cut_kerf, yard.haul_limit + yard.cut_kerf)
    return max((2 * per).__ceil__() - 1, per.__ceil__())


def clean_ends_of(layout: Layout, group: GroupPlan, offered: int) -> int:
    """How many ends of a stick or of a segment need no trim: a cut of the yard is not clean.

    Of a stick with one clean end, that end is at the first segment.
    """
    if layout.segment is None:
        return offered
    parting, number = layout.segment
    if not 0 <= parting < len(group.partings):
        return 0
    last = len(group.partings[parting].segments) - 1
    if last == 0:
        return offered
    return (number == 0 and offered >= 1) + (number == last and offered == 2)


class _Hauled:
    def __init__(self, group: GroupPlan, supply: Supply) -> None:
        self.group, self.supply, self.shop = group, supply, supply.job.shop

    def breaches(self) -> Iterator[str]:
        for number, parting in enumerate(self.group.partings, start=1):
            for breach in self._parting(number - 1, parting):
                yield f"yard cut {number} ({parting.offer}): {breach}"
        yield from self._strays()
        yield from self._whole()

    def _ticks(self, length: int) -> str:
        return say.ticks(self.shop, length)

    def _parting(self, number: int, parting: Parting) -> Iterator[str]:
        offer = self.supply.offers.get(parting.offer)
        yard = None if offer is None else self.supply.hauled.get(offer.yard)
        if offer is None:
            yield "no offer of the job has this name"
        elif yard is None or not self.supply.is_too_long(offer):
            yield "it is parted, but can come home whole"
        elif len(parting.segments) != len(parting.taken) or not parting.segments:
            yield f"{len(parting.segments)} segments, of {len(parting.taken)} is said whether they are carried home"
        else:
            yield from self._lengths(parting, offer, yard)
            yield from self._count(parting, offer, yard)
            yield from self._layouts(number, parting, yard)

    def _lengths(self, parting: Parting, offer: Offer, yard: Yard) -> Iterator[str]:
        limit = yard.haul_limit or 0
        if parting.length != offer.length:
            yield f"length of the stick is {self._ticks(parting.length)}, due is {self._ticks(offer.length)}"
        whole = sum(parting.segments) + (len(parting.segments) - 1) * yard.cut_kerf
        if whole != offer.length:
            yield f"segments and kerfs make {self._ticks(whole)}, due is {self._ticks(offer.length)}"
        for place, (segment, is_taken) in enumerate(
            zip(parting.segments, parting.taken, strict=True), start=1
        ):
            if segment <= 0:
                yield f"segment {place} is {self._ticks(segment)}, due is above zero"
            if is_taken and segment > limit:
                yield f"segment {place} is {self._ticks(segment)}, {self._ticks(limit)} at most can be carried home"

    def _count(self, parting: Parting, offer: Offer, yard: Yard) -> Iterator[str]:
        cuts, most = len(parting.segments) - 1, most_segments(offer.length, yard)
        if parting.times < 1:
            yield f"times is {parting.times}, due is 1 or more"
        if cuts and yard.cut_charge is None:
            yield f"yard {yard.name} makes no cuts"
        if cuts >= most:
            yield f"it is parted into {cuts + 1}, due is {most} at most"
        due = Fraction(yard.cut_charge or 0) * cuts
        if Fraction(parting.charge) != due:
            yield f"charge is {parting.charge}, due is {float(due):.2f}"

    def _layouts(self, number: int, parting: Parting, yard: Yard) -> Iterator[str]:
        """Each segment carried home is one layout, as often as the stick; together they hold parts, on one saw."""
        found: dict[int, list[Layout]] = {}
        for layout in self.group.layouts:
            if layout.segment is not None and layout.segment[0] == number:
                found.setdefault(layout.segment[1], []).append(layout)
        for place, is_taken in enumerate(parting.taken):
            layouts = found.get(place, [])
            if len(layouts) != is_taken:
                yield f"segment {place + 1} has {len(layouts)} layouts, due is {int(is_taken)}"
            for layout in layouts:
                yield from self._segment(place, layout, parting, yard)
        cut = [layout for layouts in found.values() for layout in layouts if layout.pieces]
        saws = {layout.saw for layout in cut}
        if len(saws) > 1:
            yield f"its segments go to {len(saws)} saws ({', '.join(sorted(saws))}), due is one"
        if not cut and (self.supply.offers[parting.offer].from_qty <= 1 or len(parting.segments) > 1):
            yield "nothing is cut from it, and no quantity break asks for it to stay at the yard whole"

    def _segment(self, place: int, layout: Layout, parting: Parting, yard: Yard) -> Iterator[str]:
        what = f"segment {place + 1}"
        if (layout.source_kind, layout.source) != ("offer", parting.offer):
            yield f"{what} is cut from {layout.source}, due is {parting.offer}"
        if layout.times != parting.times:
            yield f"{what} is cut {layout.times} times, due is {parting.times}"
        due = parting.segments[place] - yard.cut_tolerance
        if layout.length != due:
            yield f"{what} counts as {self._ticks(layout.length)}, due is {self._ticks(due)} (less the tolerance)"

    def _strays(self) -> Iterator[str]:
        """Layouts of segments that no parting has."""
        sizes = Counter({n: len(p.segments) for n, p in enumerate(self.group.partings)})
        for number, layout in enumerate(self.group.layouts, start=1):
            if layout.segment is not None and not 0 <= layout.segment[1] < sizes[layout.segment[0]]:
                yield f"layout {number} ({layout.source}) is a segment of no yard cut of the plan"

    def _whole(self) -> Iterator[str]:
        """Bars and sheets that cannot be carried home as they are; of a sheet both sides count."""
        for layout in cut_alike(self.group):
            if isinstance(layout, Layout) and layout.segment is not None:
                continue
            offer = self.supply.offers.get(layout.source) if layout.source_kind == "offer" else None
            yard = None if offer is None else self.supply.hauled.get(offer.yard)
            if offer is None or yard is None or yard.haul_limit is None:
                continue
            longest = max(layout.length, offer.width or 0)
            if longest > yard.haul_limit:
                yield (
                    f"{layout.source} is {self._ticks(longest)} long, {self._ticks(yard.haul_limit)} at most"
                    f" can be carried home from {yard.name}"
                )

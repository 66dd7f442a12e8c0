"""From patterns back to layouts: which mark each piece is, where it lies, what is bought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from nesting.bars.problem import Pattern
from nesting.bars.solution import Solution, sticks_used
from nesting.job import Job, Part, Saw
from nesting.market.build import Built
from nesting.market.lay_sheets import Filled, sheet_layout, uncut_sheet
from nesting.market.mitred import ways_of
from nesting.market.segments import arranged, place_cuts, with_fewest_cuts
from nesting.market.supply import Alike, Kind
from nesting.plan import Layout, Parting, Piece, Purchase, SheetLayout
from nesting.rules.credit import credit_of
from nesting.rules.hauling import Parted, is_too_long, needed
from nesting.rules.sheet_ways import sawn_extents, width_of
from nesting.rules.stick_ways import cut_width
from nesting.rules.turns import SQUARE, Turn, ends_of, gap, on_bar
from stock.money import line_total
from stock.offer import Offer
from stock.rack import RackPiece

Pieces = tuple[Part, ...]
"""What one item of a pattern is: a piece of a part, or all pieces of a lot."""

Row = tuple[tuple[Part, int, Turn | None], ...]
"""The parts of one stick in cutting order, each with its extent along the stick and how it lies; None: laid square."""


@dataclass(frozen=True, slots=True)
class PartedStick:
    """A stick that the yard parts: how, and the parts of each segment in order; none where there are none."""

    offer: Offer
    saw: str
    way: Parted
    rows: tuple[Row, ...]


class Assembler:
    """Gives marks to the pieces of a solution, and its rack pieces to its layouts; sheets first, then sticks."""

    def __init__(self, job: Job, built: Built) -> None:
        self.job, self.built = job, built
        self._waiting = [_wanted(job, kind) for kind in built.kinds]
        self._rack = {s: list(o.pieces) for s, o in enumerate(built.origins) if isinstance(o, Alike)}
        self._saws = {s.name: s for s in job.saws}

    def sheets(self, filled: Sequence[Filled]) -> tuple[SheetLayout, ...]:
        """Layouts of sheets, those cut alike together; then those bought but not cut."""
        laid: dict[SheetLayout, int] = {}
        for sheet in filled:
            for held, n in marked(self._waiting, sheet.pattern, sheet.times):
                parts = tuple(part for item in held for part in item)
                for source, times in self._taken(sheet.kind.source, n):
                    layout = sheet_layout(self.job, sheet, source, parts)
                    laid[layout] = laid.get(layout, 0) + times
        return tuple(replace(layout, times=n) for layout, n in laid.items())

    def sticks(self, solution: Solution) -> tuple[tuple[Layout, ...], tuple[Parting, ...]]:
        """Layouts of sticks, those cut alike together, longest sticks and pieces first; what the yard parts first."""
        built = self.built
        parted: dict[PartedStick, int] = {}
        sticks: dict[tuple[str, int, str, Row], tuple[Offer | RackPiece, int]] = {}
        for pattern, times in sorted(solution.items(), key=lambda pair: _order(built, pair[0])):
            stock = built.problem.stocks[pattern.stock]
            for held, n in marked(self._waiting, pattern, times):
                way = built.parted[pattern.stock]
                if way is not None:
                    stick = self._parted(pattern, way, held)
                    parted[stick] = parted.get(stick, 0) + n
                    continue
                (row,) = self._rows(pattern, held)
                for source, k in self._taken(stock.source, n):
                    length = source.length
                    if isinstance(source, Offer) and source.cut_to_length is not None:
                        length = built.problem.taken(pattern) + stock.ends
                    key = (source.id, length, built.saws[pattern.stock], row)
                    sticks[key] = (source, sticks.get(key, (source, 0))[1] + k)
        segments, partings = self._segments(parted)
        whole = (
            _layout(self.job, source, length, self._saws[saw], row, n)
            for (_, length, saw, row), (source, n) in sticks.items()
        )
        return (*segments, *whole), partings

    def _parted(self, pattern: Pattern, way: Parted, held: tuple[Pieces, ...]) -> PartedStick:
        """A stick that the yard parts, each segment with its parts in cutting order."""
        offer = self.built.origins[self.built.problem.stocks[pattern.stock].source]
        assert isinstance(offer, Offer)
        rows = dict(zip(way.carried, self._rows(pattern, held), strict=True))
        return PartedStick(
            offer, self.built.saws[pattern.stock], way, tuple(rows.get(n, ()) for n in range(way.cuts + 1))
        )

    def _rows(self, pattern: Pattern, held: tuple[Pieces, ...]) -> tuple[Row, ...]:
        """What a stick holds, given in the order of its pattern, in cutting order; of each segment if it has some."""
        bar = self._one(pattern)
        waiting: dict[int, list[list[Part]]] = {}
        for item, pieces in zip((i for i, n in pattern.counts for _ in range(n)), held, strict=True):
            of_each = waiting.setdefault(item, [[] for _ in pieces])
            for same, part in zip(of_each, pieces, strict=True):
                same.append(on_bar(part, bar.material))

        def laid(item: int, piece: int, way: int | None) -> Row:
            parts = [same.pop(0) for same in (waiting[item] if way is None else [waiting[item][piece]])]
            turn = None if way is None else ways_of(parts[0])[way][1]
            return tuple((part, self._extent(pattern, part), turn) for part in parts)

        rows = arranged(self.built.problem, pattern)
        return tuple(_longest_first(tuple(p for lies in row for p in laid(*lies))) for row in rows)

    def _segments(self, parted: dict[PartedStick, int]) -> tuple[tuple[Layout, ...], tuple[Parting, ...]]:
        """The segments that are carried home, and where the yard cuts."""
        layouts: list[Layout] = []
        partings: list[Parting] = []
        for stick, times in parted.items():
            saw, yard = self._saws[stick.saw], stick.way.yard
            cut = cut_width(self.job, saw)
            needs = [
                needed(self.job, yard, clean, saw, _taken_by(row, cut)) if row else None
                for row, clean in zip(stick.rows, stick.way.clean_ends, strict=True)
            ]
            earning = self.built.earning[stick.offer.id]
            cuts = place_cuts(self.job, stick.offer.length, stick.way, needs, earning)
            for n, (length, is_taken) in enumerate(zip(cuts.segments, cuts.taken, strict=True)):
                if is_taken:
                    counts_as, clean = length - yard.cut_tolerance, stick.way.clean_ends[n]
                    layout = _layout(self.job, stick.offer, counts_as, saw, stick.rows[n], times, clean)
                    layouts.append(replace(layout, segment=(len(partings), n)))
            partings.append(
                Parting(
                    offer=stick.offer.id,
                    length=stick.offer.length,
                    segments=cuts.segments,
                    taken=cuts.taken,
                    charge=stick.way.cuts * (yard.cut_charge or Decimal(0)),
                    times=times,
                )
            )
        return tuple(layouts), tuple(partings)

    def _extent(self, pattern: Pattern, part: Part) -> int:
        """Ticks of a part along the stick of a pattern."""
        return sawn_extents(part, width_of(self._one(pattern)))[0] if part.is_plate else part.extent

    def _one(self, pattern: Pattern) -> Offer | RackPiece:
        """What a pattern is cut from; of rack pieces that are alike one."""
        origin = self.built.origins[self.built.problem.stocks[pattern.stock].source]
        return origin if isinstance(origin, Offer) else origin.pieces[0]

    def _taken(self, source: int, n: int) -> Iterator[tuple[Offer | RackPiece, int]]:
        """So many sticks of a source: an offer that many times, or rack pieces one by one."""
        origin = self.built.origins[source]
        if isinstance(origin, Offer):
            yield origin, n
        else:
            for _ in range(n):
                yield self._rack[source].pop(0), 1


def layouts_of(
    job: Job, built: Built, solution: Solution, filled: Sequence[Filled] = ()
) -> tuple[tuple[Layout, ...], tuple[SheetLayout, ...], tuple[Parting, ...]]:
    """Layouts of a solution: of its sticks, and of its sheets, filled as given; and what the yards part.

    Parameters
    ----------
    solution
        All of it.
    filled
        The sheets of it, if it has any.
    """
    sheets = {sheet.pattern for sheet in filled}
    assembler = Assembler(job, built)
    laid = assembler.sheets(filled)
    sawn = with_fewest_cuts(built, {p: n for p, n in solution.items() if p not in sheets})
    sticks, partings = assembler.sticks(sawn)
    spare = list(_uncut(job, built, solution))
    return (
        sticks + tuple(x for x in spare if isinstance(x, Layout)),
        laid + tuple(x for x in spare if isinstance(x, SheetLayout)),
        partings + tuple(x for x in spare if isinstance(x, Parting)),
    )


def purchases_of(
    job: Job, layouts: Sequence[Layout | SheetLayout], priced: bool, partings: Sequence[Parting] = ()
) -> tuple[Purchase, ...]:
    """What the layouts need bought, by offer and length, in the job's order; parted sticks are bought whole."""
    counts: Counter[tuple[str, int]] = Counter()
    for layout in layouts:
        is_segment = isinstance(layout, Layout) and layout.segment is not None
        if layout.source_kind == "offer" and not is_segment:
            counts[layout.source, layout.length] += layout.times
    for parting in partings:
        counts[parting.offer, parting.length] += parting.times
    lines = []
    for offer in job.offers:
        for (source, length), count in sorted(counts.items(), key=lambda pair: -pair[0][1]):
            if source != offer.id:
                continue
            asked = None if offer.cut_to_length is None else length
            price = offer.unit_price(asked) if priced else None
            lines.append(
                Purchase(
                    offer=offer.id,
                    length=length,
                    count=count,
                    unit_price=price,
                    total=None if price is None else line_total(count, price),
                    weight_kg=count * offer.material.weight_kg(length, offer.width),
                    width=offer.width,
                )
            )
    return tuple(lines)


def group_cost(
    job: Job,
    layouts: Sequence[Layout | SheetLayout],
    purchases: tuple[Purchase, ...],
    priced: bool,
    partings: Sequence[Parting] = (),
) -> Decimal:
    """The objective as it is printed: lines to the cent, yard cuts and rack values, less credits; or kilograms."""
    if priced:
        charges = sum((p.times * p.charge for p in partings), Decimal(0))
        values = {r.id: r.value for r in job.rack}
        used = sum((values[x.source] for x in layouts if x.source_kind == "rack"), Decimal(0))
        earned = credit_of(x for x in layouts if isinstance(x, Layout))
        handled = sum(x.times * x.handled for x in layouts if isinstance(x, SheetLayout))
        paid = sum((p.total for p in purchases if p.total is not None), Decimal(0))
        return paid + charges + used + handled * job.shop.blank_cost - earned
    offers = {o.id: o for o in job.offers}
    return sum(
        (
            p.count * offers[p.offer].unit_weight(None if offers[p.offer].cut_to_length is None else p.length)
            for p in purchases
        ),
        Decimal(0),
    )


def _order(built: Built, pattern: Pattern) -> tuple[int, int, tuple[tuple[int, int], ...]]:
    stock = built.problem.stocks[pattern.stock]
    return stock.source, -built.problem.used(pattern), pattern.counts


@dataclass(slots=True)
class _Wanted:
    """Copies of a part that no stick holds yet, or of a lot."""

    pieces: Pieces
    left: int


def _wanted(job: Job, kind: Kind) -> list[_Wanted]:
    if kind.lot is not None:
        return [_Wanted(kind.lot.pieces, kind.lot.count)]
    return [_Wanted((part,), job.copies(part)) for part in kind.parts]


def marked(
    waiting: list[list[_Wanted]], pattern: Pattern, times: int
) -> Iterator[tuple[tuple[Pieces, ...], int]]:
    """Give marks to the pieces of sticks or sheets cut alike, as many at a time as take the same marks.

    Yields what each item is, in the order of the pattern's items, and how many sticks hold that.
    """
    while times:
        taken: list[tuple[_Wanted, int]] = []
        for item, k in pattern.counts:
            room = k
            for wanted in waiting[item]:
                take = min(room, wanted.left)
                if take:
                    taken.append((wanted, take))
                    room -= take
        alike = min([times, *(wanted.left // take for wanted, take in taken)])
        for wanted, take in taken:
            wanted.left -= alike * take
        yield tuple(wanted.pieces for wanted, take in taken for _ in range(take)), alike
        times -= alike


def _longest_first(row: Row) -> Row:
    """A row that is laid square, its longest pieces first, as those of a lot stand together; others as they are."""
    is_square = all(turn is None for _, _, turn in row)
    return tuple(sorted(row, key=lambda piece: -piece[1])) if is_square else row


def _starts(row: Row, cut: int) -> Iterator[int]:
    """Ticks from the first point of a row to the first point of each of its pieces."""
    at, facing = 0, None
    for part, extent, turn in row:
        first, last = (SQUARE, SQUARE) if turn is None else ends_of(part, turn)
        if facing is not None:
            at += gap(facing, first, cut)
        yield at
        at += extent
        facing = last


def _taken_by(row: Row, cut: int) -> int:
    """Ticks of a row and the cut behind its last point."""
    starts = list(_starts(row, cut))
    return starts[-1] + row[-1][1] + cut if row else 0


def _layout(
    job: Job,
    source: Offer | RackPiece,
    length: int,
    saw: Saw,
    row: Row,
    times: int,
    clean_ends: int | None = None,
) -> Layout:
    """A stick cut to a row; of a segment its own clean ends are given. What has no parts stays as it is."""
    clean = source.clean_ends if clean_ends is None else clean_ends
    head = 0 if clean >= 1 or not row else saw.trim
    cut = cut_width(job, saw)
    pieces = []
    for (part, extent, turn), at in zip(row, _starts(row, cut), strict=True):
        first, roll = turn or Turn()
        pieces.append(Piece(mark=part.mark, start=head + at, extent=extent, first=first, roll=roll))
    at = head + _taken_by(row, cut)
    rest = max(0, length - at)
    return Layout(
        source_kind="offer" if isinstance(source, Offer) else "rack",
        source=source.id,
        length=length,
        saw=saw.name,
        times=times,
        head=head,
        pieces=tuple(pieces),
        rest=rest,
        keep=rest > 0 and rest >= job.shop.keep_length,
    )


def _uncut(job: Job, built: Built, solution: Solution) -> Iterator[Layout | SheetLayout | Parting]:
    """What a quantity break makes cheaper to buy than to leave, and that nothing is cut from.

    A stick too long to be carried home stays at the yard as it is.
    """
    used = sticks_used(built.problem, solution)
    for s, offer in built.prepaid.items():
        left = (built.problem.sources[s].limit or 0) - used[s]
        if left > 0 and offer.width is not None:
            yield uncut_sheet(offer, built.ways, left)
        elif left > 0 and is_too_long(job, offer):
            yield Parting(
                offer=offer.id,
                length=offer.length,
                segments=(offer.length,),
                taken=(False,),
                charge=Decimal(0),
                times=left,
            )
        elif left > 0:
            yield Layout(
                source_kind="offer",
                source=offer.id,
                length=offer.length,
                saw=built.saws[0],
                times=left,
                head=0,
                pieces=(),
                rest=offer.length,
                keep=True,
            )

"""From filled sheets to their layouts: the last one packed close, cuts in order, what is worth keeping."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from nesting.bars.problem import Pattern
from nesting.job import Job, Part
from nesting.joint.problem import JointProblem
from nesting.market.build_blanks import rect_of, region_of
from nesting.plan import Placed, Rect, SheetLayout, StraightCut
from nesting.plates.cuts import straight_cuts
from nesting.plates.free import offcuts_of
from nesting.plates.last import finish
from nesting.plates.problem import Cutting, Layout, Region, SheetKind
from nesting.plates.problem import Placed as Piece
from nesting.rules.sheet_ways import SheetWay, Source, width_of
from stock.offer import Offer


@dataclass(frozen=True, slots=True)
class Filled:
    """Sheets cut alike, not yet marked.

    Parameters
    ----------
    pattern
        How many of each item one holds.
    layout
        Where its pieces lie, by rectangles.
    items
        Item of each of these pieces.
    """

    pattern: Pattern
    times: int
    kind: SheetKind
    way: SheetWay
    layout: Layout
    items: tuple[int, ...]


def fill_sheets(
    problem: JointProblem,
    ways: tuple[SheetWay, ...],
    solution: Mapping[Pattern, int],
    layouts: Mapping[Pattern, Layout],
    seed: int,
) -> list[Filled]:
    """The sheets of a solution, packed so that what is left of the emptiest one is of use; fullest first."""
    flat = [layouts[p] for p, n in sorted(solution.items()) if p in layouts for _ in range(n)]
    laid = Counter(finish(problem.sheets, flat, seed))
    first = len(problem.sticks.stocks)
    filled = []
    for layout, times in laid.items():
        items = tuple(problem.rect_items[p.item] for p in layout.pieces)
        pattern = Pattern(first + layout.kind, tuple(sorted(Counter(items).items())))
        kind = problem.sheets.kinds[layout.kind]
        filled.append(Filled(pattern, times, kind, ways[layout.kind], layout, items))
    return sorted(filled, key=lambda f: (f.pattern.stock, -_area(f.layout), f.layout))


def sheet_layout(job: Job, sheet: Filled, source: Source, parts: tuple[Part, ...]) -> SheetLayout:
    """The layout of one sheet.

    Parameters
    ----------
    parts
        Of its pieces, in the order of the items of the pattern.
    """
    waiting: dict[int, list[Part]] = {}
    at = 0
    for item, n in sheet.pattern.counts:
        waiting[item] = list(parts[at : at + n])
        at += n
    pieces = tuple(
        Placed(
            mark=part.mark,
            place=Rect(piece.x, piece.y, piece.width, piece.height),
            turned=_is_turned(part, piece),
        )
        for piece, item in zip(sheet.layout.pieces, sheet.items, strict=True)
        for part in [waiting[item].pop(0)]
    )
    way = used_only(sheet.way, pieces)
    kind = replace(sheet.kind, blanks=tuple(region_of(b) for b in way.blanks))
    is_straight = sheet.kind.cutting is Cutting.GUILLOTINE
    least = job.shop.keep_length, min(job.shop.keep_width, width_of(source))
    return SheetLayout(
        source_kind="offer" if isinstance(source, Offer) else "rack",
        source=source.id,
        length=source.length,
        width=width_of(source),
        process=way.process,
        saw=way.saw,
        times=1,
        trims=(*way.near, *way.far) if is_straight else (0, 0, 0, 0),
        cuts=_cuts(sheet) if is_straight else way.cuts,
        blanks=way.blanks,
        pieces=pieces,
        offcuts=tuple(
            rect_of(r) for r in offcuts_of(kind, sheet.layout, least, beside_blanks(job, way, source))
        ),
    )


def used_only(way: SheetWay, pieces: Sequence[Placed]) -> SheetWay:
    """A way without blanks that hold no piece, and without cuts that are then of no use."""
    used = tuple(b for b in way.blanks if any(b.holds(p.place) for p in pieces))
    cuts = tuple(cut for cut in way.cuts if any(cut.region.holds(b) and cut.region != b for b in used))
    return replace(way, blanks=used, cuts=cuts)


def beside_blanks(job: Job, way: SheetWay, source: Source) -> tuple[Region, ...]:
    """What the cuts that part a sheet leave beside its blanks."""
    left = {Rect(0, 0, source.length, width_of(source))} if way.blanks else set[Rect]()
    for cut in way.cuts:
        left.discard(cut.region)
        left.update(
            rect for rect in sides_of(cut, job.shop.parting_kerf) if rect.length > 0 and rect.width > 0
        )
    return tuple(region_of(rect) for rect in sorted(left - set(way.blanks)))


def sides_of(cut: StraightCut, kerf: int) -> tuple[Rect, Rect]:
    """What a cut makes of its region: the nearer part, and the further one, which may be nothing or less."""
    r, beyond = cut.region, cut.stop + kerf
    if cut.axis == "across":
        return Rect(r.x, r.y, cut.stop, r.width), Rect(r.x + beyond, r.y, r.length - beyond, r.width)
    return Rect(r.x, r.y, r.length, cut.stop), Rect(r.x, r.y + beyond, r.length, r.width - beyond)


def _is_turned(part: Part, piece: Piece) -> bool:
    """Whether the length of a plate part lies across the sheet."""
    return part.is_plate and (piece.width, piece.height) != (part.length, part.width)


def uncut_sheet(offer: Offer, ways: tuple[SheetWay, ...], times: int) -> SheetLayout:
    """Sheets that are bought because more are cheaper, and stay whole."""
    return SheetLayout(
        source_kind="offer",
        source=offer.id,
        length=offer.length,
        width=width_of(offer),
        process=ways[0].process,
        saw=ways[0].saw,
        times=times,
        pieces=(),
        offcuts=(Rect(0, 0, offer.length, width_of(offer)),),
    )


def _cuts(sheet: Filled) -> tuple[StraightCut, ...]:
    return tuple(
        StraightCut(region=rect_of(cut.region), axis=cut.axis, stop=cut.stop)
        for cut in straight_cuts(sheet.kind, sheet.layout)
    )


def _area(layout: Layout) -> int:
    return sum(p.width * p.height for p in layout.pieces)

"""From filled sheets to their layouts: the last one packed close, cuts in order, what is worth keeping."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from nesting.bars.problem import Pattern
from nesting.job import Job, Part
from nesting.joint.problem import JointProblem
from nesting.market.build_sheets import rect_of
from nesting.plan import Placed, Rect, SheetLayout, StraightCut
from nesting.plates.cuts import straight_cuts
from nesting.plates.free import offcuts_of
from nesting.plates.last import finish
from nesting.plates.problem import Cutting, Layout, SheetKind
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
            mark=waiting[item].pop(0).mark,
            place=Rect(piece.x, piece.y, piece.width, piece.height),
            turned=piece.turned,
        )
        for piece, item in zip(sheet.layout.pieces, sheet.items, strict=True)
    )
    way = sheet.way
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
        offcuts=tuple(rect_of(r) for r in offcuts_of(sheet.kind, sheet.layout, least)),
    )


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

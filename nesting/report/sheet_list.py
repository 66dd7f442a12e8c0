"""The order in which sheets are cut, what lies on each blank, and the straight cuts step by step.

Sheets are numbered apart from sticks, 1, 2, 3 ... over the whole plan: those under the torch first, thin material
before thick, then those that saw or shear cut straight through, then those that stay whole. A flat bar that is cut in
two dimensions is a sheet here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.job import Job
from nesting.plan import Placed, Plan, Rect, SheetLayout, StraightCut
from nesting.report.order import Source, sources_by_id
from nesting.rules.stick_ways import cut_width
from stock.material import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet layout in its place in the cutting order.

    Parameters
    ----------
    first
        Number of the first of the sheets cut alike; they are numbered on from there.
    group
        Number of the group, from 1, in the order of the plan.
    source
        The offer or rack piece it is cut from.
    weight_kg
        Of one sheet, before cutting.
    """

    first: int
    group: int
    layout: SheetLayout
    source: Source
    weight_kg: float

    @property
    def run(self) -> tuple[int, int]:
        """First number and how many, as `words.number_words` takes them."""
        return self.first, self.layout.times

    @property
    def material(self) -> Material:
        """What it is made of."""
        return self.source.material

    @property
    def width(self) -> int:
        """Ticks across it."""
        return self.layout.width


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetList:
    """Every sheet of a plan, numbered in cutting order.

    Parameters
    ----------
    torch, straight
        Under the torch; by saw or shear.
    whole
        Sheets that are bought and not cut, numbered last.
    """

    torch: tuple[Sheet, ...]
    straight: tuple[Sheet, ...]
    whole: tuple[Sheet, ...]

    @property
    def cut(self) -> tuple[Sheet, ...]:
        """The sheets that are cut, in number order."""
        return self.torch + self.straight

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """All sheets, in number order."""
        return self.cut + self.whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """What lies under the torch at once.

    Parameters
    ----------
    number
        From 1 on each sheet.
    rect
        Where it lies on the sheet.
    pieces
        In the order in which they are cut: each time the nearest one left, from the datum corner on.
    """

    number: int
    rect: Rect
    pieces: tuple[Placed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutStep:
    """A straight cut and what it makes of its region.

    Parameters
    ----------
    number
        From 1 on each sheet.
    near, kerf, far
        What lies between stop and blade, what turns to dust, and what is left behind the cut; areas may be nothing.
    comes_off, stays
        What near and far are: the mark of a part, "blank 2", "strip" (to be cut on), "keep" or "scrap"; "" if it is
        nothing.
    """

    number: int
    cut: StraightCut
    near: Rect
    kerf: Rect
    far: Rect
    comes_off: str
    stays: str


def sheet_list(plan: Plan) -> SheetList:
    """The cutting order of the sheets of a plan.

    Parameters
    ----------
    plan
        A sound plan: every layout names a source of its job.

    Returns
    -------
    SheetList
        Sheets cut alike take as many numbers as there are.
    """
    sources = sources_by_id(plan.job)
    laid = [(number, layout) for number, group in enumerate(plan.groups, 1) for layout in group.sheets]

    def place(item: tuple[int, SheetLayout]) -> tuple[int, str, int, int, tuple[str, ...]]:
        number, layout = item
        material = sources[layout.source_kind, layout.source].material
        name = (material.designation, material.grade, material.finish)
        return _kind(layout), layout.process + layout.saw, material.thickness, number, name

    kinds: tuple[list[Sheet], ...] = ([], [], [])
    at = 1
    for number, layout in sorted(laid, key=place):
        source = sources[layout.source_kind, layout.source]
        kinds[_kind(layout)].append(
            Sheet(
                first=at,
                group=number,
                layout=layout,
                source=source,
                weight_kg=source.material.weight_kg(
                    layout.length, layout.width if source.material.is_plate else None
                ),
            )
        )
        at += layout.times
    torch, straight, whole = (tuple(sheets) for sheets in kinds)
    return SheetList(torch=torch, straight=straight, whole=whole)


def blanks_of(sheet: Sheet) -> tuple[Blank, ...]:
    """What a sheet is parted into, with the pieces of each blank; the whole sheet if it is not parted."""
    layout = sheet.layout
    rects = layout.blanks or (Rect(0, 0, layout.length, layout.width),)
    return tuple(
        Blank(
            number=number,
            rect=rect,
            pieces=_short_way([piece for piece in layout.pieces if holds(rect, piece.place)], rect),
        )
        for number, rect in enumerate(rects, 1)
    )


def kerf_of(sheet: Sheet, job: Job) -> int:
    """Ticks that a straight cut of a sheet takes away: those of its saw with the safety, those of the
    cuts that part it for the torch bed, none with a shear."""
    if sheet.layout.process == "torch":
        return job.shop.parting_kerf
    return next((cut_width(job, saw) for saw in job.saws if saw.name == sheet.layout.saw), 0)


def cut_steps(sheet: Sheet, job: Job) -> tuple[CutStep, ...]:
    """The straight cuts of a sheet in order, after its trims."""
    kerf, names = kerf_of(sheet, job), _names(sheet)
    steps = []
    for number, cut in enumerate(sheet.layout.cuts, 1):
        near, lost, far = parted(cut, kerf)
        stays = names.get(far, "scrap") if far.length and far.width else ""
        steps.append(
            CutStep(
                number=number,
                cut=cut,
                near=near,
                kerf=lost,
                far=far,
                comes_off=names.get(near, "scrap"),
                stays=stays,
            )
        )
    return tuple(steps)


def parted(cut: StraightCut, kerf: int) -> tuple[Rect, Rect, Rect]:
    """What a cut makes of its region: the nearer part, the kerf, and the further part, which may be nothing."""
    region, stop = cut.region, cut.stop
    if cut.axis == "across":
        lost = min(kerf, region.length - stop)
        rest = region.length - stop - lost
        return (
            Rect(region.x, region.y, stop, region.width),
            Rect(region.x + stop, region.y, lost, region.width),
            Rect(region.x + stop + lost, region.y, rest, region.width),
        )
    lost = min(kerf, region.width - stop)
    rest = region.width - stop - lost
    return (
        Rect(region.x, region.y, region.length, stop),
        Rect(region.x, region.y + stop, region.length, lost),
        Rect(region.x, region.y + stop + lost, region.length, rest),
    )


def _kind(layout: SheetLayout) -> int:
    """0 under the torch, 1 straight cuts, 2 whole."""
    if not layout.pieces:
        return 2
    return 0 if layout.process == "torch" else 1


def _names(sheet: Sheet) -> dict[Rect, str]:
    """What the regions are that straight cuts leave."""
    layout = sheet.layout
    names = dict.fromkeys(layout.offcuts, "keep")
    names |= {blank.rect: f"blank {blank.number}" for blank in blanks_of(sheet) if blank.pieces}
    names |= {piece.place: piece.mark for piece in layout.pieces}
    return names | {cut.region: "strip" for cut in layout.cuts}


def _short_way(pieces: Sequence[Placed], rect: Rect) -> tuple[Placed, ...]:
    """Pieces in an order of short travel: always the nearest next, by their nearest corners.

    Of equally near ones the nearest to the datum comes first. Floats are good enough: any order can be cut.
    """
    waiting = sorted(pieces, key=lambda piece: piece.place)
    xs = np.array([piece.place.x - rect.x for piece in waiting], dtype=np.float64)
    ys = np.array([piece.place.y - rect.y for piece in waiting], dtype=np.float64)
    way, x, y = list[Placed](), 0.0, 0.0
    for _ in waiting:
        nearest = int(np.argmin((xs - x) ** 2 + (ys - y) ** 2))
        x, y = xs[nearest], ys[nearest]
        xs[nearest] = np.inf
        way.append(waiting[nearest])
    return tuple(way)


def holds(outer: Rect, inner: Rect) -> bool:
    """Whether one rectangle lies within another."""
    return (
        outer.x <= inner.x
        and outer.y <= inner.y
        and inner.x + inner.length <= outer.x + outer.length
        and inner.y + inner.width <= outer.y + outer.width
    )

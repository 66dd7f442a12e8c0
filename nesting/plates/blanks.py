"""How to part a sheet into blanks for a small bed: divisions made along with what lies on them.

A sheet is cut into strips from edge to edge, each strip into blanks. Strip by strip and blank by blank the pieces at
hand are laid, and what they do not take of a blank is left to the next one. Many such plans are made, more or less by
chance; the divisions of the cheapest are handed over, so that the search chooses among them and lays the pieces anew.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nesting.plates.chance import below, chance_of, fraction
from nesting.plates.field import desk_for, field_of
from nesting.plates.fill import RULES, fill
from nesting.plates.order import MEASURES, ordered
from nesting.plates.problem import RectItem, RectProblem, Region, SheetKind
from nesting.plates.types import Flags
from stock.money import Cost

_MOST = 4
"""Divisions of a sheet that are handed over."""
_PLANS = 40
"""Plans made; fewer of many pieces."""
_PIECES = 4_000
"""Pieces laid in all plans together, about."""


@dataclass(frozen=True, slots=True, order=True)
class Division:
    """How a sheet is parted.

    Parameters
    ----------
    axis
        0: strips are cut off along the width, 1: along the height.
    strips
        Extent of each strip, and of the blanks in it one after the other; what is left over is no blank.
    """

    axis: int
    strips: tuple[tuple[int, tuple[int, ...]], ...]

    def blanks(self, kerf: int) -> tuple[Region, ...]:
        """Where the blanks lie, a cut of this width apart."""
        found, at = [], 0
        for extent, parts in self.strips:
            beside = 0
            for part in parts:
                found.append(
                    Region(beside, at, part, extent) if self.axis else Region(at, beside, extent, part)
                )
                beside += part + kerf
            at += extent + kerf
        return tuple(found)

    @property
    def number(self) -> int:
        """How many blanks it has."""
        return sum(len(parts) for _, parts in self.strips)


def divisions(
    kind: SheetKind, items: tuple[RectItem, ...], bed: tuple[int, int], kerf: int, fee: Cost, seed: int
) -> tuple[Division, ...]:
    """Divisions of a sheet that suit the items, those of the cheapest plans first.

    Parameters
    ----------
    kind
        The sheet, with its margins and what may be cut from it; its cost without any blank.
    bed
        Width and height of the largest blank.
    kerf
        Of the cuts between blanks.
    fee
        Cost of each blank.
    """
    rooms = Region(0, 0, *bed)
    wanted = tuple(i for i in kind.items if items[i].demand)
    on_bed = SheetKind(
        width=bed[0],
        height=bed[1],
        cost=0,
        between=kind.between,
        near=kind.near,
        far=kind.far,
        items=tuple(range(len(wanted))),
        blanks=(rooms,),
    )
    problem = RectProblem(tuple(items[i] for i in wanted), (on_bed,))
    pieces = sum(items[i].demand for i in wanted)
    if not pieces or not on_bed.rooms:
        return ()
    maker = _Maker(problem, (kind.width, kind.height), bed, kerf, seed)
    plans = [maker.plan(n) for n in range(max(6, min(_PLANS, _PIECES // pieces)))]
    ranked = sorted(plans, key=lambda p: sum(kind.cost + d.number * fee for d in p))
    return tuple(dict.fromkeys(d for plan in ranked for d in plan))[:_MOST]


class _Maker:
    """Makes plans of one sheet size."""

    def __init__(
        self, problem: RectProblem, size: tuple[int, int], bed: tuple[int, int], kerf: int, seed: int
    ) -> None:
        self.size, self.bed, self.kerf = size, bed, kerf
        self.kind = problem.kinds[0]
        self.field = field_of(problem)
        self.desk = desk_for(self.field)
        self.chance = chance_of(seed)
        self.margin = tuple(near + far for near, far in zip(self.kind.near, self.kind.far, strict=True))

    def plan(self, number: int) -> list[Division]:
        """Divisions of as many sheets as hold all pieces; the first two plans leave nothing to chance."""
        placed = ~self.field.may[0].copy()
        found: list[Division] = []
        while not placed.all():
            axis = number % 2 if number < 2 else below(self.chance, 2)
            division = self._sheet(axis, placed, number >= 2)
            if not division.strips:
                break
            found.append(division)
        return found

    def _sheet(self, axis: int, placed: Flags, by_chance: bool) -> Division:
        strips: list[tuple[int, tuple[int, ...]]] = []
        at = 0
        while at < self.size[axis] and not placed.all():
            left = min(self.bed[axis], self.size[axis] - at)
            extent = self._narrower(left, axis, placed) if by_chance else left
            wide, parts = self._strip(axis, extent, placed, by_chance)
            if not parts:
                wide, parts = self._strip(axis, left, placed, by_chance)
            if not parts:
                break
            strips.append((wide, parts))
            at += wide + self.kerf
        if strips:
            wide, parts = strips[-1]
            strips[-1] = self._to_the_edge(wide, at, axis), parts
        return Division(axis, tuple(strips))

    def _strip(self, axis: int, extent: int, placed: Flags, by_chance: bool) -> tuple[int, tuple[int, ...]]:
        """A strip's extent and its blanks, all as small as what lies on them allows."""
        parts: list[int] = []
        wide = at = 0
        while at < self.size[1 - axis]:
            left = min(self.bed[1 - axis], self.size[1 - axis] - at)
            taken = self._blank((left, extent) if axis else (extent, left), placed, by_chance)
            if taken is None:
                break
            wide = max(wide, taken[axis])
            parts.append(taken[1 - axis])
            at += taken[1 - axis] + self.kerf
        if parts:
            parts[-1] = self._to_the_edge(parts[-1], at, 1 - axis)
        return wide, tuple(parts)

    def _to_the_edge(self, extent: int, at: int, axis: int) -> int:
        """The last strip or blank with what is left behind it, if the bed takes both: that saves a cut.

        Parameters
        ----------
        at
            Where the next one would begin.
        """
        whole = extent + self.size[axis] - (at - self.kerf)
        return whole if whole <= self.bed[axis] else extent

    def _blank(self, size: tuple[int, int], placed: Flags, by_chance: bool) -> tuple[int, int] | None:
        """Lay pieces on a blank; the width and height that they need of it, None if it holds none."""
        gap, field = self.kind.between, self.field
        room = [s - m + gap for s, m in zip(size, self.margin, strict=True)]
        if min(room) <= gap:
            return None
        field.rooms[0, 2:] = room
        before = placed.copy()
        pieces = np.flatnonzero(~placed)
        measure = below(self.chance, MEASURES) if by_chance else 0
        order = ordered(field, pieces, field.areas, measure, 0.5 * by_chance, self.chance)
        rule = below(self.chance, RULES) if by_chance else 2
        desk = self.desk
        fill(field, 0, order, field.areas, rule, placed, desk.at, desk.spaces, desk.fresh, desk.work)
        laid = np.flatnonzero(placed & ~before)
        if not laid.size:
            return None
        turned = desk.at[laid, 2] == 1
        sides = field.widths[laid], field.heights[laid]
        far_x = (desk.at[laid, 0] + np.where(turned, sides[1], sides[0])).max()
        far_y = (desk.at[laid, 1] + np.where(turned, sides[0], sides[1])).max()
        return int(far_x) + self.margin[0], int(far_y) + self.margin[1]

    def _narrower(self, extent: int, axis: int, placed: Flags) -> int:
        """All of it, an even share of what is left, or as wide as one of the pieces left asks for."""
        choice = fraction(self.chance)
        if choice < 0.5:
            return extent
        left = np.flatnonzero(~placed)
        p = int(left[below(self.chance, left.size)])
        sides = (int(self.field.widths[p]), int(self.field.heights[p]))
        side = sides[below(self.chance, 2)] + self.margin[axis]
        number = 1 if choice < 0.75 else max(1, (extent + self.kerf) // (side + self.kerf))
        return min(extent, side * number)

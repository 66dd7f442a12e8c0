"""The two-dimensional problem in whole numbers: rectangles to cut, sheets to cut them from.

Words of this room: an *item* is a rectangle with its demand, a *piece* is one copy of it, a *kind* is one way to cut
a *source* (a size of sheet on one process), a *room* is a sheet or a blank of it less its margins, enlarged by the
width of one cut: pieces enlarged likewise fit the room edge to edge exactly when the nominal ones fit the sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property

from stock.money import Cost


class Turn(IntEnum):
    """How a piece may lie: as drawn, or also turned end for end, or also by a quarter."""

    NONE = 0
    HALF = 1
    QUARTER = 2


class Cutting(IntEnum):
    """How a process separates pieces: anywhere (torch), or by straight cuts from edge to edge (saw, shear)."""

    FREE = 0
    GUILLOTINE = 1


@dataclass(frozen=True, slots=True, order=True)
class Region:
    """A rectangle of a sheet, nominal ticks: its corner next to that of the sheet, width and height."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RectItem:
    """A rectangle to cut.

    Parameters
    ----------
    width, height
        Nominal, ticks.
    demand
        How many.
    turn
        How it may lie; a half turn changes nothing for a rectangle.
    """

    width: int
    height: int
    demand: int
    turn: Turn = Turn.NONE

    def __post_init__(self) -> None:
        if self.width <= 0 or self.height <= 0 or self.demand < 0:
            raise ValueError(
                f"a rectangle of {self.width} x {self.height}, {self.demand} times, cannot be cut"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetKind:
    """A size of sheet on one process.

    Parameters
    ----------
    width, height
        Nominal, ticks.
    cost
        Cost of one sheet, ten-thousandths.
    source
        What the sheet is taken from; kinds that are ways to cut the same thing share one source and its limit.
    cutting
        Free or guillotine.
    between
        Least distance of two pieces, per axis: the clearance of a torch, the kerf of a saw, 0 of a shear.
    near, far
        (along the width, along the height): ticks kept free at the first and at the far edge; the edge distance of a
        torch, the trim of a saw. Of each blank, if there are blanks.
    items
        Indices of the items that may be cut from it, ascending.
    blanks
        Free cutting only: parts of the sheet, apart from each other, in which pieces must lie; empty: the sheet.
    is_outline
        It stands for every way to part the sheet that costs as much: it counts in bounds, and is never filled.
    """

    width: int
    height: int
    cost: Cost
    source: int = 0
    cutting: Cutting = Cutting.FREE
    between: int = 0
    near: tuple[int, int] = (0, 0)
    far: tuple[int, int] = (0, 0)
    items: tuple[int, ...] = ()
    blanks: tuple[Region, ...] = ()
    is_outline: bool = False

    def __post_init__(self) -> None:
        if self.blanks and self.cutting is not Cutting.FREE:
            raise ValueError("only sheets that are cut freely can be parted into blanks")

    @property
    def room(self) -> tuple[int, int]:
        """Width and height that pieces enlarged by `between` may fill if the sheet lies whole."""
        return (
            self.width - self.near[0] - self.far[0] + self.between,
            self.height - self.near[1] - self.far[1] + self.between,
        )

    @property
    def rooms(self) -> tuple[Region, ...]:
        """Where pieces enlarged by `between` may lie, counted from the corner that the near margins leave.

        Rooms of neighbouring blanks may overlap, by less than `between`; pieces of both keep their distance there.
        """
        margin_x = self.near[0] + self.far[0] - self.between
        margin_y = self.near[1] + self.far[1] - self.between
        bounds = self.blanks or (Region(0, 0, self.width, self.height),)
        rooms = (Region(b.x, b.y, b.width - margin_x, b.height - margin_y) for b in bounds)
        return tuple(r for r in rooms if r.width > 0 and r.height > 0)

    def holds(self, item: RectItem) -> bool:
        """Whether one piece of the item fits, turned if it may be."""
        w, h = item.width + self.between, item.height + self.between
        turns = item.turn == Turn.QUARTER
        return any(
            (w <= r.width and h <= r.height) or (turns and h <= r.width and w <= r.height) for r in self.rooms
        )


@dataclass(frozen=True)
class RectProblem:
    """Items and kinds of sheet of one group.

    Parameters
    ----------
    limits
        Greatest number of sheets of each source, all its kinds together; None: any. Empty: no source is limited.
    """

    items: tuple[RectItem, ...]
    kinds: tuple[SheetKind, ...]
    limits: tuple[int | None, ...] = ()

    def __post_init__(self) -> None:
        if self.limits and any(not 0 <= kind.source < len(self.limits) for kind in self.kinds):
            raise ValueError("a kind of sheet names a source that has no limit in the list")

    @cached_property
    def limited(self) -> dict[int, int]:
        """The limit of each source that has one."""
        return {s: limit for s, limit in enumerate(self.limits) if limit is not None}

    @cached_property
    def fitting(self) -> tuple[frozenset[int], ...]:
        """Of each kind the items that may be cut from it and fit it."""
        return tuple(frozenset(i for i in kind.items if kind.holds(self.items[i])) for kind in self.kinds)


@dataclass(frozen=True, slots=True, order=True)
class Placed:
    """One piece on a sheet.

    Parameters
    ----------
    item
        Index into `RectProblem.items`.
    x, y
        Its lower left corner from that of the sheet, ticks.
    width, height
        As it lies, nominal.
    turned
        Whether it lies turned by a quarter.
    """

    item: int
    x: int
    y: int
    width: int
    height: int
    turned: bool


@dataclass(frozen=True, slots=True, order=True)
class Layout:
    """How one sheet is cut.

    Parameters
    ----------
    kind
        Index into `RectProblem.kinds`.
    """

    kind: int
    pieces: tuple[Placed, ...]


class NoSheets(Exception):
    """The sheets do not hold the items, or no way to make them hold was found.

    Parameters
    ----------
    items
        Items that are left over.
    impossible
        Whether it is certain that they cannot be cut.
    """

    def __init__(self, items: tuple[int, ...], impossible: bool) -> None:
        super().__init__(f"items {items} find no room")
        self.items = items
        self.impossible = impossible

"""The problem and the plan in hand as plain arrays, the way the compiled kernels take them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from nesting.plates.problem import Layout, Placed, RectProblem, Turn
from nesting.plates.spaces import COLUMNS
from nesting.plates.types import Flags, Floats, Ints, Table

NO_LIMIT = 2**40
"""Sheets of a source without limit."""


class Field(NamedTuple):
    """A problem as arrays; what does not change while it is solved.

    Parameters
    ----------
    widths, heights, alike, quarter, areas
        Of each piece: nominal size, its item, whether it turns, its area.
    may
        Of each kind and piece: whether it may and can be cut from it.
    sizes
        Of each kind: width and height of the sheet less its margins, enlarged; width of a cut; 1 if guillotine.
    rooms, first
        x, y, width, height of every room; of each kind its first row of them, and one entry more.
    costs, spans, sources
        Of each kind: cost, area of its rooms, its source.
    limits
        Of each source: greatest number of sheets.
    """

    widths: Ints
    heights: Ints
    alike: Ints
    quarter: Flags
    areas: Floats
    may: Flags
    sizes: Table
    rooms: Table
    first: Ints
    costs: Floats
    spans: Floats
    sources: Ints
    limits: Ints


class Desk(NamedTuple):
    """A plan in hand and the tables to work in.

    Parameters
    ----------
    sheet_of, at
        Of each piece: its sheet, -1 if none; x and y in the room, 1 if turned.
    kind_of, sheets
        Of each sheet its kind; in the only entry of `sheets` how many there are.
    spaces, fresh, work
        For `fill`.
    """

    sheet_of: Ints
    at: Table
    kind_of: Ints
    sheets: Ints
    spaces: Table
    fresh: Table
    work: Ints


def field_of(problem: RectProblem) -> Field:
    """The arrays of a problem: one piece for every copy of every item."""
    items = problem.items
    alike = np.repeat(np.arange(len(items)), [i.demand for i in items]).astype(np.int64)
    widths = np.array([i.width for i in items], np.int64)[alike]
    heights = np.array([i.height for i in items], np.int64)[alike]
    fits = np.array(
        [
            [i in held and not kind.is_outline for i in range(len(items))]
            for kind, held in zip(problem.kinds, problem.fitting, strict=True)
        ],
        np.bool_,
    )
    fits = fits.reshape(len(problem.kinds), len(items))  # no kinds or no items: still a table
    kinds = problem.kinds
    rooms = [kind.rooms for kind in kinds]
    table = [(r.x, r.y, r.width, r.height) for held in rooms for r in held]
    sources = np.array([kind.source for kind in kinds], np.int64)
    limits = np.full(max(1, sources.max(initial=0) + 1, len(problem.limits)), NO_LIMIT, np.int64)
    for source, limit in problem.limited.items():
        limits[source] = limit
    return Field(
        widths,
        heights,
        alike,
        np.array([i.turn == Turn.QUARTER for i in items], np.bool_)[alike],
        widths.astype(np.float64) * heights,
        np.ascontiguousarray(fits[:, alike]),
        np.array([(*k.room, k.between, int(k.cutting)) for k in kinds], np.int64).reshape(-1, 4),
        np.array(table, np.int64).reshape(-1, 4),
        np.cumsum([0, *(len(held) for held in rooms)]).astype(np.int64),
        np.array([k.cost for k in kinds], np.float64),
        np.array([sum(float(r.width) * r.height for r in held) for held in rooms], np.float64),
        sources,
        limits,
    )


def desk_for(field: Field) -> Desk:
    """An empty plan: no piece lies anywhere."""
    n = field.widths.size
    rows = 4 * n + 64
    return Desk(
        np.full(n, -1, np.int64),
        np.zeros((n, 3), np.int64),
        np.zeros(n + 1, np.int64),
        np.zeros(1, np.int64),
        np.zeros((rows, COLUMNS), np.int64),
        np.zeros((rows, COLUMNS), np.int64),
        np.zeros(1, np.int64),
    )


def desk_of(problem: RectProblem, field: Field, layouts: Sequence[Layout]) -> Desk:
    """The plan of these layouts; they hold at most the demand."""
    desk = desk_for(field)
    waiting: dict[int, list[int]] = {}
    for p in range(field.alike.size - 1, -1, -1):
        waiting.setdefault(int(field.alike[p]), []).append(p)
    for sheet, layout in enumerate(layouts):
        near = problem.kinds[layout.kind].near
        desk.kind_of[sheet] = layout.kind
        for piece in layout.pieces:
            p = waiting[piece.item].pop()
            desk.sheet_of[p] = sheet
            desk.at[p] = piece.x - near[0], piece.y - near[1], piece.turned
    desk.sheets[0] = len(layouts)
    return desk


def layouts_of(problem: RectProblem, field: Field, desk: Desk) -> list[Layout]:
    """The sheets on the desk, positions counted from the corner of the sheet."""
    pieces: list[list[Placed]] = [[] for _ in range(int(desk.sheets[0]))]
    for p in range(field.widths.size):
        sheet = int(desk.sheet_of[p])
        if sheet < 0:
            continue
        item = int(field.alike[p])
        x, y, turned = (int(v) for v in desk.at[p])
        pieces[sheet].append(placed_piece(problem, int(desk.kind_of[sheet]), item, x, y, bool(turned)))
    return [Layout(int(desk.kind_of[s]), tuple(sorted(held))) for s, held in enumerate(pieces)]


def placed_piece(problem: RectProblem, kind: int, item: int, x: int, y: int, turned: bool) -> Placed:
    """A piece at a place of the room, as it lies on the sheet."""
    near = problem.kinds[kind].near
    size = problem.items[item]
    w, h = (size.height, size.width) if turned else (size.width, size.height)
    return Placed(item, x + near[0], y + near[1], w, h, turned)

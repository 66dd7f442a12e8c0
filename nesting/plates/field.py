"""The problem and the plan in hand as plain arrays, the way the compiled kernels take them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from nesting.plates.problem import Layout, Placed, RectProblem, Turn
from nesting.plates.spaces import COLUMNS
from nesting.plates.types import Flags, Floats, Ints, Table

NO_LIMIT = 2**40
"""Sheets of a kind without limit."""


class Field(NamedTuple):
    """A problem as arrays; what does not change while it is solved.

    Parameters
    ----------
    widths, heights, alike, quarter, areas
        Of each piece: nominal size, its item, whether it turns, its area.
    may
        Of each kind and piece: whether it may and can be cut from it.
    rooms
        Of each kind: width and height of its room, width of a cut, 1 if guillotine.
    costs, limits, spans
        Of each kind: cost, greatest number, area of the room.
    """

    widths: Ints
    heights: Ints
    alike: Ints
    quarter: Flags
    areas: Floats
    may: Flags
    rooms: Table
    costs: Floats
    limits: Ints
    spans: Floats


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
    fits = np.array([[i in held for i in range(len(items))] for held in problem.fitting], np.bool_)
    rooms = np.array([(*k.room, k.between, int(k.cutting)) for k in problem.kinds], np.int64)
    return Field(
        widths,
        heights,
        alike,
        np.array([i.turn == Turn.QUARTER for i in items], np.bool_)[alike],
        widths.astype(np.float64) * heights,
        np.ascontiguousarray(fits[:, alike]),
        rooms,
        np.array([k.cost for k in problem.kinds], np.float64),
        np.array([NO_LIMIT if k.limit is None else k.limit for k in problem.kinds], np.int64),
        np.maximum(rooms[:, 0], 0).astype(np.float64) * np.maximum(rooms[:, 1], 0),
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

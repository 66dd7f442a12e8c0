"""Moves of the saw's stop, counted as the saw list prints its sticks: section by section on one saw."""

from __future__ import annotations

from itertools import groupby

from nesting.bars.problem import Problem
from nesting.bars.solution import Solution
from nesting.plan import Layout, Piece
from nesting.report.saw_list import cutting_order


def stop_moves(problem: Problem, solution: Solution) -> int:
    """How often the stop is set: sticks cut alike follow each other, and may need it moved back each time.

    A stop setting is the length of an item; sticks with the same kerf are taken as cut on the same saw.
    """
    blocks: dict[int, list[Layout]] = {}
    for pattern, times in sorted(solution.items()):
        stock = problem.stocks[pattern.stock]
        if pattern.counts:
            blocks.setdefault(stock.kerf, []).append(_row(problem, pattern.counts, times))
    return sum(_moves(block) for block in blocks.values())


def _row(problem: Problem, counts: tuple[tuple[int, int], ...], times: int) -> Layout:
    """A layout with nothing but what the order of cutting asks."""
    lengths = [problem.items[i].length for i, k in counts for _ in range(k)]
    pieces = tuple(Piece(mark="", start=0, extent=length) for length in lengths)
    return Layout(
        source_kind="offer",
        source="",
        length=0,
        saw="",
        times=times,
        head=0,
        pieces=pieces,
        rest=0,
        keep=False,
    )


def _moves(layouts: list[Layout]) -> int:
    moves, stands = 0, None
    for layout in cutting_order(layouts):
        settings = [setting for setting, _ in groupby(piece.extent for piece in layout.pieces)]
        within, again = len(settings) - 1, settings[0] != settings[-1]
        moves += (stands != settings[0]) + within + (layout.times - 1) * (within + again)
        stands = settings[-1]
    return moves

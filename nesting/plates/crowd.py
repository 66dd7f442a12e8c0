"""Whether a few rectangles can lie in a room at all, however they are cut: proved by CP-SAT."""

from __future__ import annotations

from collections.abc import Sequence

from ortools.sat.python import cp_model

_EFFORT = 0.1
"""Deterministic time for a proof."""

Rectangle = tuple[int, int, bool, bool]
"""Width, height; whether it may lie so; whether it may lie turned by a quarter."""


def cannot_lie(pieces: Sequence[Rectangle], width: int, height: int) -> bool:
    """Whether it is certain that these pieces do not fit a room together."""
    model = cp_model.CpModel()
    across, along, sides = [], [], []
    largest = max(range(len(pieces)), key=lambda n: pieces[n][0] * pieces[n][1], default=0)
    for n, (w, h, drawn, turned) in enumerate(pieces):
        wide, high = _sides(model, w, h, drawn, turned)
        # a plan mirrored is a plan: the largest piece lies nearer the first corner
        share = 2 if n == largest else 1
        x, y = model.new_int_var(0, width // share, ""), model.new_int_var(0, height // share, "")
        if n == largest:
            model.add(2 * x + wide <= width)
            model.add(2 * y + high <= height)
        end_x, end_y = model.new_int_var(0, width, ""), model.new_int_var(0, height, "")
        across.append(model.new_interval_var(x, wide, end_x, ""))
        along.append(model.new_interval_var(y, high, end_y, ""))
        sides.append((wide, high))
    model.add_no_overlap_2d(across, along)
    model.add_cumulative(across, [high for _, high in sides], height)
    model.add_cumulative(along, [wide for wide, _ in sides], width)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.max_deterministic_time = _EFFORT
    return bool(solver.solve(model) == cp_model.INFEASIBLE)


def _sides(
    model: cp_model.CpModel, w: int, h: int, drawn: bool, turned: bool
) -> tuple[cp_model.IntVar | int, cp_model.IntVar | int]:
    """Width and height as a piece lies."""
    if not (drawn and turned and w != h):
        return (w, h) if drawn else (h, w)
    wide, high = (model.new_int_var(min(w, h), max(w, h), "") for _ in range(2))
    model.add_allowed_assignments([wide, high], [(w, h), (h, w)])
    return wide, high

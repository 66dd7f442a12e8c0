"""Empties a few sheets of the plan and fills them again, cheaper or so that what is free gathers on one of them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import njit
from nesting.plates.chance import below
from nesting.plates.field import Desk, Field
from nesting.plates.fill import RULES, fill
from nesting.plates.order import MEASURES, nudged, ordered
from nesting.plates.types import Flags, Floats, Ints, Table

MOST_SHEETS = 5
"""Sheets emptied at once."""


@njit(cache=True, nogil=True)
def improve(
    field: Field, desk: Desk, worth: Floats, effort: int, tries: int, state: NDArray[np.uint64]
) -> tuple[int, int]:
    """Work on the plan for `effort` counted steps; returns how often sheets were refilled and how often cheaper.

    Never makes the plan dearer nor lays fewer pieces. Ends early at a plan of one sheet of the only kind.
    """
    n = field.widths.size
    end = desk.work[0] + effort
    changes = 0
    cheaper = 0
    chosen = np.zeros(n + 1, np.bool_)
    trial = np.full(n, -1, np.int64)
    trial_kinds = np.zeros(n + 1, np.int64)
    trial_at = np.zeros((n, 3), np.int64)
    while desk.work[0] < end:
        desk.work[0] += n
        used = np.zeros(desk.sheets[0] + 1, np.float64)
        for p in range(n):
            used[desk.sheet_of[p]] += field.areas[p]  # pieces without a sheet: the last entry
        lost = used[-1]
        if desk.sheets[0] == 0 or (desk.sheets[0] == 1 and field.costs.size == 1 and lost == 0.0):
            break
        _choose(field, desk, used, chosen, state)
        cost = 0.0
        evenness = 0.0
        left = field.limits.copy()
        for s in range(desk.sheets[0]):
            if chosen[s]:
                cost += field.costs[desk.kind_of[s]]
                evenness += used[s] * used[s] / field.spans[desk.kind_of[s]]
            else:
                left[field.sources[desk.kind_of[s]]] -= 1
        pieces = np.array([p for p in range(n) if desk.sheet_of[p] < 0 or chosen[desk.sheet_of[p]]], np.int64)
        order = pieces
        for attempt in range(tries):
            desk.work[0] += 8 * pieces.size + 100  # sorting and choosing
            if attempt % 2 == 0:
                noise = (0.0, 0.2, 0.5, 1.0)[below(state, 4)]
                now = ordered(field, pieces, worth, below(state, MEASURES), noise, state)
            else:
                now = nudged(order, state)
            sheets, new_cost, new_lost, new_evenness = _refill(
                field, desk, now, worth, left.copy(), cost, lost, trial, trial_kinds, trial_at, state
            )
            better = new_lost < lost or (
                new_lost == lost and (new_cost < cost or (new_cost == cost and new_evenness >= evenness))
            )
            if sheets < 0 or not better:
                order = now
                continue
            if new_lost < lost or new_cost < cost:
                cheaper += 1
            changes += 1
            _accept(desk, chosen, pieces, sheets, trial, trial_kinds, trial_at)
            break
    return changes, cheaper


@njit(cache=True, nogil=True)
def _choose(field: Field, desk: Desk, used: Floats, chosen: Flags, state: NDArray[np.uint64]) -> None:
    """Mark a few sheets, rather those with much free."""
    count = desk.sheets[0]
    chosen[:] = False
    fewest = 2 if field.costs.size == 1 else 1
    for _ in range(min(count, fewest + below(state, MOST_SHEETS + 1 - fewest))):
        best = -1
        fullest = np.inf
        for _ in range(1 + below(state, 3)):
            s = below(state, count)
            full = used[s] / field.spans[desk.kind_of[s]]
            if not chosen[s] and full < fullest:
                best, fullest = s, full
        if best >= 0:
            chosen[best] = True


@njit(cache=True, nogil=True)
def _pick_kind(field: Field, left: Ints, spend: float, dead: Flags, state: NDArray[np.uint64]) -> int:
    """A kind at random among those that may still be taken for what may be spent; -1: none."""
    picked = -1
    seen = 0
    for kind in range(field.costs.size):
        if left[field.sources[kind]] > 0 and not dead[kind] and field.costs[kind] <= spend:
            seen += 1
            if below(state, seen) == 0:
                picked = kind
    return picked


@njit(cache=True, nogil=True)
def _refill(
    field: Field,
    desk: Desk,
    order: Ints,
    worth: Floats,
    left: Ints,
    cost: float,
    lost: float,
    trial: Ints,
    trial_kinds: Ints,
    trial_at: Table,
    state: NDArray[np.uint64],
) -> tuple[int, float, float, float]:
    """Lay the pieces of an order on sheets of random kinds for at most `cost` (more if some were without a sheet).

    Returns the number of sheets, or -1 if it led nowhere, their cost, the area left without a sheet, the evenness.
    """
    spend = np.inf if lost > 0.0 else cost
    rest = 0.0
    for p in order:
        rest += field.areas[p]
    placed = np.zeros(field.widths.size, np.bool_)
    dead = np.zeros(field.costs.size, np.bool_)
    sheets = 0
    new_cost = 0.0
    evenness = 0.0
    waiting = order
    while waiting.size:
        kind = _pick_kind(field, left, spend - new_cost, dead, state)
        if kind < 0 or not _can_hold(field, rest, spend - new_cost):
            break
        fill(
            field,
            kind,
            waiting,
            worth,
            below(state, RULES),
            placed,
            trial_at,
            desk.spaces,
            desk.fresh,
            desk.work,
        )
        used = 0.0
        after = 0
        still = np.empty(waiting.size, np.int64)
        for p in waiting:
            if placed[p]:
                trial[p] = sheets
                used += field.areas[p]
            else:
                still[after] = p
                after += 1
        if after == waiting.size:
            dead[kind] = True
            continue
        waiting = still[:after]
        rest -= used
        trial_kinds[sheets] = kind
        left[field.sources[kind]] -= 1
        sheets += 1
        new_cost += field.costs[kind]
        evenness += used * used / field.spans[kind]
    if waiting.size == 0:
        return sheets, new_cost, 0.0, evenness
    if lost == 0.0:
        return -1, 0.0, 0.0, 0.0
    for p in waiting:
        trial[p] = -1
    return sheets, new_cost, rest, evenness


@njit(cache=True, nogil=True)
def _can_hold(field: Field, rest: float, spend: float) -> bool:
    """Whether sheets for so much money can have the area of what is left."""
    most = 0.0
    for kind in range(field.costs.size):
        if field.costs[kind] <= 0.0:
            return True
        most = max(most, field.spans[kind] / field.costs[kind])
    return rest <= spend * most * (1.0 + 1e-9)


@njit(cache=True, nogil=True)
def _accept(
    desk: Desk, chosen: Flags, pieces: Ints, sheets: int, trial: Ints, trial_kinds: Ints, trial_at: Table
) -> None:
    """Put the refilled sheets in the place of the chosen ones."""
    count = desk.sheets[0]
    number = np.full(count + 1, -1, np.int64)
    kept = 0
    for s in range(count):
        if not chosen[s]:
            number[s] = kept
            desk.kind_of[kept] = desk.kind_of[s]
            kept += 1
    for p in range(desk.sheet_of.size):
        if desk.sheet_of[p] >= 0:
            desk.sheet_of[p] = number[desk.sheet_of[p]]
    for p in pieces:
        desk.sheet_of[p] = kept + trial[p] if trial[p] >= 0 else -1
        desk.at[p] = trial_at[p]
    for s in range(sheets):
        desk.kind_of[kept + s] = trial_kinds[s]
    desk.sheets[0] = kept + sheets

"""Goes through a whole ledger: the file, the seals, every step of every piece, and whether the state follows.

Nothing is taken from the writing side but its rules: the steps that events can take, what can be cut off a piece, the
form of the seal. How pieces stand is reckoned again from the events alone.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from stock.errors import BadValue
from stock.rack.ledger import Ledger
from stock.rack.record import STEPS, Action, Event, Held, State, offcuts_trouble
from stock.rack.rows import EVENT, action_of, event_of, material_of, seal_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What going through a ledger found.

    Parameters
    ----------
    actions, events, pieces
        How many there are.
    faults
        One sentence each; none if the ledger is sound.
    """

    actions: int
    events: int
    pieces: int
    faults: tuple[str, ...]


def verify(ledger: Ledger) -> Verified:
    """Go through the whole ledger.

    Raises
    ------
    RackBroken
        If the file is so damaged that it cannot be read.
    """
    with ledger.reading() as run:
        faults = list(_file_faults(run))
        actions = [(action_of(row[:5]), row[5]) for row in run.execute(_ACTIONS)]
        events = [event_of(row) for row in run.execute(f"{EVENT} ORDER BY e.number")]
        pieces = {row[0]: row[1:] for row in run.execute(_PIECES)}
        past = _Past()
        faults += _number_faults([action.number for action, _ in actions], "action")
        faults += _number_faults([event.number for event in events], "event")
        faults += _seal_faults(run, actions)
        for event in events:
            faults += past.go_on(event)
        faults += _action_faults(run, actions)
        faults += _piece_faults(pieces, past)
        faults += _state_faults(run, past)
    return Verified(
        actions=len(actions), events=len(events), pieces=len(pieces), faults=tuple(dict.fromkeys(faults))
    )


_ACTIONS = "SELECT number, at, act, note, undoes, seal FROM action ORDER BY number"
_PIECES = (
    "SELECT p.id, m.designation, m.unit, m.grade, m.finish, p.parent, p.origin, p.action FROM piece p "
    "JOIN material m ON m.number = p.material ORDER BY p.id"
)


@dataclass(slots=True)
class _Past:
    """The events of each piece so far, as they are gone through."""

    of: dict[str, list[Event]] = field(default_factory=lambda: defaultdict(list))

    def go_on(self, event: Event) -> Iterator[str]:
        """What is impossible about an event after those before it."""
        steps = len(self.of[event.piece])
        last = self.of[event.piece][-1] if steps else None
        self.of[event.piece].append(event)
        where = f"event {event.number}: {event.piece}"
        if event.step != steps + 1:
            yield f"{where} goes from step {steps} to step {event.step}"
        if last is not None and event.action.number < last.action.number:
            yield f"{where} belongs to an earlier action than the event before it"
        if event.state.standing == "on hand" and event.state.job:
            yield f"{where} is on hand, and for a job at once"
        if event.kind == "undone":
            if event.state != self.before(event.piece, event.action.undoes, event.state):
                yield f"{where} is undone, but not to how it stood before"
        elif event.kind not in STEPS:
            yield f"{where} has an unknown kind of event, {event.kind}"
        else:
            step = (last.state.standing if last else None, event.state.standing)
            if step not in STEPS[event.kind]:
                yield f"{where} cannot be {event.kind} from {step[0]} to {step[1]}"

    def before(self, piece: str, action: int | None, state: State) -> State | None:
        """How a piece stood before an action; void, as `state` has it otherwise, if that action brought it."""
        events = self.of[piece]
        first = next((at for at, event in enumerate(events) if event.action.number == action), None)
        if first is None:
            return None
        if first:
            return events[first - 1].state
        return state if state.standing == "void" else None


def _file_faults(run: sqlite3.Connection) -> Iterator[str]:
    for (line,) in run.execute("PRAGMA integrity_check(20)"):
        if line != "ok":
            yield f"the file is damaged: {line}"
    for table, _, parent, _ in run.execute("PRAGMA foreign_key_check"):
        yield f"the table {table} names something that the table {parent} does not have"


def _number_faults(numbers: list[int], what: str) -> Iterator[str]:
    for should, number in enumerate(numbers, 1):
        if number != should:
            yield f"{what} {should} is not there"
            return


def _seal_faults(run: sqlite3.Connection, actions: list[tuple[Action, str]]) -> Iterator[str]:
    """The first action whose seal does not fit: a row of it, or one before it, was changed from outside."""
    rows_of: dict[str, dict[int, list[Any]]] = {
        "piece": _by_action(run, _SEALED_PIECES),
        "event": _by_action(run, "SELECT action, * FROM event ORDER BY number"),
        "booking": _by_action(run, "SELECT action, plan, job FROM booking"),
        "stick": _by_action(run, "SELECT booking, kind, number, piece FROM stick"),
        "cut": _by_action(run, "SELECT booking, kind, number, mark, count FROM cut"),
    }
    (before,) = run.execute("SELECT seal FROM origin").fetchone() or ("",)
    for action, seal in actions:
        mine = {table: rows.get(action.number, []) for table, rows in rows_of.items()}
        booking = mine["booking"][0] if mine["booking"] else None
        if not mine["event"] and booking is None:
            yield f"action {action.number} did nothing"
        should = seal_of(
            before, action, mine["piece"], mine["event"], booking, sorted(mine["stick"]), sorted(mine["cut"])
        )
        if seal != should:
            yield f"action {action.number} is not as it was written: a row of it was changed by other means"
        before = seal


_SEALED_PIECES = (
    "SELECT p.action, p.id, m.designation, m.unit, m.grade, m.finish, p.parent, p.origin FROM piece p "
    "JOIN material m ON m.number = p.material JOIN event e ON e.piece = p.id AND e.step = 1 "
    "ORDER BY e.number"
)


def _by_action(run: sqlite3.Connection, query: str) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    for action, *row in run.execute(query):
        found[action].append(row)
    return found


def _action_faults(run: sqlite3.Connection, actions: list[tuple[Action, str]]) -> Iterator[str]:
    bookings = {row[0] for row in run.execute("SELECT action FROM booking")}
    for action, _ in actions:
        if (action.undoes is not None) != (action.act in ("undo", "unbook")):
            yield f"action {action.number} ({action.act}) says wrongly what it undoes"
        if action.undoes is not None and action.undoes >= action.number:
            yield f"action {action.number} undoes one that came after it"
        if (action.act == "book") != (action.number in bookings):
            yield f"action {action.number} ({action.act}) and the list of bookings do not agree"


def _piece_faults(pieces: dict[str, tuple[Any, ...]], past: _Past) -> Iterator[str]:
    """What cannot be about where pieces come from: offcuts of nothing, larger than their piece, of other heat."""
    offcuts: dict[str, list[str]] = defaultdict(list)
    for name, (*_, parent, _, action) in pieces.items():
        events = past.of.get(name)
        if not events:
            yield f"{name} never came: it has no event"
            continue
        if events[0].action.number != action:
            yield f"{name} came with another action than it says"
        if events[-1].state.standing != "void" and parent is not None and events[0].kind == "returned":
            offcuts[parent].append(name)
        if events[0].kind == "returned" and parent is None:
            yield f"{name} is an offcut of nothing"
    for parent, names in offcuts.items():
        whole = past.of.get(parent)
        if not whole:
            yield f"{', '.join(names)} are offcuts of {parent}, which is not there"
            continue
        if whole[-1].state.standing not in ("taken", "scrapped"):
            yield f"{parent} is {whole[-1].state.standing}, though {', '.join(names)} was cut off it"
        yield from _offcut_faults(parent, names, pieces, past)


def _offcut_faults(
    parent: str, names: list[str], pieces: dict[str, tuple[Any, ...]], past: _Past
) -> Iterator[str]:
    first = past.of[names[0]][0]
    at_that_time = [event for event in past.of[parent] if event.number < first.number]
    if not at_that_time:
        yield f"{names[0]} is an offcut of {parent}, which came later"
        return
    try:
        held = _held(parent, pieces[parent], at_that_time[-1].state)
        found = [
            (
                name,
                material_of(*pieces[name][:4]),
                past.of[name][0].state.length,
                past.of[name][0].state.width,
            )
            for name in names
        ]
    except BadValue as error:
        yield f"the material of {parent} or of its offcuts is not understood: {error}"
        return
    if trouble := offcuts_trouble(held, found):
        yield trouble
    for name in names:
        one = past.of[name][0]
        then = [event for event in past.of[parent] if event.number < one.number][-1].state
        if (one.state.heat, one.state.certificate) != (then.heat, then.certificate):
            yield f"{name} has another heat or certificate than {parent}, of which it is an offcut"


def _held(name: str, row: tuple[Any, ...], state: State) -> Held:
    designation, unit, grade, finish, parent, origin, _ = row
    return Held(
        id=name,
        material=material_of(designation, unit, grade, finish),
        unit=unit,
        parent=parent or "",
        origin=origin,
        step=0,
        state=state,
    )


def _state_faults(run: sqlite3.Connection, past: _Past) -> Iterator[str]:
    """Where the kept state is not that of the last event."""
    kept = {row[0]: (row[1], row[2]) for row in run.execute("SELECT piece, event, standing FROM state")}
    for name in sorted(kept.keys() | past.of.keys()):
        events = past.of.get(name)
        follows = (events[-1].number, events[-1].state.standing) if events else None
        if kept.get(name) != follows:
            yield f"{name} stands otherwise than its events say"

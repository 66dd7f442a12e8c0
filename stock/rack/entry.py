"""One action while it is put together, inside the transaction in which it is written."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from stock.errors import RackRefused
from stock.material import Material
from stock.rack.reads import find_in, held_by, standing_words, version_of
from stock.rack.record import STEPS, Action, Done, Held, Kind, NewPiece, Standing, State, check_text
from stock.rack.rows import EVENT, HELD, event_of, event_row, held_of, seal_of
from stock.rack.tag import read_tag, tag

_AT_FIRST = "SELECT length, width FROM event WHERE piece = ? AND step = 1"


class Entry:
    """An action that is being put together inside a transaction; pieces are read in it, and written at its end.

    Parameters
    ----------
    run
        The connection, inside the transaction.
    act, note, undoes
        As of `Action`.
    """

    def __init__(self, run: sqlite3.Connection, act: str, note: str, undoes: int | None) -> None:
        self.run = run
        last = version_of(run)
        self._before = last.seal
        self.action = Action(
            number=last.number + 1,
            at=datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
            act=act,
            note=note,
            undoes=undoes,
        )
        self._next = int(run.execute("SELECT coalesce(max(number), 0) FROM event").fetchone()[0]) + 1
        self._named = int(run.execute("SELECT count(*) FROM piece").fetchone()[0])
        self._pieces: list[tuple[Any, ...]] = []
        self._events: list[tuple[Any, ...]] = []
        self._now: dict[str, Held] = {}
        self.booking: tuple[str, str] | None = None
        self.sticks: list[tuple[str, int, str]] = []
        self.cuts: list[tuple[str, int, str, int]] = []

    def find(self, ids: Sequence[str]) -> tuple[Held, ...]:
        """Pieces as they stand now, this action's own events included; raises as `Ledger.find`."""
        names = [read_tag(name) for name in ids]
        unread = [name for name in names if name not in self._now]
        self._now.update((held.id, held) for held in find_in(self.run, unread))
        return tuple(self._now[name] for name in names)

    def start(self, new: NewPiece, kind: Kind, standing: Standing, job: str = "") -> str:
        """Bring a piece in; returns its id, given if it has none.

        Raises
        ------
        RackRefused
            If another piece has that id already, used up or not.
        """
        name = read_tag(new.id) if new.id else self._free_tag()
        if name in self._now or self._is_known(name):
            raise RackRefused(
                f"{name} is the id of another piece already, even if that one is used up; leave the id out to be given "
                "a new one"
            )
        material = (new.material.designation, new.unit, new.material.grade, new.material.finish)
        self._pieces.append((name, *material, new.parent or None, new.origin))
        held = Held(
            id=name,
            material=new.material,
            unit=new.unit,
            parent=new.parent,
            origin=new.origin,
            step=0,
            state=new.state(standing, job),
        )
        self._add(held, kind)
        return name

    def change(self, name: str, kind: Kind, standing: Standing, **fields: Any) -> None:
        """Let something happen to a piece.

        Parameters
        ----------
        fields
            Of its `State`, those that change.

        Raises
        ------
        RackRefused
            If that cannot happen to a piece that stands as this one does.
        """
        (held,) = self.find([name])
        self._check_step(held, kind, standing)
        self._add(replace(held, state=replace(held.state, standing=standing, **fields)), kind)

    def count(self, name: str, state: State) -> None:
        """Let a count find a piece to stand so; raises as `change`."""
        (held,) = self.find([name])
        self._check_step(held, "counted", state.standing)
        self._add(replace(held, state=state), "counted")

    def here(self) -> tuple[Held, ...]:
        """The pieces that should lie on the rack, as they stood before this action."""
        return held_by(self.run, ("on hand", "reserved"))

    def put_back(self, name: str, action: int) -> None:
        """Let a piece stand again as it did before an action; void if that action brought it."""
        (held,) = self.find([name])
        row = self.run.execute(
            f"{EVENT} WHERE e.piece = ? AND e.step = ?", (held.id, self._first(held, action) - 1)
        )
        before = row.fetchone()
        state = replace(held.state, standing="void") if before is None else event_of(before).state
        self._add(replace(held, state=state), "undone")

    def has_moved_on(self, held: Held, action: int) -> bool:
        """Whether a piece stands otherwise than that action left it."""
        row = self.run.execute(
            f"{EVENT} WHERE e.piece = ? AND e.action = ? ORDER BY e.step DESC LIMIT 1", (held.id, action)
        ).fetchone()
        return event_of(row).state != held.state

    def _first(self, held: Held, action: int) -> int:
        query = "SELECT min(step) FROM event WHERE piece = ? AND action = ?"
        return int(self.run.execute(query, (held.id, action)).fetchone()[0])

    @property
    def touched(self) -> tuple[str, ...]:
        """Ids of the pieces to which something happens, in that order."""
        return tuple(dict.fromkeys(row[2] for row in self._events))

    def offcuts_of(self, name: str) -> list[tuple[str, Material, int, int | None]]:
        """(id, material, length, width) of the offcuts of a piece as they came back, this action's included."""
        rows = self.run.execute(f"{HELD} WHERE p.parent = ? AND s.standing <> 'void' ORDER BY p.id", (name,))
        before = [
            (child.id, child.material, *self.run.execute(_AT_FIRST, (child.id,)).fetchone())
            for child in map(held_of, rows)
        ]
        new = [self._now[row[0]] for row in self._pieces]
        return before + [
            (held.id, held.material, held.state.length, held.state.width)
            for held in new
            if held.parent == name
        ]

    def write(self) -> Done:
        """Write everything; nothing at all if nothing happened."""
        action, run = self.action, self.run
        if not self._events and self.booking is None:
            return Done(action=action.number - 1)
        rows = (self._pieces, self._events, self.booking, sorted(self.sticks), sorted(self.cuts))
        run.execute(
            "INSERT INTO action VALUES (?, ?, ?, ?, ?, ?)",
            (
                action.number,
                action.at,
                action.act,
                action.note,
                action.undoes,
                seal_of(self._before, action, *rows),
            ),
        )
        for name, *material, parent, origin in self._pieces:
            run.execute(
                "INSERT INTO material (designation, unit, grade, finish) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
                material,
            )
            run.execute(
                "INSERT INTO piece VALUES (?, (SELECT number FROM material WHERE designation = ? AND unit = ? "
                "AND grade = ? AND finish = ?), ?, ?, ?)",
                (name, *material, parent, origin, action.number),
            )
        run.executemany(f"INSERT INTO event VALUES ({', '.join('?' * 14)})", self._events)
        run.executemany(
            "INSERT INTO state VALUES (?, ?, ?) "
            "ON CONFLICT (piece) DO UPDATE SET event = excluded.event, standing = excluded.standing",
            [(row[2], row[0], row[5]) for row in self._events],
        )
        if self.booking is not None:
            run.execute("INSERT INTO booking VALUES (?, ?, ?)", (action.number, *self.booking))
            run.executemany(
                "INSERT INTO stick VALUES (?, ?, ?, ?)", [(action.number, *s) for s in self.sticks]
            )
            run.executemany(
                "INSERT INTO cut VALUES (?, ?, ?, ?, ?)", [(action.number, *c) for c in self.cuts]
            )
        return Done(action=action.number, ids=self.touched)

    def _check_step(self, held: Held, kind: Kind, standing: Standing) -> None:
        if (held.state.standing, standing) not in STEPS[kind]:
            raise RackRefused(f"{standing_words(held)}; it cannot be {kind}")

    def _add(self, held: Held, kind: Kind) -> None:
        held = replace(held, step=held.step + 1)
        for text in (held.state.place, held.state.heat, held.state.certificate, held.state.job):
            check_text(text)
        self._now[held.id] = held
        self._events.append(event_row(self._next, self.action.number, held, kind))
        self._next += 1

    def _is_known(self, name: str) -> bool:
        return self.run.execute("SELECT 1 FROM piece WHERE id = ?", (name,)).fetchone() is not None

    def _free_tag(self) -> str:
        while True:
            name = tag(self._named)
            self._named += 1
            if name not in self._now and not self._is_known(name):
                return name

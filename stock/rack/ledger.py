"""An open ledger: what it holds, and the one way in which something is added to it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from stock.length import Unit
from stock.rack.entry import Entry
from stock.rack.piece import RackPiece, RackVersion
from stock.rack.reads import find_in, held_by, version_of
from stock.rack.record import Action, Event, Held, Standing, check_text
from stock.rack.rows import EVENT, action_of, event_of
from stock.rack.store import WAIT_S, Store


class Ledger:
    """An open ledger.

    Parameters
    ----------
    file
        The ledger; see `where.default_rack`.
    create
        Whether to begin a new one where there is none.
    wait_s
        Seconds for which to wait while another command has it.

    Raises
    ------
    RackRefused, RackTrouble
        As `Store`.
    """

    def __init__(self, file: Path, *, create: bool = False, wait_s: float = WAIT_S) -> None:
        self._store = Store(file, create=create, wait_s=wait_s)

    @property
    def file(self) -> Path:
        """Where it lies."""
        return self._store.file

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._store.close()

    def version(self) -> RackVersion:
        """The moment at which it stands."""
        with self._store.reading() as run:
            return version_of(run)

    def held(self, standings: Sequence[Standing] = ("on hand",)) -> tuple[Held, ...]:
        """The pieces that stand so, by material and length."""
        with self._store.reading() as run:
            return held_by(run, standings)

    def shelf(self) -> tuple[RackVersion, tuple[RackPiece, ...]]:
        """What jobs can be cut from, and the moment at which it was so."""
        with self._store.reading() as run:
            return version_of(run), tuple(held.as_rack() for held in held_by(run, ("on hand",)))

    def find(self, ids: Sequence[str]) -> tuple[Held, ...]:
        """Pieces by their ids, in that order.

        Raises
        ------
        RackRefused
            Naming every id that the ledger does not know, and near ones.
        """
        with self._store.reading() as run:
            return find_in(run, ids)

    def history(self, name: str) -> tuple[Held, tuple[Event, ...]]:
        """A piece and everything that happened to it, the oldest first; raises as `find`."""
        with self._store.reading() as run:
            (piece,) = find_in(run, [name])
            rows = run.execute(f"{EVENT} WHERE e.piece = ? ORDER BY e.step", (piece.id,))
            return piece, tuple(map(event_of, rows))

    def actions(self, most: int = 20) -> tuple[Action, ...]:
        """The last actions, the newest first."""
        with self._store.reading() as run:
            rows = run.execute(
                "SELECT number, at, act, note, undoes FROM action ORDER BY number DESC LIMIT ?", (most,)
            )
            return tuple(map(action_of, rows))

    def unit(self) -> Unit | None:
        """In what the piece that came last was written; None if there is none yet."""
        with self._store.reading() as run:
            row = run.execute(
                "SELECT m.unit FROM piece p JOIN material m ON m.number = p.material "
                "WHERE p.action = (SELECT max(action) FROM piece) ORDER BY p.id LIMIT 1"
            ).fetchone()
        return None if row is None else "mm" if row[0] == "mm" else "in"

    @contextmanager
    def adding(self, act: str, note: str = "", undoes: int | None = None) -> Iterator[Entry]:
        """One action being added: all of it, or nothing if anything is raised.

        Raises
        ------
        RackTrouble
            As `Store.writing`.
        """
        check_text(note)
        with self._store.writing() as run:
            entry = Entry(run, act, note, undoes)
            yield entry
            entry.write()

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """A transaction that sees one moment, for the modules of this package."""
        with self._store.reading() as run:
            yield run

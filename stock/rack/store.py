"""The file of a ledger: opened, brought up to date, written whole or not at all, and its troubles in plain words."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from stock.errors import RackAbsent, RackBroken, RackBusy, RackRefused, RackTrouble
from stock.rack import schema
from stock.rack.backup import copy_now, daily_copy, last_copy
from stock.rack.where import refuse_network

WAIT_S = 10.0
"""How long a command waits for another one."""
_LEAST_SQLITE = (3, 37)
"""The first with strict tables (sqlite.org/stricttables.html, published)."""


class Store:
    """An open ledger file.

    Parameters
    ----------
    file
        The ledger.
    create
        Whether to begin a new one where there is none.
    wait_s
        Seconds for which to wait while another command has it.

    Raises
    ------
    RackRefused
        If there is none, it lies on a network, or a newer program wrote it.
    RackTrouble
        If it cannot be opened.
    """

    def __init__(self, file: Path, *, create: bool = False, wait_s: float = WAIT_S) -> None:
        self.file = file
        if sqlite3.sqlite_version_info < _LEAST_SQLITE:
            raise RackRefused(
                f"this Python has SQLite {sqlite3.sqlite_version}; the ledger needs 3.37 or later: install a "
                "newer Python"
            )
        refuse_network(file)
        if create:
            begin_file(file)
        elif not file.is_file():
            raise RackAbsent(
                f"there is no rack ledger at {file}; `steelyard rack put` begins one, or name another with --rack"
            )
        with self.told():
            self.connection = sqlite3.connect(
                f"{file.absolute().as_uri()}?mode=rw", uri=True, timeout=wait_s, isolation_level=None
            )
        try:
            with self.told():
                self._prepare(create)
        except BaseException:
            self.connection.close()
            raise

    def close(self) -> None:
        """Let go of the file."""
        self.connection.close()

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """A transaction that holds the file from its first line on: all of it is written, or nothing.

        Raises
        ------
        RackTrouble
            If the file cannot be written, or another command holds it for too long.
        """
        with self.told():
            daily_copy(self.connection, self.file)
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                yield self.connection
                self.connection.execute("COMMIT")
            except BaseException:
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")
                raise

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """A transaction that sees one moment of the ledger."""
        with self.told():
            self.connection.execute("BEGIN")
            try:
                yield self.connection
            finally:
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")

    @contextmanager
    def told(self) -> Iterator[None]:
        """Turns what SQLite and the disk raise into errors of this project."""
        try:
            yield
        except sqlite3.Error as error:
            if trouble := trouble_of(error, self.file):
                raise trouble from error
            raise
        except OSError as error:
            raise RackTrouble(
                f"the rack ledger {self.file} cannot be written ({error.strerror or error}); see that there is room "
                "and that you may write there, and run it again: nothing was changed"
            ) from error

    def _prepare(self, create: bool) -> None:
        run = self.connection.execute
        for pragma in ("foreign_keys = ON", "trusted_schema = OFF", "synchronous = EXTRA"):
            run(f"PRAGMA {pragma}")
        found, is_ours = self._version(), self._pragma("application_id") == schema.APPLICATION
        if found > schema.VERSION and is_ours:
            raise RackRefused(
                f"{self.file} was written by a newer version of this program (ledger version {found}, this one knows "
                f"up to {schema.VERSION}); install that version"
            )
        if not is_ours and (found or run("SELECT count(*) FROM sqlite_schema").fetchone()[0]):
            raise RackRefused(
                f"{self.file} is a database, but not a rack ledger of this program; name another file"
            )
        if not is_ours and not create:
            raise RackAbsent(
                f"{self.file} is an empty file; `steelyard rack put` makes a ledger of it, or name another"
            )
        if found < schema.VERSION:
            if found:
                copy_now(self.connection, self.file, f"before-version-{schema.VERSION}")
            self._migrate()

    def _migrate(self) -> None:
        """Bring the file up to date in one transaction; another command may have done it in the meantime."""
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            for version in range(self._version(), schema.VERSION):
                for statement in _statements(schema.MIGRATIONS[version]):
                    self.connection.execute(statement)
            self.connection.execute(f"PRAGMA application_id = {schema.APPLICATION}")
            self.connection.execute(f"PRAGMA user_version = {schema.VERSION}")
            self.connection.execute("COMMIT")
        except BaseException:
            if self.connection.in_transaction:
                self.connection.execute("ROLLBACK")
            raise

    def _version(self) -> int:
        return self._pragma("user_version")

    def _pragma(self, name: str) -> int:
        return int(self.connection.execute(f"PRAGMA {name}").fetchone()[0])


def trouble_of(error: sqlite3.Error, file: Path) -> RackTrouble | None:
    """What an error of SQLite means to the user; None if it means a fault of this program."""
    code = getattr(error, "sqlite_errorcode", None)
    primary = None if code is None else code & 0xFF
    kept = "nothing was changed"
    if primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return RackBusy(f"the rack ledger {file} is busy: another command holds it; try again ({kept})")
    if primary == sqlite3.SQLITE_FULL:
        return RackTrouble(f"the disk of the rack ledger {file} is full; make room and run it again ({kept})")
    if primary == sqlite3.SQLITE_READONLY:
        return RackTrouble(
            f"the rack ledger {file} cannot be written: the file, its folder or its disk is read-only; make it "
            f"writable and run it again ({kept})"
        )
    if primary in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_AUTH):
        return RackTrouble(
            f"the rack ledger {file} cannot be opened; check the permissions of file and folder"
        )
    if primary == sqlite3.SQLITE_IOERR:
        return RackTrouble(
            f"the disk of the rack ledger {file} does not read or write as it should; see that it is whole and has "
            f"room, and run it again ({kept})"
        )
    if primary in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        last = last_copy(file)
        way = (
            f"the last copy is {last.name}: `steelyard rack restore` puts it back and keeps the damaged file"
            if last
            else "there is no copy of it yet; keep the file, and begin another with --rack"
        )
        return RackBroken(f"the rack ledger {file} is damaged ({error}); {readable_words(file)}; {way}")
    return None


def readable_words(file: Path) -> str:
    """How much of a damaged file can still be read."""
    counts = []
    for table in ("action", "event", "piece"):
        count = 0
        try:
            with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as opened:
                for _ in opened.execute(f"SELECT * FROM {table}"):
                    count += 1
        except sqlite3.Error:  # it ends where the damage begins
            counts.append(f"{count} {table}s")
            continue
        counts.append(f"all {count} {table}s")
    return f"{', '.join(counts)} can still be read"


def begin_file(file: Path) -> None:
    """Make the file, empty, for the user alone, if there is none."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))
    except OSError as error:
        raise RackTrouble(
            f"the rack ledger {file} cannot be made ({error.strerror or error}); see that you may write there, or name "
            "another file with --rack"
        ) from error


def _statements(script: str) -> Iterator[str]:
    """The statements of a script one by one, as a script run as a whole would end the transaction."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""

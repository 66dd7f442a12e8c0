"""A copy of the ledger is put back, and what it replaces is kept."""

from __future__ import annotations

import os
import secrets
import sqlite3
from contextlib import closing
from pathlib import Path

from stock.errors import RackBroken, RackRefused, RackTrouble
from stock.rack import schema
from stock.rack.backup import copy_named, copy_now, folder_of, last_copy, stamp, write_copy
from stock.rack.ledger import Ledger
from stock.rack.store import WAIT_S, begin_file, trouble_of
from stock.rack.verify import verify
from stock.rack.where import refuse_network

_DAMAGED = (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT)


def restore(file: Path, name: str | None = None) -> tuple[Path, Path | None]:
    """Put a copy back in place of the ledger, whole or not at all.

    Parameters
    ----------
    name
        File name of the copy; None: the newest.

    Returns
    -------
    tuple[Path, Path | None]
        The copy that was put back, and where the file that stood there is kept; None if there was none.

    Raises
    ------
    RackRefused
        If there is no such copy.
    RackTrouble
        If the copy is damaged itself, or something cannot be written; the ledger stands as before.
    """
    refuse_network(file)
    copy = last_copy(file) if name is None else copy_named(file, name)
    if copy is None:
        raise RackRefused(
            f"there is no copy of {file} to put back; the first is made on the second day of use"
        )
    _check(copy)
    try:
        kept = _keep(file) if file.exists() else None
        with closing(sqlite3.connect(f"{copy.absolute().as_uri()}?mode=ro", uri=True)) as source:
            _replace(source, file)
    except sqlite3.Error as error:
        if trouble := trouble_of(error, file):
            raise trouble from error
        raise
    except OSError as error:
        raise RackTrouble(
            f"{file} cannot be put back ({error.strerror or error}); see that there is room and that you may "
            "write there: it stands as before"
        ) from error
    return copy, kept


def _check(copy: Path) -> None:
    """Raise RackBroken unless a copy is sound; one of an older form is brought up to date once it is in place."""
    try:
        with closing(sqlite3.connect(f"{copy.absolute().as_uri()}?mode=ro", uri=True)) as opened:
            found = [line for (line,) in opened.execute("PRAGMA integrity_check(1)") if line != "ok"]
            version = opened.execute("PRAGMA user_version").fetchone()[0]
    except sqlite3.Error as error:
        found, version = [str(error)], 0
    if not found and version == schema.VERSION:
        with Ledger(copy) as ledger:
            found = list(verify(ledger).faults)
    if found:
        raise RackBroken(f"the copy {copy.name} is damaged itself ({found[0]}); name an older one")


def _keep(file: Path) -> Path:
    """A copy of what is about to be replaced: by the book if it can still be read, else byte by byte."""
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=rw", uri=True, timeout=WAIT_S)) as old:
            return copy_now(old, file, "replaced")
    except sqlite3.Error as error:
        if getattr(error, "sqlite_errorcode", 0) & 0xFF not in _DAMAGED:
            raise
    kept = folder_of(file) / f"replaced-{stamp()}.sqlite"
    kept.parent.mkdir(mode=0o700, exist_ok=True)
    with os.fdopen(os.open(kept, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600), "wb") as stream:
        stream.write(file.read_bytes())
        stream.flush()
        os.fsync(stream.fileno())
    return kept


def _replace(source: sqlite3.Connection, file: Path) -> None:
    """Write over the pages of the old file, under its lock, so that no other command writes into what is gone.

    A file that SQLite does not take for a database at all, which no command can have open, is exchanged.
    """
    try:
        begin_file(file)
        with closing(sqlite3.connect(file, timeout=WAIT_S, isolation_level=None)) as target:
            # This waits for the lock only so long; the copying itself would wait for ever.
            target.execute("BEGIN EXCLUSIVE")
            target.execute("ROLLBACK")
            source.backup(target)
    except sqlite3.DatabaseError as error:
        if getattr(error, "sqlite_errorcode", 0) & 0xFF not in _DAMAGED:
            raise
        fresh = file.with_name(f".{file.name}.{secrets.token_hex(4)}.new")
        try:
            write_copy(source, fresh)
            # What an interrupted command left behind belongs to the old file, and would be rolled into the new.
            file.with_name(f"{file.name}-journal").unlink(missing_ok=True)
            fresh.replace(file)
        finally:
            fresh.unlink(missing_ok=True)

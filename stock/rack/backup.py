"""Copies of a ledger: one a day on use, one before each change of its form, one of what a restored copy replaces."""

from __future__ import annotations

import os
import secrets
import sqlite3
import time
from datetime import UTC, datetime
from pathlib import Path

from stock.errors import RackRefused

KEPT_DAYS = 30
"""Daily copies that are kept; the other ones stay until somebody removes them."""


def copies_of(file: Path) -> tuple[Path, ...]:
    """The copies of a ledger, the oldest first."""
    folder = folder_of(file)
    found = [path for path in folder.glob("*.sqlite") if path.is_file()] if folder.is_dir() else []
    return tuple(sorted(found, key=lambda path: (path.stat().st_mtime_ns, path.name)))


def last_copy(file: Path) -> Path | None:
    """The newest copy that is not of a file which was replaced itself; None if there is none."""
    return next((path for path in reversed(copies_of(file)) if not path.name.startswith("replaced-")), None)


def copy_named(file: Path, name: str) -> Path:
    """A copy by its name.

    Raises
    ------
    RackRefused
        If there is none of that name; the message lists those there are.
    """
    named = {path.name: path for path in copies_of(file)}
    if name in named:
        return named[name]
    there = ", ".join(named) or "none"
    raise RackRefused(f"{name!r:.80} is not a copy of {file}; there are: {there}")


def daily_copy(connection: sqlite3.Connection, file: Path) -> None:
    """Copy the ledger as it stood before the first command of the day; once there is something in it."""
    today = datetime.now().astimezone().strftime("%Y-%m-%d")
    if (folder_of(file) / f"{today}.sqlite").exists():
        return
    if connection.execute("SELECT 1 FROM action LIMIT 1").fetchone() is None:
        return
    _copy(connection, folder_of(file) / f"{today}.sqlite")
    days = [path for path in copies_of(file) if path.stem[:2].isdigit()]
    half_made = folder_of(file).glob(".*.new")  # by commands that were killed
    yesterday = time.time() - 24 * 3600
    for old in (*days[:-KEPT_DAYS], *(path for path in half_made if path.stat().st_mtime < yesterday)):
        old.unlink(missing_ok=True)


def copy_now(connection: sqlite3.Connection, file: Path, why: str) -> Path:
    """Copy the ledger under a name that says why and when; returns the copy."""
    target = folder_of(file) / f"{why}-{stamp()}.sqlite"
    _copy(connection, target)
    return target


def stamp() -> str:
    """The moment, UTC, as a part of a file's name."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H%M%S.%fZ")


def folder_of(file: Path) -> Path:
    """Where the copies of a ledger are kept, beside it."""
    return file.with_name(f"{file.stem}-copies")


def _copy(connection: sqlite3.Connection, target: Path) -> None:
    """A whole copy under its name, or none; for the user alone."""
    target.parent.mkdir(mode=0o700, exist_ok=True)
    fresh = target.with_name(f".{target.name}.{secrets.token_hex(4)}.new")
    connection.execute("BEGIN")
    try:
        # Reading takes the lock, for which SQLite waits only so long; the copying itself would wait for ever.
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        write_copy(connection, fresh)
        fresh.replace(target)
    finally:
        fresh.unlink(missing_ok=True)
        connection.execute("ROLLBACK")


def write_copy(connection: sqlite3.Connection, target: Path) -> None:
    """Copy a ledger into a new file, for the user alone."""
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    copy = sqlite3.connect(target)
    try:
        connection.backup(copy)
    finally:
        copy.close()

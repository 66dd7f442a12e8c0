"""The tables of a ledger file, and how an older file is brought up to date.

Rows are added, never changed or removed: the database itself refuses that. Only `state` moves; it says which event of a
piece is the last one, follows from the others, and is held against them by `verify`. Two events of one piece never
have the same `step`, so that no two commands can go on from the same state. `origin` tells ledgers apart that hold the
same.
"""

from __future__ import annotations

APPLICATION = 0x53594C44
"""Marks a file as a rack ledger of this program."""

_FIRST = """
CREATE TABLE origin (seal TEXT NOT NULL) STRICT;
INSERT INTO origin VALUES (lower(hex(randomblob(16))));
CREATE TABLE action (
    number INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    act TEXT NOT NULL,
    note TEXT NOT NULL,
    undoes INTEGER UNIQUE REFERENCES action,
    seal TEXT NOT NULL
) STRICT;
CREATE TABLE material (
    number INTEGER PRIMARY KEY,
    designation TEXT NOT NULL,
    unit TEXT NOT NULL CHECK (unit IN ('in', 'mm')),
    grade TEXT NOT NULL,
    finish TEXT NOT NULL,
    UNIQUE (designation, unit, grade, finish)
) STRICT;
CREATE TABLE piece (
    id TEXT PRIMARY KEY,
    material INTEGER NOT NULL REFERENCES material,
    parent TEXT REFERENCES piece,
    origin TEXT NOT NULL,
    action INTEGER NOT NULL REFERENCES action
) STRICT, WITHOUT ROWID;
CREATE INDEX piece_by_parent ON piece (parent) WHERE parent IS NOT NULL;
CREATE INDEX piece_by_action ON piece (action);
CREATE TABLE event (
    number INTEGER PRIMARY KEY,
    action INTEGER NOT NULL REFERENCES action,
    piece TEXT NOT NULL REFERENCES piece,
    step INTEGER NOT NULL CHECK (step > 0),
    kind TEXT NOT NULL,
    standing TEXT NOT NULL,
    length INTEGER NOT NULL CHECK (length > 0),
    width INTEGER CHECK (width > 0),
    clean_ends INTEGER NOT NULL CHECK (clean_ends IN (0, 1, 2)),
    place TEXT NOT NULL,
    heat TEXT NOT NULL,
    certificate TEXT NOT NULL,
    value TEXT NOT NULL,
    job TEXT NOT NULL,
    UNIQUE (piece, step)
) STRICT;
CREATE INDEX event_by_action ON event (action);
CREATE TABLE state (
    piece TEXT PRIMARY KEY REFERENCES piece,
    event INTEGER NOT NULL UNIQUE REFERENCES event,
    standing TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX state_by_standing ON state (standing);
CREATE TABLE booking (
    action INTEGER PRIMARY KEY REFERENCES action,
    plan TEXT NOT NULL,
    job TEXT NOT NULL
) STRICT;
CREATE INDEX booking_by_plan ON booking (plan);
CREATE TABLE stick (
    booking INTEGER NOT NULL REFERENCES booking,
    kind TEXT NOT NULL CHECK (kind IN ('stick', 'sheet')),
    number INTEGER NOT NULL,
    piece TEXT NOT NULL REFERENCES piece,
    PRIMARY KEY (booking, kind, number)
) STRICT, WITHOUT ROWID;
CREATE INDEX stick_by_piece ON stick (piece);
CREATE TABLE cut (
    booking INTEGER NOT NULL,
    kind TEXT NOT NULL,
    number INTEGER NOT NULL,
    mark TEXT NOT NULL,
    count INTEGER NOT NULL CHECK (count > 0),
    PRIMARY KEY (booking, kind, number, mark),
    FOREIGN KEY (booking, kind, number) REFERENCES stick
) STRICT, WITHOUT ROWID;
"""

_KEPT = ("origin", "action", "material", "piece", "event", "booking", "stick", "cut")


def _only_added_to(table: str) -> str:
    """Triggers by which the database refuses to change or to remove rows."""
    return "".join(
        f"CREATE TRIGGER {table}_no_{verb} BEFORE {verb.upper()} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, 'a ledger is only added to'); END;\n"
        for verb in ("update", "delete")
    )


MIGRATIONS: tuple[str, ...] = (_FIRST + "".join(map(_only_added_to, _KEPT)),)
"""Each brings a file of the version that is its place here to the next one."""

VERSION = len(MIGRATIONS)
"""Version of files that this program writes."""

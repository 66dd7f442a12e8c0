"""The record of work on a plan: a file beside plan.json to which entries are added, each whole or not at all."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal

from cattrs.errors import BaseValidationError

from nesting.booking import fingerprint
from nesting.findings import Finding, InputError, OutputError
from nesting.plan import Plan
from nesting.write.archive import CONVERTER
from nesting.write.folder import RECORD

_WAIT_S = 5.0
_TABLE = """
CREATE TABLE entry (number INTEGER PRIMARY KEY, made TEXT NOT NULL, plan TEXT NOT NULL, body TEXT NOT NULL) STRICT;
CREATE TRIGGER kept BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are only added'); END;
CREATE TRIGGER held BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are only added'); END;
"""

Kind = Literal["stick", "sheet"]
Name = tuple[Kind, int]
"""A stick or sheet by its number on the papers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """What was measured to be left of a stick or sheet; nothing if it is lost.

    Parameters
    ----------
    sizes
        (length, width) in ticks, width 0 for sticks.
    """

    kind: Kind
    number: int
    sizes: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The first `pieces` of a stick or sheet are cut.

    Parameters
    ----------
    marks
        Of all pieces that it holds, in cutting order: so that a record is known to be of this plan.
    """

    kind: Kind
    number: int
    pieces: int
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """Material of one line of the order, as it really came.

    Parameters
    ----------
    offer, ordered
        Id of the offer and ticks that were asked for: the line.
    count
        How many came like this.
    length, width
        Ticks as measured; width 0 for sticks.
    price
        Money for one, as text; "": as ordered.
    heat
        Heat number, "" if not known.
    """

    offer: str
    ordered: int
    count: int
    length: int
    width: int = 0
    price: str = ""
    heat: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What one command said.

    Parameters
    ----------
    cut
        Pieces cut, counted from the first of their stick or sheet.
    spoiled
        (kind, number, piece): cut, but no good; pieces count from 1 in cutting order.
    left
        What was measured.
    need
        (mark, change): more of a part are wanted, or fewer.
    kerf
        (saw, ticks): measured anew.
    bought
        Yards whose order is on hand.
    came
        Material received.
    undo
        Number of the entry that is taken back; 0: none.
    goes_on
        Name of the plan that was made of what is left; "": none.
    """

    cut: tuple[Cut, ...] = ()
    spoiled: tuple[tuple[Kind, int, int], ...] = ()
    left: tuple[Left, ...] = ()
    need: tuple[tuple[str, int], ...] = ()
    kerf: tuple[tuple[str, int], ...] = ()
    bought: tuple[str, ...] = ()
    came: tuple[Came, ...] = ()
    undo: int = 0
    goes_on: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """An entry as it stands in the record.

    Parameters
    ----------
    number
        From 1.
    made
        When, local time, ISO 8601.
    plan
        Fingerprint of the plan that it was said of.
    """

    number: int
    made: str
    plan: str
    entry: Entry


def read_record(folder: Path) -> tuple[Kept, ...]:
    """The entries of a plan's record, oldest first; none if nothing was recorded.

    Raises
    ------
    InputError
        If the file is there and is no record.
    """
    file = folder / RECORD
    if not file.is_file():
        return ()
    with _told(file), closing(_open(file, "rw")) as record:  # a command that was killed is rolled back
        if not record.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            return ()
        rows = record.execute("SELECT number, made, plan, body FROM entry ORDER BY number").fetchall()
    return tuple(_kept(file, *row) for row in rows)


def add_entry(folder: Path, plan: Plan, entry: Entry, after: int) -> None:
    """Add an entry to a plan's record; it is on the disk when this returns.

    Parameters
    ----------
    after
        Number of the last entry that was known when this one was made; 0: none.

    Raises
    ------
    OutputError
        If another command added one meanwhile, or the disk refuses; nothing is written then.
    """
    file = folder / RECORD
    with _told(file), closing(_open(file, "rwc")) as record:
        record.execute("PRAGMA synchronous = EXTRA")
        record.execute("BEGIN IMMEDIATE")
        if not record.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            for statement in _TABLE.strip().splitlines():
                record.execute(statement)
        last = record.execute("SELECT coalesce(max(number), 0) FROM entry").fetchone()[0]
        if last != after:
            raise OutputError(f"{file} was written by another command meanwhile; run it again")
        made = datetime.now().isoformat(timespec="seconds")
        body = json.dumps(CONVERTER.unstructure(entry, Entry))
        record.execute("INSERT INTO entry VALUES (?, ?, ?, ?)", (after + 1, made, fingerprint(plan), body))
        record.execute("COMMIT")


def standing_entries(kept: Sequence[Kept]) -> tuple[Kept, ...]:
    """Those that were not taken back."""
    gone = {each.entry.undo for each in kept}
    return tuple(each for each in kept if each.number not in gone and not each.entry.undo)


def _open(file: Path, mode: str) -> sqlite3.Connection:
    address = f"{file.absolute().as_uri()}?mode={mode}"
    return sqlite3.connect(address, uri=True, timeout=_WAIT_S, isolation_level=None)


def _kept(file: Path, number: int, made: str, plan: str, body: str) -> Kept:
    try:
        entry = CONVERTER.structure(json.loads(body), Entry)
    except (BaseValidationError, ValueError, TypeError, KeyError) as error:
        raise _refusal(
            file, f"entry {number} cannot be read; keep the file, and go on from the plan"
        ) from error
    return Kept(number=number, made=made, plan=plan, entry=entry)


def _refusal(file: Path, sentence: str) -> InputError:
    return InputError([Finding(code="record-broken", sentence=sentence, file=str(file))])


@contextmanager
def _told(file: Path) -> Iterator[None]:
    """Turns what SQLite says into errors of this project."""
    try:
        yield
    except sqlite3.OperationalError as error:
        busy = "busy" in str(error) or "locked" in str(error)
        way = (
            "another command holds it; try again"
            if busy
            else "see that there is room and that you may write there"
        )
        raise OutputError(
            f"the record {file} cannot be used ({error}): {way}; nothing was changed"
        ) from error
    except sqlite3.Error as error:
        sentence = f"this is not a whole record of work ({error}); keep it under another name and begin anew"
        raise _refusal(file, sentence) from error

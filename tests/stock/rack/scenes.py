"""Every command of the ledger, each on a ledger where it has something to do."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from stock.length import PER_INCH
from stock.rack import schema
from stock.rack.acts import Arrival, Offcut, arrive, move, put, return_offcuts, scrap, take
from stock.rack.backup import copies_of
from stock.rack.booking import Use, book, booking_of, unbook
from stock.rack.counting import Seen, count
from stock.rack.ledger import Ledger
from stock.rack.restoring import restore
from stock.rack.undoing import undo
from tests.stock.rack.pieces import EVERY, bar, known

BAR = bar(place="bay 1", heat="H1")


def prepare(file: Path) -> None:
    """A ledger of twelve pieces and a booking, three of its pieces here, taken and ordered."""
    with Ledger(file, create=True) as ledger:
        ids = put(ledger, [BAR] * 12).ids
        take(ledger, ids[:1])
        version, _ = ledger.shelf()
        uses = [Use(kind="stick", number=1, takes=known(BAR, ids[1]), marks=(("A1", 2),))]
        uses += [Use(kind="stick", number=at, orders=bar(99), marks=(("A1", 1),)) for at in (2, 3)]
        book(ledger, "old", "gate", version, uses)
    for copy in copies_of(file):
        copy.unlink()


def book_new(ledger: Ledger) -> None:
    """Book two pieces that are here and five that are ordered."""
    version, shelf = ledger.shelf()
    uses = [
        Use(kind="stick", number=at, takes=piece, marks=(("B1", 3),)) for at, piece in enumerate(shelf[:2])
    ]
    uses += [
        Use(kind="stick", number=at, orders=bar(77), marks=(("B1", 2), ("B2", 1))) for at in range(5, 10)
    ]
    book(ledger, "new", "bench", version, uses)


def _ordered(ledger: Ledger) -> list[str]:
    return [piece.id for piece in ledger.held(("ordered",))]


def _here(ledger: Ledger) -> list[str]:
    return [piece.id for piece in ledger.held()]


def _taken(ledger: Ledger) -> str:
    return next(piece.id for piece in ledger.held(("taken",)))


ACTS: dict[str, Callable[[Ledger], object]] = {
    "put": lambda ledger: put(ledger, [bar(11)] * 3),
    "take": lambda ledger: take(ledger, _here(ledger)[:2], "shelf"),
    "move": lambda ledger: move(ledger, _here(ledger)[:2], "bay 9"),
    "scrap": lambda ledger: scrap(ledger, _here(ledger)[:2]),
    "count": lambda ledger: count(ledger, "bay 1", [Seen(id=i) for i in _here(ledger)[:4]], booked=True),
    "arrive": lambda ledger: arrive(ledger, [Arrival(id=i, heat="H2") for i in _ordered(ledger)]),
    "return": lambda ledger: return_offcuts(ledger, [Offcut(parent=_taken(ledger), length=9 * PER_INCH)]),
    "book": book_new,
    "unbook": lambda ledger: unbook(ledger, "old"),
    "undo": undo,
}
"""Commands on a ledger that is open."""


def carry_out(name: str, file: Path) -> None:
    """Do one command, as a command line does: open, act, close.

    "begin" makes a ledger, "restore" puts a copy back, "renew" is any command of a later version with another form.
    """
    if name == "restore":
        restore(file)
        return
    if name == "renew":
        with newer():
            Ledger(file).close()
        return
    with Ledger(file, create=name == "begin") as ledger:
        if name != "begin":
            ACTS[name](ledger)


@contextmanager
def newer() -> Iterator[None]:
    """A later version of the program, which has one more table."""
    before = schema.MIGRATIONS
    schema.MIGRATIONS = (*before, "CREATE TABLE later (x INTEGER) STRICT;\nINSERT INTO later VALUES (1);\n")
    schema.VERSION = len(schema.MIGRATIONS)
    try:
        yield
    finally:
        schema.MIGRATIONS = before
        schema.VERSION = len(before)


def is_renewed(file: Path) -> bool:
    """Whether a file has the form of the later version; its number and its tables must agree."""
    with closing(sqlite3.connect(file)) as opened:
        (version,) = opened.execute("PRAGMA user_version").fetchone()
        tables = opened.execute("SELECT name FROM sqlite_schema WHERE name = 'later'").fetchall()
        rows = opened.execute("SELECT x FROM later").fetchall() if tables else []
    assert (version, rows) in ((schema.VERSION, []), (schema.VERSION + 1, [(1,)]))
    return bool(rows)


def whole_state(file: Path) -> Any:
    """How every piece stands and what is booked; None if there is no ledger, or an empty file still."""
    if not file.exists() or not file.stat().st_size:
        return None
    with Ledger(file, create=True) as ledger:
        booked = {
            plan: booking and booking.pieces
            for plan in ("old", "new")
            if (booking := booking_of(ledger, plan))
        }
        return sorted(ledger.held(EVERY), key=lambda piece: piece.id), booked

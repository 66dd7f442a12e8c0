"""A plan is booked: what it cuts is taken, what it orders is reserved for it; and that is taken back whole.

The ledger knows of a plan its fingerprint, its job's name, which piece each stick and sheet of its papers is, and which
parts are cut from it. So the heat of a piece is the heat of these parts.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from stock.errors import RackRefused
from stock.rack.entry import Entry
from stock.rack.ledger import Ledger
from stock.rack.piece import RackPiece, RackVersion
from stock.rack.reads import standing_words
from stock.rack.record import Done, Held, NewPiece
from stock.rack.tag import read_tag

CutAs = Literal["stick", "sheet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One stick or sheet of a plan.

    Parameters
    ----------
    kind, number
        As the papers call it: stick 3, sheet 1.
    takes
        The piece of the ledger as the plan knows it; None: it is ordered.
    orders
        What is ordered; None: it is taken from the rack.
    marks
        (mark, copies) of the parts that are cut from it.
    """

    kind: CutAs
    number: int
    takes: RackPiece | None = None
    orders: NewPiece | None = None
    marks: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Booking:
    """A plan that is booked.

    Parameters
    ----------
    action
        Number of the action that booked it.
    plan
        Fingerprint of the plan.
    pieces
        Id of the piece by ("stick" or "sheet", number on the papers).
    """

    action: int
    plan: str
    job: str
    pieces: Mapping[tuple[CutAs, int], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """Parts that are cut from one piece, with what is known of its steel."""

    mark: str
    count: int
    kind: CutAs
    number: int
    piece: str
    heat: str
    certificate: str


def book(ledger: Ledger, plan: str, job: str, basis: RackVersion | None, uses: Sequence[Use]) -> Booking:
    """Book a plan, all or nothing.

    Parameters
    ----------
    plan
        Fingerprint of the plan.
    basis
        The moment of the ledger at which it was planned; None: it knew of no ledger and takes nothing from it.

    Raises
    ------
    RackRefused
        If it is booked already, was made with another ledger or one restored since, or what it relies on has
        changed; each change is told.
    """
    with ledger.adding("book", job) as entry:
        if booked := _active(entry.run, plan):
            raise RackRefused(
                f"this plan is booked already (action {booked[0]}); `steelyard unbook` takes that back, and planning "
                "again gives a plan of its own"
            )
        _check_basis(entry.run, basis, uses)
        taken = [use.takes for use in uses if use.takes is not None]
        if changes := list(_changes(entry, taken)):
            raise RackRefused(
                "\n".join([*changes, "plan again before you book: what the plan relies on has changed"])
            )
        entry.booking = (plan, job)
        pieces: dict[tuple[CutAs, int], str] = {}
        for use in uses:
            pieces[use.kind, use.number] = name = _enter(entry, use, job)
            entry.sticks.append((use.kind, use.number, name))
            entry.cuts += [(use.kind, use.number, mark, count) for mark, count in use.marks]
    return Booking(action=entry.action.number, plan=plan, job=job, pieces=pieces)


def unbook(ledger: Ledger, plan: str) -> Done:
    """Take a booking back, whole: what it took is on hand again, what it ordered is not awaited, or free if it came.

    Raises
    ------
    RackRefused
        If the plan is not booked, or work on it has begun; each reason is told.
    """
    with ledger.reading() as run:
        booked = _active(run, plan)
    if booked is None:
        raise RackRefused("this plan is not booked, so there is nothing to take back")
    with ledger.adding("unbook", booked[1], undoes=booked[0]) as entry:
        if _active(entry.run, plan) != booked:
            raise RackRefused("another command took this booking back just now; nothing is left to do")
        take_back(entry, booked[0])
    return Done(action=entry.action.number)


def booking_of(ledger: Ledger, plan: str) -> Booking | None:
    """The booking of a plan; None if it is not booked, or no longer."""
    with ledger.reading() as run:
        booked = _active(run, plan)
        if booked is None:
            return None
        rows = run.execute("SELECT kind, number, piece FROM stick WHERE booking = ?", (booked[0],))
        pieces = {(kind, number): piece for kind, number, piece in rows}
    return Booking(action=booked[0], plan=plan, job=booked[1], pieces=pieces)


def traced(ledger: Ledger, *, plan: str | None = None, piece: str | None = None) -> tuple[Traced, ...]:
    """Which parts are cut from which piece, with heat and certificate, of bookings that stand.

    Parameters
    ----------
    plan
        Of one plan alone, by its fingerprint; None: of all.
    piece
        Of one piece alone, by its id; None: of all.
    """
    query = (
        "SELECT c.mark, c.count, c.kind, c.number, t.piece, e.heat, e.certificate FROM booking b "
        "JOIN stick t ON t.booking = b.action "
        "JOIN cut c ON c.booking = t.booking AND c.kind = t.kind AND c.number = t.number "
        "JOIN state s ON s.piece = t.piece JOIN event e ON e.number = s.event "
        "WHERE NOT EXISTS (SELECT 1 FROM action u WHERE u.undoes = b.action) "
        "AND (?1 IS NULL OR b.plan = ?1) AND (?2 IS NULL OR t.piece = ?2) "
        "ORDER BY b.action, c.mark, c.kind DESC, c.number"
    )
    name = None if piece is None else read_tag(piece)
    with ledger.reading() as run:
        return tuple(
            Traced(
                mark=mark, count=count, kind=kind, number=number, piece=of, heat=heat, certificate=certificate
            )
            for mark, count, kind, number, of, heat, certificate in run.execute(query, (plan, name))
        )


def take_back(entry: Entry, booking: int) -> None:
    """Add to an action what undoes a booking; raises RackRefused if work has begun."""
    rows = entry.run.execute("SELECT piece FROM stick WHERE booking = ? ORDER BY kind, number", (booking,))
    pieces = entry.find([row[0] for row in rows])
    if reasons := [reason for piece in pieces for reason in _begun(entry, piece, booking)]:
        raise RackRefused("\n".join([*reasons, "so the plan cannot be unbooked any more; undo that first"]))
    for piece in pieces:
        if piece.state.standing == "ordered":
            entry.change(piece.id, "released", "void")
        elif piece.state.standing == "reserved":
            entry.change(piece.id, "released", "on hand", job="")
        else:
            entry.put_back(piece.id, booking)


def _begun(entry: Entry, piece: Held, booking: int) -> Iterator[str]:
    """Why a piece of a booking cannot go back to what it was."""
    offcuts = entry.offcuts_of(piece.id)
    if offcuts:
        yield f"{', '.join(name for name, *_ in offcuts)} came back as what is left of {piece.id}"
    elif piece.state.standing not in ("ordered", "reserved") and entry.has_moved_on(piece, booking):
        yield standing_words(piece)


def _active(run: sqlite3.Connection, plan: str) -> tuple[int, str] | None:
    """(action, job) of the booking of a plan that stands."""
    row = run.execute(
        "SELECT action, job FROM booking WHERE plan = ? "
        "AND NOT EXISTS (SELECT 1 FROM action u WHERE u.undoes = booking.action)",
        (plan,),
    ).fetchone()
    return None if row is None else (row[0], row[1])


def _check_basis(run: sqlite3.Connection, basis: RackVersion | None, uses: Sequence[Use]) -> None:
    """Raise unless the plan was made at a moment of this very ledger, or takes nothing from it."""
    if basis is None:
        if any(use.takes is not None for use in uses):
            raise RackRefused(
                "the plan takes from a rack table of its own, or from what an earlier plan left, not from the ledger, "
                "so it cannot be booked; leave that table out and plan again, after `steelyard rack import` brought "
                "its pieces into the ledger"
            )
        return
    known = "SELECT number, seal FROM action UNION ALL SELECT 0, seal FROM origin"
    row = run.execute(f"SELECT seal FROM ({known}) WHERE number = ?", (basis.number,)).fetchone()
    if row is None or row[0] != basis.seal:
        raise RackRefused(
            f"the plan was made at version {basis.number} of another ledger, or of this one before an older copy was "
            "put back; plan again"
        )


def _changes(entry: Entry, taken: Sequence[RackPiece]) -> Iterator[str]:
    """What of the pieces that a plan takes is not as the plan knows it."""
    for name, count in Counter(piece.id for piece in taken).items():
        if count > 1:
            yield f"{name} is taken twice by the plan itself"
    for believed, held in zip(taken, entry.find([piece.id for piece in taken]), strict=True):
        if held.state.standing != "on hand":
            yield standing_words(held)
            continue
        found = held.as_rack()
        for what, of_plan, of_ledger in (
            ("material", believed.material, found.material),
            ("length", believed.length, found.length),
            ("width", believed.width, found.width),
            ("clean ends", believed.clean_ends, found.clean_ends),
            ("heat", believed.heat, found.heat),
            ("value", believed.value, found.value),
        ):
            if of_plan != of_ledger:
                yield f"{held.id} has another {what} now than when it was planned"


def _enter(entry: Entry, use: Use, job: str) -> str:
    """Take or reserve the piece of one use; returns its id."""
    if use.takes is not None:
        entry.change(use.takes.id, "taken", "taken", job=job)
        return read_tag(use.takes.id)
    assert use.orders is not None, "a use takes a piece or orders one"
    return entry.start(use.orders, "reserved", "ordered", job)

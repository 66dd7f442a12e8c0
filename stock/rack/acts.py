"""What happens to single pieces: they are put, taken, moved, scrapped, arrive, and come back as offcuts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal

from stock.errors import RackRefused
from stock.material import Material
from stock.rack.entry import Entry
from stock.rack.ledger import Ledger
from stock.rack.reads import standing_words
from stock.rack.record import Done, Held, NewPiece, offcuts_trouble, room_of
from stock.rack.tag import read_tag

_CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """What is left of a piece and comes back to the rack; heat, certificate and grade are those of the piece.

    Parameters
    ----------
    parent
        Id of the piece that it was cut from.
    length
        Ticks.
    width
        Ticks of a sheet, or of a strip ripped from a flat bar; None: as wide as the bar.
    clean_ends
        How many ends need no trim.
    value
        What using it costs a job; None: its share of the piece's value, by length or area, to the cent below.
    material
        Of a strip ripped from a flat bar the plate of its thickness; None: that of the piece.
    id
        What is written on it; "": the ledger gives it an id.
    origin
        Where it comes from, in words: "stick 3 of garden-gate".
    """

    parent: str
    length: int
    width: int | None = None
    clean_ends: int = 0
    place: str = ""
    value: Decimal | None = None
    material: Material | None = None
    id: str = ""
    origin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """A piece that was ordered for a job and has come; what is None or "" stays as it was ordered."""

    id: str
    length: int | None = None
    width: int | None = None
    heat: str = ""
    certificate: str = ""
    place: str = ""
    value: Decimal | None = None


def put(ledger: Ledger, pieces: Sequence[NewPiece], note: str = "", act: str = "put") -> Done:
    """Bring pieces in, all or none; ids are given to those that have none.

    Raises
    ------
    RackRefused
        If an id stands twice or is taken, a parent is unknown, or there is no piece at all.
    """
    if not pieces:
        raise RackRefused("there is no piece to put on the rack; give at least one")
    _refuse_twice([piece.id for piece in pieces if piece.id])
    with ledger.adding(act, note) as entry:
        entry.find(sorted({piece.parent for piece in pieces if piece.parent}))
        ids = [entry.start(piece, "received", "on hand") for piece in pieces]
    return Done(action=entry.action.number, ids=tuple(ids))


def take(ledger: Ledger, ids: Sequence[str], job: str = "") -> Done:
    """Take pieces off the rack, all or none.

    Raises
    ------
    RackRefused
        If one is unknown, named twice, not there, or reserved for another job.
    """
    _refuse_twice(ids)
    with ledger.adding("take", job) as entry:
        for piece in entry.find(ids):
            if piece.state.standing == "reserved" and piece.state.job != job:
                raise RackRefused(f"{standing_words(piece)}; take it for that job, or unbook it first")
            entry.change(piece.id, "taken", "taken", job=job)
    return Done(action=entry.action.number, ids=tuple(map(read_tag, ids)))


def move(ledger: Ledger, ids: Sequence[str], place: str) -> Done:
    """Lay pieces elsewhere, all or none; raises RackRefused if one is unknown, named twice or not there."""
    _refuse_twice(ids)
    with ledger.adding("move", place) as entry:
        for piece in entry.find(ids):
            entry.change(piece.id, "moved", piece.state.standing, place=place)
    return Done(action=entry.action.number, ids=tuple(map(read_tag, ids)))


def scrap(ledger: Ledger, ids: Sequence[str], note: str = "") -> Done:
    """Write pieces off, all or none; raises RackRefused if one is unknown, named twice or gone already."""
    _refuse_twice(ids)
    with ledger.adding("scrap", note) as entry:
        for piece in entry.find(ids):
            entry.change(piece.id, "scrapped", "scrapped")
    return Done(action=entry.action.number, ids=tuple(map(read_tag, ids)))


def arrive(ledger: Ledger, arrivals: Sequence[Arrival], note: str = "") -> Done:
    """Enter that ordered pieces have come, as they came; they stay reserved for their job.

    Raises
    ------
    RackRefused
        If one is unknown, named twice, or not on order.
    """
    _refuse_twice([arrival.id for arrival in arrivals])
    with ledger.adding("arrive", note) as entry:
        for arrival in arrivals:
            (piece,) = entry.find([arrival.id])
            state = piece.state
            entry.change(
                piece.id,
                "received",
                "reserved",
                length=state.length if arrival.length is None else arrival.length,
                width=state.width if arrival.width is None else arrival.width,
                heat=arrival.heat or state.heat,
                certificate=arrival.certificate or state.certificate,
                place=arrival.place or state.place,
                value=state.value if arrival.value is None else arrival.value,
            )
    return Done(action=entry.action.number, ids=tuple(read_tag(arrival.id) for arrival in arrivals))


def return_offcuts(ledger: Ledger, offcuts: Sequence[Offcut], note: str = "") -> Done:
    """Bring back what is left of pieces, all or none; returns the offcuts' ids in the order given.

    A piece that was ordered or reserved is entered as come and taken with it, since it has been cut.

    Raises
    ------
    RackRefused
        If a piece is unknown or was never taken, or gives more than it had.
    """
    _refuse_twice([offcut.id for offcut in offcuts if offcut.id])
    with ledger.adding("return", note) as entry:
        ids = []
        for offcut in offcuts:
            parent = _taken(entry, offcut.parent)
            ids.append(entry.start(_as_piece(offcut, parent), "returned", "on hand"))
        for name in dict.fromkeys(read_tag(offcut.parent) for offcut in offcuts):
            _refuse_more_than_all(entry, name)
    return Done(action=entry.action.number, ids=tuple(ids))


def finish(ledger: Ledger, cut: Mapping[str, Sequence[Offcut]], note: str = "") -> Done:
    """Enter that pieces of a booking are cut, and bring back what is left of them; again changes nothing.

    Parameters
    ----------
    cut
        By the id of a piece its offcuts, none if it was used up. Pieces that gave an offcut before are passed over.

    Returns
    -------
    Done
        Ids of the offcuts, in the order given.

    Raises
    ------
    RackRefused
        As `return_offcuts`.
    """
    ids = []
    with ledger.adding("finish", note) as entry:
        for name, offcuts in cut.items():
            if entry.offcuts_of(read_tag(name)):
                continue
            parent = _taken(entry, name)
            ids += [entry.start(_as_piece(offcut, parent), "returned", "on hand") for offcut in offcuts]
            _refuse_more_than_all(entry, parent.id)
    return Done(action=entry.action.number, ids=tuple(ids))


def _taken(entry: Entry, name: str) -> Held:
    """The piece, entered as come and taken if it was waiting for its job."""
    (piece,) = entry.find([name])
    if piece.state.standing == "ordered":
        entry.change(piece.id, "received", "reserved")
    if piece.state.standing in ("ordered", "reserved"):
        entry.change(piece.id, "taken", "taken")
    elif piece.state.standing != "taken":
        raise RackRefused(f"{standing_words(piece)}, so nothing can be left of it; take it first")
    return entry.find([name])[0]


def _as_piece(offcut: Offcut, parent: Held) -> NewPiece:
    material = offcut.material or parent.material
    room = room_of(material, offcut.length, offcut.width)
    whole = room_of(parent.material, parent.state.length, parent.state.width)
    share = (parent.state.value * room / whole).quantize(_CENT, ROUND_DOWN)
    return NewPiece(
        material=material,
        unit=parent.unit,
        length=offcut.length,
        width=offcut.width,
        clean_ends=offcut.clean_ends,
        place=offcut.place,
        heat=parent.state.heat,
        certificate=parent.state.certificate,
        value=share if offcut.value is None else offcut.value,
        id=offcut.id,
        parent=parent.id,
        origin=offcut.origin,
    )


def _refuse_more_than_all(entry: Entry, name: str) -> None:
    """Raise if the offcuts of a piece are longer than it was, or together more."""
    (parent,) = entry.find([name])
    offcuts = entry.offcuts_of(name)
    trouble = offcuts_trouble(parent, offcuts)
    if trouble:
        raise RackRefused(f"{trouble}; measure again, or undo the return that is wrong")


def _refuse_twice(ids: Sequence[str]) -> None:
    twice = [name for name, count in Counter(map(read_tag, ids)).items() if count > 1]
    if twice:
        raise RackRefused(f"{', '.join(twice)} stands twice; name each piece once")

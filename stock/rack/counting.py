"""A shelf is counted: what lies there is held against what the ledger says, and the differences are booked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from stock.errors import RackRefused
from stock.rack.entry import Entry
from stock.rack.ledger import Ledger
from stock.rack.record import Held, State, check_text, size_words
from stock.rack.tag import read_tag


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A piece that was seen on a shelf.

    Parameters
    ----------
    length
        Ticks, if it was measured; None: taken as the ledger has it.
    """

    id: str
    length: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """What a count found that the ledger does not say.

    Parameters
    ----------
    id
        The piece.
    words
        What is different, without the id.
    state
        How the piece stands once it is booked; None: a person must see to it, a count does not change it.
    """

    id: str
    words: str
    state: State | None


def count(
    ledger: Ledger, place: str, seen: Sequence[Seen], *, booked: bool
) -> tuple[int | None, tuple[Difference, ...]]:
    """Hold what was seen at a place against the ledger.

    Parameters
    ----------
    place
        As the ledger calls it; its case does not matter.
    booked
        Whether the differences are entered: what was not seen is missing, what was seen is there.

    Returns
    -------
    tuple[int | None, tuple[Difference, ...]]
        The number of the action, None if nothing was booked; the differences.

    Raises
    ------
    RackRefused
        If an id is unknown or named twice, or there is no place.
    """
    place = check_text(place.strip())
    if not place:
        raise RackRefused("a count needs the place that was counted, such as bay 3")
    names = [read_tag(one.id) for one in seen]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise RackRefused(f"{', '.join(twice)} stands twice; name each piece once")
    measured = {name: one.length for name, one in zip(names, seen, strict=True)}
    with ledger.adding("count", place) as entry:
        differences = tuple(_differences(entry, place, measured))
        if booked:
            for one in differences:
                if one.state is not None:
                    entry.count(one.id, one.state)
        did_any = bool(entry.touched)
    return (entry.action.number if did_any else None), differences


def _differences(entry: Entry, place: str, measured: dict[str, int | None]) -> Iterator[Difference]:
    for piece in entry.find(list(measured)):
        yield from _seen(entry, piece, place, measured[piece.id])
    for piece in entry.here():
        if piece.state.place.casefold() == place.casefold() and piece.id not in measured:
            yield Difference(id=piece.id, words="not found", state=replace(piece.state, standing="missing"))


def _seen(entry: Entry, piece: Held, place: str, length: int | None) -> Iterator[Difference]:
    """What is different about a piece that was seen at a place."""
    state, words = piece.state, []
    if state.standing in ("ordered", "void"):
        yield Difference(id=piece.id, words="here, though it never came; see whose it is", state=None)
        return
    if state.standing == "taken" and state.job:
        return  # it waits for its job where it lay
    if state.standing not in ("on hand", "reserved"):
        if entry.offcuts_of(piece.id):
            yield Difference(id=piece.id, words="here, though what is left of it came back", state=None)
            return
        words.append(f"here, though {state.standing}")
        if state.standing == "missing" and state.job:
            state = replace(state, standing="reserved")
        else:
            state = replace(state, standing="on hand", job="")
    if state.place.casefold() != place.casefold():
        words.append(f"not at {state.place}" if state.place else "had no place")
        state = replace(state, place=place)
    if length is not None and length != state.length:
        before, now = (size_words(ticks, None, piece.unit) for ticks in (state.length, length))
        words.append(f"{now} long, not {before}")
        state = replace(state, length=length)
    if words:
        yield Difference(id=piece.id, words=", ".join(words), state=state)

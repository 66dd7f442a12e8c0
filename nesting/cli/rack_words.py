"""How pieces of the rack ledger are told: as lines for people, as plain data for scripts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Any

from nesting.rules.sources import material_words
from stock.rack.booking import Traced
from stock.rack.counting import Difference
from stock.rack.record import Action, Event, Held, size_words

_ENDS = {0: "none", 1: "one", 2: "both"}


def piece_lines(pieces: Sequence[Held], *, with_standing: bool) -> Iterator[str]:
    """A line a piece under a line a material."""
    material = None
    for piece in pieces:
        if piece.material != material:
            material = piece.material
            yield material_words(material)
        yield from _piece(piece, with_standing)


def _piece(piece: Held, with_standing: bool) -> Iterator[str]:
    state = piece.state
    more = [state.place, state.heat and f"heat {state.heat}", state.certificate]
    if state.clean_ends:
        more.append(f"clean ends: {_ENDS[state.clean_ends]}")
    if with_standing:
        more.append(state.standing + (f" for {state.job}" if state.job else ""))
    head = f"  {piece.id:<8}{size_words(state.length, state.width, piece.unit):<22}"
    yield from wrap(head + ", ".join(filter(None, more)), 100, subsequent_indent=" " * 32)


def history_lines(piece: Held, events: Sequence[Event], cuts: Sequence[Traced]) -> Iterator[str]:
    """What a piece is, where it comes from, everything that happened to it, and what is cut from it."""
    yield f"{piece.id}: {material_words(piece.material)}"
    if piece.parent:
        yield f"  offcut of {piece.parent}"
    if piece.origin:
        yield f"  from {piece.origin}"
    for event in events:
        state = event.state
        words = [state.standing + (f" for {state.job}" if state.job else "")]
        words.append(size_words(state.length, state.width, piece.unit))
        words += filter(None, [state.place, state.heat and f"heat {state.heat}", state.certificate])
        yield f"  {event.action.at}  action {event.action.number:<5} {event.kind:<9} {', '.join(words)}"
    for cut in cuts:
        yield f"  {cut.count} x {cut.mark} are cut from it, {cut.kind} {cut.number}"


def action_line(action: Action) -> str:
    """One action: number, when, what."""
    undone = "" if action.undoes is None else f" of action {action.undoes}"
    return f"  {action.number:<6}{action.at}  {action.act}{undone}{action.note and f': {action.note}'}"


def difference_lines(differences: Sequence[Difference]) -> Iterator[str]:
    """What a count found, a line each."""
    for one in differences:
        yield f"  {one.id:<8}{one.words}" + (" (not booked)" if one.state is None else "")


def piece_data(piece: Held) -> dict[str, Any]:
    """A piece for scripts: lengths in ticks of 1/3,200,000 mm, and as they are written."""
    state = piece.state
    return {
        "id": piece.id,
        "material": piece.material.designation,
        "grade": piece.material.grade,
        "finish": piece.material.finish,
        "size": size_words(state.length, state.width, piece.unit),
        "length": state.length,
        "width": state.width,
        "clean_ends": state.clean_ends,
        "standing": state.standing,
        "place": state.place,
        "heat": state.heat,
        "certificate": state.certificate,
        "value": f"{state.value:f}",
        "job": state.job,
        "parent": piece.parent,
        "origin": piece.origin,
    }


def event_data(event: Event) -> dict[str, Any]:
    """An event for scripts."""
    return {
        "action": event.action.number,
        "at": event.action.at,
        "act": event.action.act,
        "kind": event.kind,
        "standing": event.state.standing,
        "length": event.state.length,
        "width": event.state.width,
        "place": event.state.place,
        "heat": event.state.heat,
        "certificate": event.state.certificate,
        "job": event.state.job,
    }

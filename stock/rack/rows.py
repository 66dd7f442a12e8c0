"""Rows of the file to what they record and back, and the seal over them."""

from __future__ import annotations

import hashlib
import json
from decimal import Decimal
from functools import lru_cache
from typing import Any

from stock.length import Unit
from stock.material import Material, parse_material
from stock.rack.record import Action, Event, Held, Kind, State

_STATE = "e.standing, e.length, e.width, e.clean_ends, e.place, e.heat, e.certificate, e.value, e.job"
HELD = (
    f"SELECT p.id, m.designation, m.unit, m.grade, m.finish, p.parent, p.origin, e.step, {_STATE} FROM state s "
    "JOIN event e ON e.number = s.event JOIN piece p ON p.id = s.piece JOIN material m ON m.number = p.material"
)
"""Pieces as they stand."""
EVENT = (
    f"SELECT e.number, a.number, a.at, a.act, a.note, a.undoes, e.piece, e.step, e.kind, {_STATE} FROM event e "
    "JOIN action a ON a.number = e.action"
)
"""Events with their actions."""


def held_of(row: tuple[Any, ...]) -> Held:
    """A row of `HELD`."""
    name, designation, unit, grade, finish, parent, origin, step, *state = row
    return Held(
        id=name,
        material=material_of(designation, unit, grade, finish),
        unit=unit,
        parent=parent or "",
        origin=origin,
        step=step,
        state=_state(*state),
    )


def event_of(row: tuple[Any, ...]) -> Event:
    """A row of `EVENT`."""
    number, *action, piece, step, kind = row[:9]
    return Event(
        number=number,
        action=action_of(tuple(action)),
        piece=piece,
        step=step,
        kind=kind,
        state=_state(*row[9:]),
    )


def action_of(row: tuple[Any, ...]) -> Action:
    """A row of (number, at, act, note, undoes)."""
    number, at, act, note, undoes = row
    return Action(number=number, at=at, act=act, note=note, undoes=undoes)


def event_row(number: int, action: int, held: Held, kind: Kind) -> tuple[Any, ...]:
    """An event of a piece as a row of the table."""
    s = held.state
    shape = (s.standing, s.length, s.width, s.clean_ends)
    return (
        number, action, held.id, held.step, kind, *shape, s.place, s.heat, s.certificate, f"{s.value:f}", s.job
    )  # fmt: skip


@lru_cache(maxsize=4096)
def material_of(designation: str, unit: Unit, grade: str, finish: str) -> Material:
    """A material as it was written down; the rack repeats a few of them."""
    return parse_material(designation, unit=unit, grade=grade, finish=finish)


@lru_cache(maxsize=4096)
def _money(text: str) -> Decimal:
    return Decimal(text)


def seal_of(before: str, action: Action, *rows: Any) -> str:
    """The seal of an action: a digest of the seal before it and of every row that it added.

    Whoever changes an old row breaks every seal from there on.
    """
    facts = [before, action.number, action.at, action.act, action.note, action.undoes, *rows]
    text = json.dumps(facts, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()[:32]


def _state(*row: Any) -> State:
    standing, length, width, clean_ends, place, heat, certificate, value, job = row
    return State(
        standing=standing,
        length=length,
        width=width,
        clean_ends=clean_ends,
        place=place,
        heat=heat,
        certificate=certificate,
        value=_money(value),
        job=job,
    )

"""What a ledger records: pieces, how one stands, and the events that change that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from stock.errors import RackRefused
from stock.length import LONGEST, Unit, show_length
from stock.material import Material, Shape
from stock.rack.piece import RackPiece

Standing = Literal["ordered", "on hand", "reserved", "taken", "missing", "scrapped", "void"]
"""Ordered: bought for a job, not here yet. Reserved: here, for a job. Taken: at the saw, or cut. Missing: a count did
not find it. Void: never was, as the action that brought it was undone."""
Kind = Literal[
    "received", "taken", "returned", "moved", "counted", "scrapped", "reserved", "released", "undone"
]

STEPS: dict[Kind, frozenset[tuple[Standing | None, Standing]]] = {
    "received": frozenset({(None, "on hand"), ("ordered", "reserved")}),
    "returned": frozenset({(None, "on hand")}),
    "reserved": frozenset({(None, "ordered")}),
    "released": frozenset({("ordered", "void"), ("reserved", "on hand")}),
    "taken": frozenset({("on hand", "taken"), ("reserved", "taken")}),
    "moved": frozenset({("on hand", "on hand"), ("reserved", "reserved")}),
    "counted": frozenset(
        {
            ("on hand", "on hand"),
            ("on hand", "missing"),
            ("reserved", "reserved"),
            ("reserved", "missing"),
            ("missing", "on hand"),
            ("missing", "reserved"),
            ("taken", "on hand"),
            ("scrapped", "on hand"),
        }
    ),
    "scrapped": frozenset(
        {("on hand", "scrapped"), ("reserved", "scrapped"), ("missing", "scrapped"), ("taken", "scrapped")}
    ),
}
"""What each kind of event can do to a piece, from (None: it was not there) to. "undone" puts back what was before."""

_LONGEST_TEXT = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """What of a piece can change.

    Parameters
    ----------
    length
        Ticks, as measured.
    width
        Ticks of a sheet; None for bars.
    clean_ends
        How many ends need no trim: 0, 1 or 2.
    value
        What using it costs a job, money.
    job
        Which job it is ordered, reserved or taken for; "" for none.
    """

    standing: Standing
    length: int
    width: int | None = None
    clean_ends: int = 0
    place: str = ""
    heat: str = ""
    certificate: str = ""
    value: Decimal = Decimal(0)
    job: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPiece:
    """A piece that comes into the ledger.

    Parameters
    ----------
    unit
        In which the bare numbers of its designation count.
    length
        Ticks.
    width
        Ticks, of a sheet; None for bars.
    id
        What is written on it already; "": the ledger gives it one.
    parent
        Id of the piece that it is an offcut of; "" if of none.
    origin
        Where it comes from, in words: a yard, or which stick of which job.
    """

    material: Material
    unit: Unit
    length: int
    width: int | None = None
    clean_ends: int = 0
    place: str = ""
    heat: str = ""
    certificate: str = ""
    value: Decimal = Decimal(0)
    id: str = ""
    parent: str = ""
    origin: str = ""

    def __post_init__(self) -> None:
        what = self.id or self.material.designation
        if self.material.is_plate != (self.width is not None):
            raise RackRefused(
                f"{what}: {self.material.designation} "
                + (
                    "comes in sheets; give a width beside the length"
                    if self.material.is_plate
                    else "is a bar"
                )
                + ("" if self.material.is_plate else "; leave out the width")
            )
        if not 0 < self.length <= LONGEST or (self.width is not None and not 0 < self.width <= LONGEST):
            raise RackRefused(f"{what}: a length or width must be above zero and at most 1 km; measure again")
        if self.clean_ends not in ((0, 2) if self.material.is_plate else (0, 1, 2)):
            raise RackRefused(f"{what}: clean ends are none, one or both; of a sheet none or both")
        if not self.value.is_finite() or self.value < 0:
            raise RackRefused(f"{what}: the value must be zero or more")
        for text in (self.place, self.heat, self.certificate, self.origin):
            check_text(text)

    def state(self, standing: Standing, job: str = "") -> State:
        """How it stands when it comes."""
        return State(
            standing=standing,
            length=self.length,
            width=self.width,
            clean_ends=self.clean_ends,
            place=self.place,
            heat=self.heat,
            certificate=self.certificate,
            value=self.value,
            job=job,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A piece of the ledger and how it stands.

    Parameters
    ----------
    step
        How many events it has seen.
    parent, origin
        As of `NewPiece`.
    """

    id: str
    material: Material
    unit: Unit
    parent: str
    origin: str
    step: int
    state: State

    def as_rack(self) -> RackPiece:
        """As a source of a job."""
        state = self.state
        return RackPiece(
            id=self.id,
            material=self.material,
            length=state.length,
            width=state.width,
            clean_ends=state.clean_ends,
            value=state.value,
            place=state.place,
            heat=state.heat,
            certificate=state.certificate,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One command that was carried out.

    Parameters
    ----------
    number
        1, 2, 3 ...
    at
        When, UTC, ISO 8601 to the second.
    act
        Which command.
    undoes
        Number of the action that it takes back; None: none.
    """

    number: int
    at: str
    act: str
    note: str = ""
    undoes: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that happened to one piece, with how the piece stands after it."""

    number: int
    action: Action
    piece: str
    step: int
    kind: Kind
    state: State


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What a command did: the number of its action, and the ids it was about, new ones as they were given."""

    action: int
    ids: tuple[str, ...] = field(default=())


def room_of(material: Material, length: int, width: int | None) -> int:
    """What a piece has to give: square ticks seen from above of sheets and flat bars, ticks of length of other bars."""
    if width is None and material.shape is Shape.FLAT:
        width = material.largest_side
    return length * (width or 1)


def offcuts_trouble(parent: Held, offcuts: Sequence[tuple[str, Material, int, int | None]]) -> str:
    """Why these offcuts cannot all be of one piece, as a sentence; "" if they can.

    Parameters
    ----------
    offcuts
        (id, material, length, width) as they came back, ticks.
    """
    state, material = parent.state, parent.material
    across = material.largest_side if state.width is None else state.width
    for name, _, length, width in offcuts:
        fits = length <= state.length and (width is None or width <= across)
        turned = width is not None and width <= state.length and length <= across
        if not (fits or turned):
            return f"{name} cannot be an offcut of {parent.id}: it is larger than that piece was"
    whole = room_of(material, state.length, state.width)
    if sum(room_of(of, length, width) for _, of, length, width in offcuts) > whole:
        sizes = ", ".join(
            f"{name} {size_words(length, width, parent.unit)}" for name, _, length, width in offcuts
        )
        return f"the offcuts of {parent.id} are together more than that piece was ({sizes})"
    return ""


def size_words(length: int, width: int | None, unit: Unit) -> str:
    """A length, or length by width of a sheet, as one writes it."""
    return (
        show_length(length, unit, feet=unit == "in").removesuffix(' 0"')
        if width is None
        else f"{show_length(length, unit)} x {show_length(width, unit)}"
    )


def check_text(text: str) -> str:
    """A text as it is; RackRefused if it is too long for a label or holds signs that do not print."""
    if len(text) > _LONGEST_TEXT or not text.isprintable():
        raise RackRefused(
            f"{text!r:.60}: write at most {_LONGEST_TEXT} signs that can be printed, in one line"
        )
    return text

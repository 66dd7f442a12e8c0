"""Pieces for the tests of the ledger."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from stock.length import PER_INCH
from stock.material import Material, parse_material
from stock.rack.piece import RackPiece
from stock.rack.record import Held, NewPiece

TUBE = parse_material("tube 2 x 2 x 1/8", unit="in", grade="A500")
PLATE = parse_material("plate 3/8", unit="in")
FLAT = parse_material("flat 3/8 x 8", unit="in")


def bar(inches: int = 240, material: Material = TUBE, **fields: Any) -> NewPiece:
    """A new bar."""
    return NewPiece(material=material, unit="in", length=inches * PER_INCH, **fields)


def sheet(length: int = 96, width: int = 48, **fields: Any) -> NewPiece:
    """A new sheet; inches."""
    return NewPiece(material=PLATE, unit="in", length=length * PER_INCH, width=width * PER_INCH, **fields)


def known(bar: NewPiece, name: str) -> RackPiece:
    """As a plan knows a piece that was put like this."""
    return RackPiece(
        id=name,
        material=bar.material,
        length=bar.length,
        width=bar.width,
        clean_ends=bar.clean_ends,
        value=bar.value,
        place=bar.place,
        heat=bar.heat,
        certificate=bar.certificate,
    )


def standings(pieces: tuple[Held, ...]) -> dict[str, str]:
    """How each piece stands, by id."""
    return {piece.id: piece.state.standing for piece in pieces}


EVERY = ("ordered", "on hand", "reserved", "taken", "missing", "scrapped", "void")
VALUE = Decimal("62.47")

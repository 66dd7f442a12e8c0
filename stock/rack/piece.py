"""Material on hand."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from stock.errors import BadValue
from stock.material import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class RackPiece:
    """One piece of material on hand.

    Parameters
    ----------
    id
        What is written on it.
    length
        Measured, ticks.
    width
        Ticks, plate and sheet only.
    clean_ends
        How many ends need no trim: 0, 1 or 2.
    value
        What using it costs the job; 0 if not said.
    place
        Where it lies.
    heat, certificate
        Its heat number, and where the mill's certificate of it is filed.
    """

    id: str
    material: Material
    length: int
    width: int | None = None
    clean_ends: int = 0
    value: Decimal = Decimal(0)
    place: str = ""
    heat: str = ""
    certificate: str = ""

    def __post_init__(self) -> None:
        if self.length <= 0 or (self.width is not None and self.width <= 0):
            raise BadValue(f"rack {self.id}: length and width must be above zero")
        if self.clean_ends not in (0, 1, 2):
            raise BadValue(f"rack {self.id}: clean_ends is 0, 1 or 2")


@dataclass(frozen=True, slots=True)
class RackVersion:
    """A moment of a rack ledger: no other ledger, and no other history of it, has the same.

    Parameters
    ----------
    number
        Of the last action that it holds; 0: none yet.
    seal
        Of that action, which seals everything before it; before the first one that of the new ledger.
    """

    number: int
    seal: str

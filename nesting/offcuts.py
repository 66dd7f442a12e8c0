"""What is left over: offcuts worth keeping, and how much of the bar material becomes parts."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.plan import GroupPlan
from nesting.saw_list import SawList, Stick
from stock.material import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """Rests of one material and length that are worth keeping.

    Parameters
    ----------
    runs
        Numbers of the sticks that leave them, as (first, how many).
    clean_ends
        How many of its ends were cut by the saw or came clean.
    weight_kg
        Of one.
    """

    material: Material
    length: int
    clean_ends: int
    runs: tuple[tuple[int, int], ...]
    weight_kg: float

    @property
    def count(self) -> int:
        """How many there are."""
        return sum(times for _, times in self.runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Where the length of all sticks of a group goes, ticks."""

    used: int
    kept: int
    lost: int

    @property
    def total(self) -> int:
        """Length of all sticks."""
        return self.used + self.kept + self.lost


def offcuts_of(saws: SawList) -> tuple[Offcut, ...]:
    """The offcuts worth keeping, in the order in which their sticks are cut, equal ones together."""
    runs: dict[tuple[Material, int, int], list[tuple[int, int]]] = {}
    for stick in saws.sticks:
        if stick.layout.keep:
            runs.setdefault((stick.material, stick.layout.rest, _clean_ends(stick)), []).append(stick.run)
    return tuple(
        Offcut(
            material=material,
            length=length,
            clean_ends=clean,
            runs=tuple(found),
            weight_kg=material.weight_kg(length),
        )
        for (material, length, clean), found in runs.items()
    )


def use_of(group: GroupPlan) -> Use:
    """How much of a group's sticks becomes parts, is kept, and is lost to saw cuts, trim and scrap."""
    total = sum(layout.length * layout.times for layout in group.layouts)
    used = sum(piece.extent * layout.times for layout in group.layouts for piece in layout.pieces)
    kept = sum(layout.rest * layout.times for layout in group.layouts if layout.keep)
    return Use(used=used, kept=kept, lost=total - used - kept)


def _clean_ends(stick: Stick) -> int:
    if not stick.layout.pieces:
        return stick.source.clean_ends
    return 1 + stick.far_end_clean

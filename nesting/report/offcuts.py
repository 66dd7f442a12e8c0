"""What is left over: offcuts worth keeping, and how much of sticks and sheets becomes parts."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.plan import GroupPlan, Rect
from nesting.report.saw_list import SawList, Stick
from nesting.report.sheet_list import Sheet, SheetList
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
class SheetOffcut:
    """Rectangles of one material and size that are worth keeping.

    Parameters
    ----------
    length, width
        Ticks: along the length of the sheet, as its grain runs, and across.
    count
        How many there are.
    runs
        Numbers of the sheets that leave them, as (first, how many).
    weight_kg
        Of one.
    """

    material: Material
    length: int
    width: int
    count: int
    runs: tuple[tuple[int, int], ...]
    weight_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Where the length of all sticks of a group goes, ticks, or the area of all its sheets, square ticks."""

    used: int
    kept: int
    lost: int

    @property
    def total(self) -> int:
        """Of all sticks, or of all sheets."""
        return self.used + self.kept + self.lost


def offcuts_of(saws: SawList) -> tuple[Offcut, ...]:
    """The offcuts worth keeping, in the order in which their sticks are cut, equal ones together."""
    runs: dict[tuple[Material, int, int], list[tuple[int, int]]] = {}
    for stick in saws.sticks:
        if stick.layout.keep:
            runs.setdefault((stick.material, stick.layout.rest, clean_ends_left(stick)), []).append(stick.run)
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


def clean_ends_left(stick: Stick) -> int:
    """How many ends of the rest of a stick were cut by the saw or came clean."""
    if not stick.layout.pieces:
        return stick.clean_ends
    return 1 + stick.far_end_clean


def sheet_offcuts_of(sheets: SheetList) -> tuple[SheetOffcut, ...]:
    """The rectangles worth keeping, in the order in which their sheets are cut, equal ones that lie alike together."""
    found: dict[tuple[Material, int, int], SheetOffcut] = {}
    for sheet in sheets.sheets:
        for place in sheet.layout.offcuts:
            size = (sheet.material, place.length, place.width)
            before = found.get(size)
            found[size] = SheetOffcut(
                material=sheet.material,
                length=place.length,
                width=place.width,
                count=sheet.layout.times + (before.count if before else 0),
                runs=tuple(dict.fromkeys((*(before.runs if before else ()), sheet.run))),
                weight_kg=rect_kg(sheet, place),
            )
    return tuple(found.values())


def rect_kg(sheet: Sheet, place: Rect) -> float:
    """Weight of a rectangle of a sheet, by its share of the area."""
    return sheet.weight_kg * (place.length * place.width) / (sheet.layout.length * sheet.layout.width)


def use_of(group: GroupPlan) -> Use:
    """How much of a group's sticks becomes parts, is kept, and is lost to cuts, trim and scrap or left at a yard."""
    total = sum(layout.length * layout.times for layout in group.layouts if layout.segment is None)
    total += sum(parting.length * parting.times for parting in group.partings)
    used = sum(piece.extent * layout.times for layout in group.layouts for piece in layout.pieces)
    kept = sum(layout.rest * layout.times for layout in group.layouts if layout.keep)
    return Use(used=used, kept=kept, lost=total - used - kept)


def area_use_of(group: GroupPlan) -> Use:
    """How much of the area of a group's sheets becomes parts, is kept, and is lost to cuts, trim and scrap."""
    total = used = kept = 0
    for layout in group.sheets:
        total += layout.length * layout.width * layout.times
        used += sum(piece.place.length * piece.place.width for piece in layout.pieces) * layout.times
        kept += sum(place.length * place.width for place in layout.offcuts) * layout.times
    return Use(used=used, kept=kept, lost=total - used - kept)

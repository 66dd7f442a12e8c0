"""Parts that come together: told again from the rule, and whether each lot lies in one stick.

The rule: parts of one assembly with the same word in `together` come from one stick, as many of each as one
assembly has; parts without an assembly with all their copies. They are sawn to length, not cut from a sheet, and lie
anywhere on their stick, by the rules of mitres.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from nesting.check.mitres import on_bar
from nesting.check.outer import Beside, Weighed, weighed
from nesting.check.supply import Supply
from nesting.check.ways import Source, sawn_extent
from nesting.job import Part
from nesting.plan import Plan


@dataclass(frozen=True, slots=True)
class Unit:
    """What a plan cuts as a whole: a piece of a part, or the pieces of a lot.

    Parameters
    ----------
    parts
        Each with its pieces in one unit, in job order.
    copies
        How many such units are asked for.
    """

    parts: tuple[tuple[Part, int], ...]
    copies: int

    @property
    def first(self) -> Part:
        """The part at which the price of a unit stands."""
        return self.parts[0][0]

    @property
    def mark(self) -> str:
        """Mark of that part."""
        return self.first.mark

    @property
    def pieces(self) -> int:
        """How many pieces it is."""
        return sum(number for _, number in self.parts)

    def extent_on(self, source: Source) -> int | None:
        """Ticks of its pieces along a stick, without any cut; None if they are not sawn from it."""
        total = 0
        for part, number in self.parts:
            extent = sawn_extent(part, source)
            if extent is None:
                return None
            total += number * extent
        return total

    def weighed(self, source: Source, cut: int, others: Beside | None = None) -> Weighed:
        """A unit as a stick of a source sees it on a saw whose square cut takes `cut` ticks; see `outer.weighed`."""
        each = [
            (number, weighed(on_bar(part, source.material), sawn_extent(part, source) or 0, cut, others))
            for part, number in self.parts
        ]
        tolls = [toll for _, one in each for toll in one.tolls]
        weight = sum(number * one.weight for number, one in each)
        return Weighed(self.first, weight, (min(tolls), max(tolls)), self.pieces)

    @property
    def words(self) -> str:
        """How the breaches name it: "2 x A and 1 x B"."""
        return " and ".join(f"{number} x {part.mark}" for part, number in self.parts)


def units_of(supply: Supply, parts: Iterable[Part]) -> list[Unit]:
    """The units of some parts, in the order of their first parts."""
    built = {assembly.name: assembly.qty for assembly in supply.job.assemblies}
    units: dict[tuple[str, str], Unit] = {}
    for part in parts:
        if not part.together:
            units["part", part.mark] = Unit(((part, 1),), supply.copies[part.mark])
            continue
        key = (f"together in {part.assembly}", part.together)
        before = units[key].parts if key in units else ()
        units[key] = Unit((*before, (part, part.qty)), built.get(part.assembly, 1))
    return list(units.values())


def lot_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say which sticks hold a part of a lot without the rest of it."""
    lots = [unit for unit in units_of(supply, supply.job.parts) if unit.pieces > 1]
    for group in plan.groups:
        for number, layout in enumerate(group.layouts, start=1):
            held = Counter(piece.mark for piece in layout.pieces)
            for lot in lots:
                found = [(held[part.mark], each) for part, each in lot.parts]
                whole = max(-(-count // each) for count, each in found)
                if any(count != whole * each for count, each in found):
                    said = " and ".join(f"{held[part.mark]} x {part.mark}" for part, _ in lot.parts)
                    yield (
                        f"group {group.name}, layout {number} ({layout.source}): {lot.words} come together from one"
                        f" stick, found are {said}"
                    )
        on_sheets = {piece.mark for sheet in group.sheets for piece in sheet.pieces}
        for lot in lots:
            for part, _ in lot.parts:
                if part.mark in on_sheets:
                    yield (
                        f"group {group.name}: part {part.mark} lies on a sheet, due is a stick, with all of {lot.words}"
                    )

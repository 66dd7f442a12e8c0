"""Cross-sections: area, outside girth and symmetry of each shape, under the corner rule of its standard."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from stock.length import PER_MM, to_mm
from stock.standard import table


class Shape(StrEnum):
    """Shapes of stock, by the word that stands first in a designation."""

    TUBE = "tube"
    ROUND_TUBE = "round tube"
    PIPE = "pipe"
    ANGLE = "angle"
    CHANNEL = "channel"
    FLAT = "flat"
    ROUND = "round"
    SQUARE = "square"
    HEXAGON = "hexagon"
    PLATE = "plate"


class Rule(StrEnum):
    """The rule by which a standard's tables count corners and weight."""

    SHARP = "sharp"
    PIPE = "pipe"
    STRUCTURAL = "structural"
    MECHANICAL = "mechanical"
    EXTRUDED = "extruded"
    COLD_FORMED = "cold formed"
    HOT_FINISHED = "hot finished"
    US_ANGLE = "US angle"
    EN_ANGLE = "EN angle"
    US_CHANNEL = "US channel"
    EN_CHANNEL = "EN channel"


TAKEN = {
    Rule.SHARP: "sharp corners",
    Rule.PIPE: "ASME B36 pipe, nominal wall",
    Rule.STRUCTURAL: "structural tube (HSS), nominal wall; corners: outer radius 2t, inner t",
    Rule.MECHANICAL: "mechanical tube, sharp corners",
    Rule.EXTRUDED: "extruded tube, sharp corners",
    Rule.COLD_FORMED: "cold formed, EN 10219 corners: outer radius 2t to 6 mm wall, 2.5t to 10 mm, 3t above",
    Rule.HOT_FINISHED: "hot finished, EN 10210 corners: outer radius 1.5t, inner t",
    Rule.US_ANGLE: "US angle, sharp corners",
    Rule.EN_ANGLE: "EN 10056 angle with its root and toe radii",
    Rule.US_CHANNEL: "US channel, weight as in its name",
    Rule.EN_CHANNEL: "EN 10365 channel",
}

_FLAT_SIDED = frozenset({"about length", "about wide", "about narrow"})


@dataclass(frozen=True, slots=True)
class Section:
    """A cross-section, or the thickness of a plate.

    Parameters
    ----------
    shape
        Its shape.
    sizes
        Ticks. Tube: larger side, smaller side, wall. Round tube, pipe: outside diameter, wall. Angle: larger
        leg, smaller leg, thickness. Channel: depth, flange, web, flange thickness. Flat: width, thickness.
        Round: diameter. Square: side. Hexagon: across flats. Plate: thickness.
    rule
        How the standard counts corners.
    name
        Row of the table it was taken from ("C3x4.1", "2 sch 40"), channels and pipe only.
    """

    shape: Shape
    sizes: tuple[int, ...]
    rule: Rule = Rule.SHARP
    name: str = ""

    @property
    def largest_side(self) -> int:
        """Ticks: what a saw must take."""
        return max(self.sizes)

    def depth(self, plane: str) -> int:
        """Ticks across the face ("wide", "narrow") that shows a mitre; of a hexagon its corners, upward."""
        across = self.sizes[0]
        if self.shape is Shape.HEXAGON:
            return math.isqrt(4 * across * across // 3) + 1
        if self.shape not in (Shape.TUBE, Shape.ANGLE, Shape.CHANNEL, Shape.FLAT):
            return across
        return (max if plane == "wide" else min)(self.sizes[:2])

    @property
    def turns(self) -> frozenset[str]:
        """Which turns of the bar map the section onto itself.

        "about length": half a turn about the bar's own axis. "about wide", "about narrow": end for end, half
        a turn about the line square to the wide or the narrow face. "quarter": a quarter turn about the bar's
        own axis.
        """
        match self.shape:
            case Shape.ANGLE:
                return frozenset()
            case Shape.CHANNEL:
                return frozenset({"about wide"})
            case Shape.FLAT | Shape.TUBE if self.sizes[0] != self.sizes[1]:
                return _FLAT_SIDED
            case Shape.HEXAGON | Shape.PLATE:
                return _FLAT_SIDED
            case _:
                return _FLAT_SIDED | {"quarter"}

    @property
    def area_mm2(self) -> float:
        """Metal area by the rule of the standard; of a channel with a nominal weight still by its outline."""
        mm = tuple(to_mm(size) for size in self.sizes)
        match self.shape:
            case Shape.TUBE:
                side, other, wall = mm
                outer, inner = self._corner_radii()
                return 2 * wall * (side + other - 2 * wall) - (4 - math.pi) * (outer**2 - inner**2)
            case Shape.ROUND_TUBE | Shape.PIPE:
                return math.pi * mm[1] * (mm[0] - mm[1])
            case Shape.ANGLE:
                leg, other, thick = mm
                root, toe = self._corner_radii()
                return thick * (leg + other - thick) + (1 - math.pi / 4) * (root**2 - 2 * toe**2)
            case Shape.CHANNEL:
                depth, flange, web, thick = mm
                root = self._root_radius()
                return 2 * flange * thick + (depth - 2 * thick) * web + 2 * (1 - math.pi / 4) * root**2
            case Shape.FLAT:
                return mm[0] * mm[1]
            case Shape.ROUND:
                return math.pi * mm[0] ** 2 / 4
            case Shape.SQUARE:
                return mm[0] ** 2
            case Shape.HEXAGON:
                return math.sqrt(3) / 2 * mm[0] ** 2
            case Shape.PLATE:
                raise ValueError("a plate has no cross-section; it has a weight per area")

    @property
    def girth_mm(self) -> float:
        """Outside perimeter: what is painted, per length of bar."""
        mm = tuple(to_mm(size) for size in self.sizes)
        match self.shape:
            case Shape.TUBE:
                return 2 * (mm[0] + mm[1]) - (8 - 2 * math.pi) * self._corner_radii()[0]
            case Shape.ANGLE:
                root, toe = self._corner_radii()
                return 2 * (mm[0] + mm[1]) - (2 - math.pi / 2) * (root + 2 * toe)
            case Shape.CHANNEL:
                return 2 * mm[0] + 4 * mm[1] - 2 * mm[2] - (4 - math.pi) * self._root_radius()
            case Shape.FLAT:
                return 2 * (mm[0] + mm[1])
            case Shape.ROUND | Shape.ROUND_TUBE | Shape.PIPE:
                return math.pi * mm[0]
            case Shape.SQUARE:
                return 4 * mm[0]
            case Shape.HEXAGON:
                return 2 * math.sqrt(3) * mm[0]
            case Shape.PLATE:
                raise ValueError("a plate has no girth; it has a surface per area")

    @property
    def taken(self) -> str:
        """One phrase: the rules that were taken."""
        match self.shape:
            case Shape.ROUND_TUBE if self.rule in (Rule.COLD_FORMED, Rule.HOT_FINISHED):
                return f"round hollow section, {self.rule}, nominal wall"
            case Shape.ROUND_TUBE:
                return f"{self.rule} round tube, nominal wall"
            case Shape.ANGLE if self.rule is Rule.EN_ANGLE and not any(self._corner_radii()):
                return "angle, size not in the EN 10056 table: sharp corners"
            case Shape.CHANNEL if self.rule is Rule.SHARP:
                return "channel of one thickness, sharp corners"
            case Shape.PLATE:
                return "thickness as written"
            case Shape.ROUND | Shape.HEXAGON:
                return "solid bar, full size"
            case _:
                return TAKEN[self.rule]

    def _corner_radii(self) -> tuple[float, float]:
        """Millimetres: of a tube outer and inner, of an angle root and toe."""
        wall = to_mm(self.sizes[-1])
        match self.rule:
            case Rule.STRUCTURAL:
                return 2 * wall, wall
            case Rule.HOT_FINISHED:
                return 1.5 * wall, wall
            case Rule.COLD_FORMED:
                outer = (2.0 if wall <= 6 else 2.5 if wall <= 10 else 3.0) * wall
                return outer, outer - wall
            case Rule.EN_ANGLE:
                for row in table("angles"):
                    if self.sizes == tuple(round(float(row[c]) * PER_MM) for c in _ANGLE_COLUMNS):
                        return float(row["root_radius_mm"]), float(row["toe_radius_mm"])
        return 0.0, 0.0

    def _root_radius(self) -> float:
        """Millimetres: of a channel with parallel flanges, else 0."""
        return next(
            (float(row["root_radius"] or 0) for row in table("channels") if row["name"] == self.name), 0.0
        )


_ANGLE_COLUMNS = ("leg_a_mm", "leg_b_mm", "thickness_mm")

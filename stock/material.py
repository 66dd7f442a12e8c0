"""A material: a section of a metal family, with grade and finish; its weight, surface and cautions."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import Literal

from stock import grade as grades
from stock.designation import read_designation
from stock.gauge import sheet_weights
from stock.grade import Family
from stock.length import Unit, to_inches, to_mm
from stock.section import Rule, Section, Shape
from stock.standard import table

__all__ = ["Family", "Material", "Shape", "fits", "fits_flat", "nearly_fits", "parse_material"]

KG_M_PER_LB_FT = 0.45359237 / 0.3048
_KG_M3_OF_490 = 490 * 0.45359237 / 0.3048**3
_RULE_DENSITY = {
    Rule.STRUCTURAL: _KG_M3_OF_490,
    Rule.PIPE: _KG_M3_OF_490,
    Rule.US_ANGLE: _KG_M3_OF_490,
    Rule.MECHANICAL: 3.40 * KG_M_PER_LB_FT / 0.0254**2,
}
"""kg/m3 with which the US tables of carbon steel were worked out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a part is made of, or a yard sells. Equal if section, family, grade and finish are.

    Parameters
    ----------
    designation
        Canonical name of section and family ("tube 2 x 2 x 1/8", "stainless sheet 0.0625"); grade and finish
        stand apart. Read again with the same unit, grade and finish it gives the same material.
    section
        Cross-section or thickness.
    grade
        "" for any of the family.
    finish
        "hot-rolled", "pickled", "galvanised" or "cold-rolled"; "" for any.
    """

    designation: str = field(compare=False)
    section: Section
    family: Family = Family.CARBON
    grade: str = ""
    finish: str = ""

    @property
    def shape(self) -> Shape:
        """Shape of the section."""
        return self.section.shape

    @property
    def sizes(self) -> tuple[int, ...]:
        """Ticks, in the order `Section` states."""
        return self.section.sizes

    @property
    def is_plate(self) -> bool:
        """Whether it comes in sheets, not in bars."""
        return self.shape is Shape.PLATE

    @property
    def thickness(self) -> int:
        """Ticks: of a plate, flat, wall or leg; of a solid bar its smallest side; of a channel its web."""
        return min(self.sizes)

    @property
    def largest_side(self) -> int:
        """Ticks: what a saw must take."""
        return self.section.largest_side

    def depth(self, plane: Literal["wide", "narrow"]) -> int:
        """Ticks across the face on which a mitre is seen."""
        return self.section.depth(plane)

    @property
    def turns(self) -> frozenset[str]:
        """Which turns map the section onto itself; see `Section.turns`."""
        return self.section.turns

    @property
    def area_mm2(self) -> float:
        """Metal area of the cross-section; a plate has none and raises ValueError."""
        return self.section.area_mm2

    @property
    def kg_per_m(self) -> float:
        """Weight of a bar per metre, by the rule of its standard's tables; a plate raises ValueError."""
        if self.section.rule is Rule.US_CHANNEL:
            return _channel_kg_per_m(self.section.name) * self._density / grades.DENSITY[Family.CARBON]
        return self.area_mm2 * 1e-6 * self._density

    @property
    def kg_per_m2(self) -> float:
        """Weight of a plate per square metre; steel sheet of a standard gauge weighs what its gauge says.

        Source: 15 U.S.C. 206, published: the weight defines the gauge, 2.4 % above thickness times density.
        """
        if not self.is_plate:
            raise ValueError(f"{self.designation} is a bar; it has a weight per length")
        if self.family is Family.CARBON and self.thickness in sheet_weights(self.finish):
            return sheet_weights(self.finish)[self.thickness]
        return to_mm(self.thickness) * 1e-3 * self._density

    def weight_kg(self, length: int, width: int | None = None) -> float:
        """Weight of a bar of `length`, or of a plate `length` by `width`; ticks.

        Raises ValueError if a plate has no width.
        """
        if not self.is_plate:
            return self.kg_per_m * to_mm(length) / 1e3
        return self.kg_per_m2 * to_mm(length) * self._across(width) / 1e6

    def surface_m2(self, length: int, width: int | None = None) -> float:
        """Outside surface, as painted: of a bar without ends, of a plate both faces and the edges; ticks."""
        if not self.is_plate:
            return self.section.girth_mm * to_mm(length) / 1e6
        long, wide, thick = to_mm(length), self._across(width), to_mm(self.thickness)
        return 2 * (long * wide + thick * (long + wide)) / 1e6

    @property
    def taken(self) -> str:
        """One phrase: which rules were taken for what the designation leaves open."""
        if self.is_plate and self.family is Family.CARBON and self.thickness in sheet_weights(self.finish):
            return f"{to_inches(self.thickness):.4f} in by its gauge; weight as the gauge defines it"
        return self.section.taken

    @property
    def cautions(self) -> tuple[str, ...]:
        """Sentences to show wherever it is cut, welded or cleaned."""
        return grades.cautions(self.family, self.finish)

    @property
    def _density(self) -> float:
        if self.family is Family.CARBON:
            return _RULE_DENSITY.get(self.section.rule, grades.density(self.family, self.grade))
        return grades.density(self.family, self.grade)

    def _across(self, width: int | None) -> float:
        if width is None:
            raise ValueError(f"{self.designation} is a plate; its weight and surface need a width")
        return to_mm(width)


def parse_material(
    text: str, *, unit: Unit, decimal: str = ".", grade: str = "", finish: str = ""
) -> Material:
    """Read a designation; see `stock.designation` for how.

    Parameters
    ----------
    text
        Shape and sizes, with family, grade or finish words if wanted: "galvanised sheet 16 ga".
    unit
        What bare numbers count.
    decimal
        The decimal mark.
    grade, finish
        From columns of their own; "" for any.

    Raises
    ------
    BadMaterial
        With one sentence, and near designations where there are some.

    >>> parse_material("HSS2X2X1/8", unit="in").designation
    'tube 2 x 2 x 1/8'
    """
    named = read_designation(text, unit, decimal, grade, finish)
    return Material(
        designation=named.text,
        section=named.section,
        family=named.family,
        grade=named.grade,
        finish=named.finish,
    )


def fits(part: Material, source: Material) -> bool:
    """Whether a part may be cut from a source: same section and family; its blank grade or finish takes any.

    >>> blank = parse_material("tube 2 x 2 x 1/8", unit="in")
    >>> a500 = parse_material("tube 2 x 2 x 1/8", unit="in", grade="A500")
    >>> fits(blank, a500), fits(a500, blank)
    (True, False)
    """
    return part.section == source.section and _is_same_metal(part, source)


def fits_flat(part: Material, source: Material) -> bool:
    """Whether a plate part may be cut from a flat bar: same thickness and family; its blank grade or finish takes any.

    >>> plate = parse_material("plate 3/8", unit="in")
    >>> fits_flat(plate, parse_material("flat 3/8 x 8", unit="in"))
    True
    """
    return (
        part.is_plate
        and source.shape is Shape.FLAT
        and part.thickness == source.thickness
        and _is_same_metal(part, source)
    )


def _is_same_metal(part: Material, source: Material) -> bool:
    return (
        part.family is source.family
        and part.grade in ("", source.grade)
        and part.finish in ("", source.finish)
    )


def nearly_fits(part: Material, source: Material) -> bool:
    """Whether a source does not fit but has the same shape and family, and every size within 5 %.

    >>> part = parse_material("tube 2 x 2 x 1/8", unit="in")
    >>> nearly_fits(part, parse_material("tube 2 x 2 x 0.12", unit="in"))
    True
    """
    return (
        not fits(part, source)
        and part.shape is source.shape
        and part.family is source.family
        and len(part.sizes) == len(source.sizes)
        and all(20 * abs(mine - its) <= mine for mine, its in zip(part.sizes, source.sizes, strict=True))
    )


@cache
def _channel_kg_per_m(name: str) -> float:
    row = next(row for row in table("channels") if row["name"] == name)
    return float(row["lb_per_ft"]) * KG_M_PER_LB_FT

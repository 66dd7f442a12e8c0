"""What a material and a piece of it weigh."""

from __future__ import annotations

from collections.abc import Iterator

from stock.errors import BadLength
from stock.length import PER_MM, Unit, parse_length, show_length
from stock.material import Material, parse_material
from stock.offer import KG_PER_LB

_LB = float(KG_PER_LB)
_FOOT_M = 0.3048
_INCH_MM = 25.4


def weigh_material(
    text: str, length_text: str | None, width_text: str | None, unit: Unit, grade: str
) -> Iterator[str]:
    """Lines for the terminal, both systems of units side by side.

    Raises
    ------
    BadValue
        If the material or a length is not understood, or a plate has no width.
    """
    material = parse_material(text, unit=unit, grade=grade)
    length = None if length_text is None else parse_length(length_text, unit)
    width = None if width_text is None else parse_length(width_text, unit)
    if material.is_plate and length is not None and width is None:
        raise BadLength(f"a piece of {material.designation} needs a length and a width; give both")
    if not material.is_plate and width is not None:
        raise BadLength(f"{material.designation} takes a length only; leave out the width {width_text}")
    yield f"{material.designation}  ({material.taken})"
    yield from _per_plate(material) if material.is_plate else _per_bar(material)
    if length is not None:
        size = show_length(length, unit, feet=unit == "in" and width is None)
        if width is not None:
            size += f" x {show_length(width, unit)}"
        kg = material.weight_kg(length, width)
        surface = material.surface_m2(length, width)
        yield f"piece of {size}"
        yield f"  weight            {kg / _LB:12.3f} lb       {kg:12.3f} kg"
        yield f"  surface, outside  {surface / _FOOT_M**2:12.3f} sq ft    {surface:12.4f} m2"


def _per_bar(material: Material) -> Iterator[str]:
    metre = 1000 * PER_MM
    surface = material.surface_m2(metre)
    yield f"  area              {material.area_mm2 / _INCH_MM**2:12.4f} sq in    {material.area_mm2:12.1f} mm2"
    yield f"  weight            {material.kg_per_m * _FOOT_M / _LB:12.3f} lb/ft    {material.kg_per_m:12.3f} kg/m"
    yield f"  surface, outside  {surface / _FOOT_M:12.3f} sq ft/ft {surface:12.4f} m2/m"


def _per_plate(material: Material) -> Iterator[str]:
    kg = material.kg_per_m2
    yield f"  weight            {kg * _FOOT_M**2 / _LB:12.3f} lb/sq ft {kg:12.3f} kg/m2"

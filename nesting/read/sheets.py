"""What a row says about a width: a sheet has one, a bar has none of its own."""

from __future__ import annotations

from nesting.read.line import Line
from stock.material import Material, Shape


def has_its_width(line: Line, material: Material, width: int | None) -> bool:
    """Whether a row of offers or rack gives a width if, and only if, its material is a sheet; reports what does not.

    The width of a flat bar may be said again, which is told.
    """
    if material.is_plate and width is None:
        line.report(
            "no-width", f"{material.designation} comes in sheets: give the width beside the LENGTH", "width"
        )
        return False
    if material.is_plate or width is None:
        return True
    if is_own_width(material, width):
        line.report(
            "flat-width", f"taken as a bar: {material.designation} has this width itself", "width", "notice"
        )
        return True
    line.report(
        "bar-width",
        f"{line.cell('width').text!r}: {material.designation} is a bar, and its width stands in its name; clear the "
        "cell, or write plate or sheet with its thickness as the material",
        "width",
    )
    return False


def is_own_width(material: Material, width: int) -> bool:
    """Whether a width is that of a flat bar itself."""
    return material.shape is Shape.FLAT and material.largest_side == width


def sheet_ends(line: Line, material: Material, ends: int) -> int:
    """Clean ends; a sheet is clean all round or not at all."""
    if material.is_plate and ends == 1:
        line.report(
            "one-clean-end",
            "a sheet is trimmed on all sides unless both is written: one clean end is taken as none",
            "clean_ends",
            "notice",
        )
        return 0
    return ends

"""What to tell of a part whose material nobody offers: near-equal stock that could be allowed, or what there is."""

from __future__ import annotations

from nesting.job import Job, Part
from nesting.rules.sources import material_words
from stock.length import to_mm
from stock.material import Material, Shape, nearly_fits


def no_source(job: Job, part: Part) -> str:
    """Which stock would do if the user accepted it, or what there is, as one sentence."""
    wanted = material_words(part.material)
    materials = list(dict.fromkeys([*(o.material for o in job.offers), *(r.material for r in job.rack)]))
    near = [m for m in materials if _is_near(part.material, m)]
    if near:
        best = min(near, key=lambda m: _differs(part.material, m))
        return (
            f"no source is {wanted}{_not_the_same(part.material, best)}; if {material_words(best)} will do, add the "
            f"row PART_MATERIAL {_typed(part.material)!r}, OFFER_MATERIAL {_typed(best)!r} to the table allow"
        )
    same = [m for m in materials if m.section == part.material.section] or materials
    shown = "; ".join(material_words(m) for m in same[:6])
    more = f" and {len(same) - 6} more" if len(same) > 6 else ""
    return f"no source is {wanted}; there is {shown}{more}: add an offer or a rack piece, or change the part"


def _is_near(part: Material, source: Material) -> bool:
    """Whether a source could be allowed instead: of plates every sheet and flat bar within a tenth of its thickness.

    So that 1/4 in and 6 mm, 5.5 % apart, count as near.
    """
    if not part.is_plate:
        return nearly_fits(part, source)
    return (
        (source.is_plate or source.shape is Shape.FLAT)
        and part.family is source.family
        and 10 * abs(part.thickness - source.thickness) <= part.thickness
    )


def _differs(part: Material, source: Material) -> tuple[int, bool]:
    """What comes first to mind: the nearest thickness, and a sheet before a flat bar; bars in the order of the job."""
    return (abs(part.thickness - source.thickness), not source.is_plate) if part.is_plate else (0, False)


def _not_the_same(part: Material, near: Material) -> str:
    """That two thicknesses are not the same, where plates differ by that."""
    if not part.is_plate or part.thickness == near.thickness:
        return ""
    mine, its = (f"{to_mm(material.thickness):.4g} mm" for material in (part, near))
    return f", and {material_words(near)} is not the same ({mine} against {its})"


def _typed(material: Material) -> str:
    """A material as it can be typed into one cell, without a comma that would end it in a .csv file."""
    return material_words(material).replace(",", "")

"""Holes part by part: where they lie, and whether the torch can cut them or they are to be drilled."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from nesting.job import Hole, Job, Part
from nesting.plan import Plan
from nesting.report.words import length_words


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedHole:
    """A hole with its number on its part.

    Parameters
    ----------
    made_by
        "torch" or "drill".
    why
        Why it is to be drilled; "" if the torch cuts it.
    """

    number: int
    hole: Hole
    made_by: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartHoles:
    """A part that has holes.

    Parameters
    ----------
    copies
        Of the part in the whole job.
    holes
        In the order of the holes table.
    """

    part: Part
    copies: int
    holes: tuple[ListedHole, ...]


def hole_list(plan: Plan) -> tuple[PartHoles, ...]:
    """Every part that has holes, in job order.

    The torch cuts a hole if it cuts every copy of the part in this plan, the hole goes through, and its diameter is
    at least `torch_hole` thicknesses (1.5 by default: a common rule of plasma cutting services).
    """
    job = plan.job
    sheared, torched, unfilled = _cut_otherwise(plan), _cut_by_torch(plan), dict(plan.unfilled)
    found = []
    for part in job.parts:
        holes = [hole for hole in job.holes if hole.mark == part.mark]
        copies = job.copies(part) - unfilled.get(part.mark, 0)
        if holes and copies:
            is_torched = part.mark in torched and part.mark not in sheared
            listed = tuple(_listed(at, hole, part, job, is_torched) for at, hole in enumerate(holes, 1))
            found.append(PartHoles(part=part, copies=copies, holes=listed))
    return tuple(found)


def _listed(number: int, hole: Hole, part: Part, job: Job, is_torched: bool) -> ListedHole:
    why = _why_drilled(hole, part, job, is_torched)
    return ListedHole(number=number, hole=hole, made_by="drill" if why else "torch", why=why)


def _why_drilled(hole: Hole, part: Part, job: Job, is_torched: bool) -> str:
    """The reason, "" if the torch cuts it."""
    shop, thickness = job.shop, part.material.thickness
    if not is_torched:
        return "the torch does not cut this part" if part.is_plate else "the torch does not cut bars"
    if hole.depth is not None:
        return "it does not go through"
    if hole.diameter < (least := shop.torch_hole * thickness):
        times = f"{shop.torch_hole.normalize():f}".replace(".", shop.decimal)
        return f"smaller than {times} × {length_words(thickness, shop)} = {length_words(ceil(least), shop)}"
    return ""


def _cut_by_torch(plan: Plan) -> set[str]:
    """Marks of which the torch cuts some."""
    layouts = [layout for group in plan.groups for layout in group.sheets if layout.process == "torch"]
    return {piece.mark for layout in layouts for piece in layout.pieces}


def _cut_otherwise(plan: Plan) -> set[str]:
    """Marks of which something else cuts some."""
    marks = {piece.mark for group in plan.groups for layout in group.layouts for piece in layout.pieces}
    layouts = [layout for group in plan.groups for layout in group.sheets if layout.process != "torch"]
    return marks | {piece.mark for layout in layouts for piece in layout.pieces}

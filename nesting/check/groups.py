"""Whether the groups are the right ones: together what hangs together by some source, apart what does not.

A group's bound is about its own parts. Bounds of two groups add up only if no stick or sheet can serve both.
"""

from __future__ import annotations

from collections.abc import Iterator

from nesting.check.supply import Supply
from nesting.check.ways import Source, is_flat_bar
from nesting.plan import Plan
from stock.material import Material


def group_breaches(plan: Plan, supply: Supply) -> Iterator[str]:
    """Say which parts stand in one group, or in two, and should not."""
    kin = _kin(supply)
    group_of: dict[Material, tuple[str, str]] = {}
    for group in plan.groups:
        marks = [m for m in group.marks if m in supply.parts and supply.parts[m].fill is None]
        for mark in marks:
            root = kin[supply.parts[mark].material]
            if root != kin[supply.parts[marks[0]].material]:
                yield f"group {group.name}: parts {marks[0]} and {mark} have no source in common, due are two groups"
            name, first = group_of.setdefault(root, (group.name, mark))
            if name != group.name:
                yield (
                    f"parts {first} and {mark} stand in the groups {name} and {group.name},"
                    " due is one: there are sources that may serve both"
                )


def _kin(supply: Supply) -> dict[Material, Material]:
    """For each material of a part, one that stands for all that hangs together with it."""
    asked = dict.fromkeys(p.material for p in supply.job.parts if p.fill is None)
    kin = {material: material for material in asked}
    for source in dict.fromkeys(s.material for s in _sources(supply)):
        served = [part for part in asked if _links(supply, part, source)]
        roots = {kin[part] for part in served}
        kin = {part: kin[served[0]] if root in roots else root for part, root in kin.items()}
    return kin


def _sources(supply: Supply) -> tuple[Source, ...]:
    return (*supply.job.offers, *supply.job.rack)


def _links(supply: Supply, part: Material, source: Material) -> bool:
    """Whether a material serves another; flat bars the plate parts for which they are wide enough."""
    if not supply.serves(part, source):
        return False
    alike = [s for s in _sources(supply) if s.material == source]
    if not part.is_plate or not any(is_flat_bar(s) for s in alike):
        return True
    needed = (p for p in supply.job.parts if p.fill is None)
    return any(supply.may_come(p, s) for p in needed for s in alike if p.material == part)

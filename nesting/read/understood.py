"""What was understood of a job: materials as taken, how much of each, and what can be cut from what."""

from __future__ import annotations

from dataclasses import dataclass

from nesting.findings import Finding
from nesting.job import Job, Part
from nesting.read.problems import find_source_problems
from nesting.rules.sheet_ways import Source
from nesting.rules.sources import Group, groups_of, material_words, may_come
from stock.material import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialUse:
    """All parts of one material.

    Parameters
    ----------
    name
        Designation, grade and finish.
    taken
        The rules taken for what the designation leaves open.
    parts, pieces
        In the order of the parts table; copies in the whole job.
    length
        Ticks of all pieces that are bar, longest point to longest point.
    area
        Square ticks of all pieces that are plate.
    weight_kg
        Of all pieces, mitres not taken off.
    """

    name: str
    taken: str
    parts: tuple[Part, ...]
    pieces: int
    length: int
    area: int
    weight_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupSources:
    """What the parts of one group can be cut from.

    Parameters
    ----------
    marks
        Parts of the group.
    offers, rack
        Ids of its sources; both empty if the parts have none.
    flats
        (flat bar, marks of the plate parts that it can give).
    """

    name: str
    marks: tuple[str, ...]
    offers: tuple[str, ...]
    rack: tuple[str, ...]
    flats: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """The whole of it.

    Parameters
    ----------
    uses
        In the order of the parts.
    source_materials
        (name, rules taken) of what is offered or on the rack in a material that no part has.
    problems
        Why parts cannot be cut as the job stands; empty if it can be planned.
    notices
        Of the reader.
    """

    uses: tuple[MaterialUse, ...]
    source_materials: tuple[tuple[str, str], ...]
    groups: tuple[GroupSources, ...]
    problems: tuple[Finding, ...]
    notices: tuple[Finding, ...]


def understood(job: Job) -> Understood:
    """What the reader made of a job (see `read_tables`), whether or not its parts have sources."""
    of_parts = dict.fromkeys(part.material for part in job.parts)
    of_sources = dict.fromkeys([*(o.material for o in job.offers), *(r.material for r in job.rack)])
    return Understood(
        uses=tuple(_use(job, material) for material in of_parts),
        source_materials=tuple((material_words(m), m.taken) for m in of_sources if m not in of_parts),
        groups=tuple(
            GroupSources(
                name=group.name,
                marks=tuple(part.mark for part in group.parts),
                offers=tuple(offer.id for offer in group.offers),
                rack=tuple(piece.id for piece in group.rack),
                flats=_flats(job, group),
            )
            for group in groups_of(job)
        ),
        problems=tuple(find_source_problems(job)),
        notices=job.notices,
    )


def _flats(job: Job, group: Group) -> tuple[tuple[str, tuple[str, ...]], ...]:
    may = may_come(job)
    plates = [part for part in group.parts if part.is_plate]
    marks: dict[str, dict[str, None]] = {}
    sources: list[Source] = [*group.offers, *group.rack]
    for source in sources:
        if source.width is None:
            can = marks.setdefault(material_words(source.material), {})
            can.update(dict.fromkeys(part.mark for part in plates if may(part, source)))
    return tuple((flat, tuple(can)) for flat, can in marks.items() if can)


def _use(job: Job, material: Material) -> MaterialUse:
    parts = tuple(part for part in job.parts if part.material == material)
    length = sum(job.copies(part) * part.extent for part in parts if part.width is None)
    area = sum(job.copies(part) * part.length * part.width for part in parts if part.width is not None)
    return MaterialUse(
        name=material_words(material),
        taken=material.taken,
        parts=parts,
        pieces=sum(job.copies(part) for part in parts),
        length=length,
        area=area,
        weight_kg=sum(job.copies(part) * material.weight_kg(part.extent, part.width) for part in parts),
    )

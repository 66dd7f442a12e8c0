"""What each part may be cut from, and which parts and sources hang together.

A source is an offer or a piece on the rack. Whether it is long enough is another question than whether its
material serves, and is asked with `stick_ways.longest_extent`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass

from nesting.job import Job, Part
from nesting.rules.lots import comes_from
from nesting.rules.sheet_ways import Source, may_lie
from stock.material import Material, Shape, fits, fits_flat
from stock.offer import Offer
from stock.rack import RackPiece


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Parts and sources that hang together: a connected component of "this part could come from that source".

    Parameters
    ----------
    name
        Designation (and grade, finish) of the material with the most length; unique in the job.
    parts, offers, rack
        In the job's order; a group of parts without a source has neither offers nor rack.
    """

    name: str
    parts: tuple[Part, ...]
    offers: tuple[Offer, ...]
    rack: tuple[RackPiece, ...]


def serves(job: Job) -> Callable[[Material, Material], bool]:
    """The test whether a part of one material may be cut from a source of another, allow rows included.

    A flat bar serves the plate of its thickness; whether a part has room on it is asked with `may_come`.
    """

    def test(part: Material, source: Material) -> bool:
        return (
            fits(part, source)
            or fits_flat(part, source)
            or any(fits(part, allow.part) and source == allow.offer for allow in job.allow)
        )

    return test


def may_come(job: Job) -> Callable[[Part, Source], bool]:
    """The test whether a part may be cut from a source: the one it names, of a material that serves, and a flat bar
    that is wide enough.

    Bar parts and sheets are not measured here: too short a source is told to the user as such.
    """
    test = serves(job)

    def may(part: Part, source: Source) -> bool:
        if not comes_from(part, source) or not test(part.material, source.material):
            return False
        return not (part.is_plate and source.material.shape is Shape.FLAT) or may_lie(job, part, source)

    return may


def groups_of(job: Job) -> tuple[Group, ...]:
    """Every part that must be made in exactly one group, in the order of their first parts.

    Sources that serve no such part are in no group, and neither are fill parts: what they are cut from is left over
    from the others.
    """
    test = serves(job)
    sources = _source_materials(job)
    parts = tuple(dict.fromkeys(part.material for part in job.needed))
    links = [
        (("part", p), ("source", s)) for p in parts for s in sources if test(p, s) and _reaches(job, p, s)
    ]
    root = _components([("part", p) for p in parts], links)

    members: dict[Hashable, list[Part]] = defaultdict(list)
    for part in job.needed:
        members[root["part", part.material]].append(part)
    names = _names(job, members.values())
    return tuple(
        Group(
            name=name,
            parts=tuple(of_group),
            offers=tuple(o for o in job.offers if root.get(("source", o.material)) == key),
            rack=tuple(r for r in job.rack if root.get(("source", r.material)) == key),
        )
        for (key, of_group), name in zip(members.items(), names, strict=True)
    )


def _reaches(job: Job, part: Material, source: Material) -> bool:
    """Whether some part of one material may come from some source of another."""
    if not part.is_plate or source.shape is not Shape.FLAT:
        return True
    bars: list[Source] = [offer for offer in job.offers if offer.material == source]
    bars += [piece for piece in job.rack if piece.material == source]
    plates = [p for p in job.needed if p.material == part and p.is_plate]
    return any(comes_from(p, bar) and may_lie(job, p, bar) for p in plates for bar in bars)


def _source_materials(job: Job) -> tuple[Material, ...]:
    return tuple(dict.fromkeys([*(o.material for o in job.offers), *(r.material for r in job.rack)]))


def _components(
    nodes: Iterable[Hashable], links: Iterable[tuple[Hashable, Hashable]]
) -> dict[Hashable, Hashable]:
    """One representative for every node (and every linked node) of each connected component."""
    above: dict[Hashable, Hashable] = {node: node for node in nodes}

    def root(node: Hashable) -> Hashable:
        above.setdefault(node, node)
        while above[node] != node:
            above[node] = above[above[node]]
            node = above[node]
        return node

    for one, other in links:
        above[root(other)] = root(one)
    return {node: root(node) for node in list(above)}


def _names(job: Job, groups: Iterable[list[Part]]) -> list[str]:
    """A name for each group: its longest material, told apart by number where two read alike."""
    names: list[str] = []
    for parts in groups:
        lengths: dict[str, int] = defaultdict(int)
        for part in parts:
            lengths[material_words(part.material)] += job.copies(part) * part.extent
        base = max(lengths, key=lambda words: lengths[words])
        same = sum(name == base or name.startswith(f"{base} (") for name in names)
        names.append(f"{base} ({same + 1})" if same else base)
    return names


def material_words(material: Material) -> str:
    """Designation, grade and finish as one says them: "tube 2 x 2 x 1/8, A500"."""
    more = [word for word in (material.grade, material.finish) if word and word not in material.designation]
    return ", ".join([material.designation, *more])

"""Sources that serve no part of a job: told, since they may be a slip."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from nesting.findings import Finding
from nesting.job import Job, Part
from nesting.read.places import Places, some
from nesting.rules.hauling import is_too_large, is_too_long, is_unwieldy, longest_from
from nesting.rules.sheet_ways import Source, lies_ways, sawn_extents, sheet_ways, width_of
from nesting.rules.sources import serves
from stock.material import Material
from stock.rack import RackPiece


def find_idle_sources(job: Job, files: Mapping[str, str]) -> list[Finding]:
    """Notices of sources that serve no part of the job: another material, or too small for every part."""
    places = Places(files)
    served = _served(job, (*job.offers, *job.rack))

    def told(table: str, sources: tuple[Source, ...]) -> Iterator[Finding]:
        idle = [s for s in sources if not served[s.material]]
        small = [
            s
            for s in sources
            if served[s.material]
            and not is_too_large(job, s)  # told with the yards
            and not is_unwieldy(job.shop, s)
            and not _yields_any(job, served[s.material], s)
        ]
        unwieldy = [s for s in sources if served[s.material] and is_unwieldy(job.shop, s)]
        for names, why in (
            (
                unwieldy,
                "not bought, as the shop takes in no sheet so large or heavy (largest_sheet, heaviest_sheet)",
            ),
            (idle, "no part can be cut from the material of"),
            ([s for s in small if s.width is None], "too short or narrow for any part"),
            ([s for s in small if s.width is not None], "too small for any part"),
        ):
            if names:
                sentence = f"{why}: {some(source.id for source in names)}"
                yield places.at(table, code="idle-source", sentence=sentence, severity="notice")

    return [*told("offers", job.offers), *told("rack", job.rack)]


def rack_of_use(job: Job) -> tuple[RackPiece, ...]:
    """The pieces of a job's rack from which at least one part can be cut."""
    served = _served(job, job.rack)
    return tuple(p for p in job.rack if served[p.material] and _yields_any(job, served[p.material], p))


def _served(job: Job, sources: tuple[Source, ...]) -> dict[Material, list[Part]]:
    """The parts that each material of these sources serves."""
    parts: dict[Material, list[Part]] = defaultdict(list)
    for part in job.parts:
        parts[part.material].append(part)
    test = serves(job)
    return {
        material: [part for of_parts in parts if test(of_parts, material) for part in parts[of_parts]]
        for material in dict.fromkeys(source.material for source in sources)
    }


def _yields_any(job: Job, parts: list[Part], source: Source) -> bool:
    """Whether a source has room for one of the parts of its material."""
    reach = max(longest_from(job, source, saw) for saw in job.saws)
    ways = () if is_too_long(job, source) else sheet_ways(job, source)
    across = width_of(source)
    for part in parts:
        if not part.is_plate:
            if part.extent <= reach:
                return True
            continue
        if source.width is None and min(sawn_extents(part, across), default=reach + 1) <= reach:
            return True
        lies = lies_ways(part)
        if any(w.holds(source, *lie) for w in ways if part.process in (None, w.process) for lie in lies):
            return True
    return False

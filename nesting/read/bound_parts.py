"""Why parts that are bound to a stick cannot be cut as they ask: by the source they name, or by what they come with."""

from __future__ import annotations

from collections.abc import Iterator

from nesting.findings import Finding
from nesting.job import Job, Part, Saw
from nesting.read.grid import plain
from nesting.read.places import Found, Places, some
from nesting.read.sheet import slip_of
from nesting.report.words import length_words, size_words
from nesting.rules.hauling import longest_from
from nesting.rules.lots import Lot, comes_from, lots_of
from nesting.rules.sheet_ways import Source, may_lie, width_of
from nesting.rules.sources import material_words, may_come
from nesting.rules.stick_ways import cut_width, longest_extent, takes, usable_length
from stock.rack import RackPiece


def bound_problems(job: Job, where: Places) -> list[Finding]:
    """Parts that name what is not there or does not hold them, and parts that cannot come together.

    Parts that come together are looked at only where the sources they name can give each of them.
    """
    named = [part for part in job.parts if part.source]
    found = [each for part in named for each in _unnamed(job, part)]
    found = found or list(_crowded(job, named))
    found = found or [each for lot in lots_of(job, job.parts) for each in _torn(job, lot)]
    return [where.part(*each) for each in found]


def _pieces(job: Job, part: Part) -> list[RackPiece]:
    return [piece for piece in job.rack if comes_from(part, piece)]


def _unnamed(job: Job, part: Part) -> Iterator[Found]:
    """Why nothing that a part names can give it."""
    pieces = _pieces(job, part)
    if not pieces:
        known = {plain(name): name for piece in job.rack for name in (piece.id, piece.heat) if name}
        slip = slip_of(plain(part.source), known)
        hint = f" (near it: {known[slip]})" if slip else ""
        sentence = (
            f"{part.source!r} is neither an ID nor a heat of the table rack{hint}; mend it, add the piece to the "
            "rack, or clear the cell"
        )
        yield part, "source-unknown", sentence, "source"
        return
    may = may_come(job)
    fitting = [piece for piece in pieces if may(part, piece)]
    if not fitting:
        there = some(dict.fromkeys(material_words(piece.material) for piece in pieces))
        sentence = (
            f"{part.source!r} is {there}, and does not serve {material_words(part.material)}; name another piece, "
            "clear the cell, or accept that material in the table allow"
        )
        yield part, "source-material", sentence, "source"
    elif part.is_plate and not any(may_lie(job, part, piece) for piece in fitting):
        best = max(fitting, key=lambda piece: piece.length * width_of(piece))
        sentence = (
            f"it is {size_words(part.length, part.width or 0, job.shop)}, and {best.id}, "
            f"{size_words(best.length, width_of(best), job.shop)}, has no room for it as the shop cuts it; name "
            "another piece, or clear the cell"
        )
        yield part, "source-small", sentence, "source"
    elif not part.is_plate:
        yield from _too_short(job, part, fitting)


def _too_short(job: Job, part: Part, pieces: list[RackPiece]) -> Iterator[Found]:
    reach = [
        (longest_extent(job, piece.length, piece.clean_ends, saw), piece.id, saw.name)
        for piece in pieces
        for saw in _able(job, [part], piece)
    ]
    if not reach:
        sentence = f"no saw both takes {part.source!r} and turns as far as its mitres; name another piece, or add a saw"
        yield part, "source-saw", sentence, "source"
        return
    longest, name, saw = max(reach)
    if part.extent > longest:
        sentence = (
            f"it needs {length_words(part.extent, job.shop)} of bar, and the longest that {name} gives is "
            f"{length_words(max(longest, 0), job.shop)} after trim and grip of saw {saw}; name another piece, or clear "
            "the cell"
        )
        yield part, "source-short", sentence, "source"


def _able(job: Job, parts: list[Part], source: Source) -> list[Saw]:
    """Saws that take a source and can be set to the angles of all parts."""
    angle = max(max(part.end_a, part.end_b) for part in parts)
    return [
        s for s in job.saws if takes(s, source.material) and (s.max_angle is None or angle <= s.max_angle)
    ]


def _crowded(job: Job, named: list[Part]) -> Iterator[Found]:
    """Bar parts that name the same pieces, and are longer together than these have room for."""
    for word in dict.fromkeys(part.source for part in named if not part.is_plate):
        parts = [part for part in named if part.source == word and not part.is_plate and not part.is_fill]
        pieces = [piece for piece in job.rack if word in (piece.id, piece.heat) and piece.width is None]
        cut = min(cut_width(job, saw) for saw in job.saws)
        # mitred parts may lie in each other's waste: they are left to the planner
        need = sum(job.copies(part) * (part.extent + cut) for part in parts if not part.is_mitred)
        have = sum(
            max((usable_length(job, p.length, p.clean_ends, saw) for saw in job.saws), default=0)
            for p in pieces
        )
        if need > have:
            sentence = (
                f"{some(part.mark for part in parts)} are to come from {word!r} and need "
                f"{length_words(need, job.shop)} with their kerfs, which has room for {length_words(have, job.shop)}; "
                "make fewer, or clear the cell of some"
            )
            yield parts[0], "source-not-enough", sentence, "source"


def _torn(job: Job, lot: Lot) -> Iterator[Found]:
    """Why the parts of a lot cannot come from one stick."""
    parts = [part for part, _ in lot.parts]
    marks = some(f"{number} of {part.mark}" for part, number in lot.parts)
    may = may_come(job)
    every: list[Source] = [*job.offers, *job.rack]
    shared = [source for source in every if all(may(part, source) for part in parts)]
    if not shared:
        words = list(dict.fromkeys(part.source for part in parts if part.source))
        materials = dict.fromkeys(material_words(part.material) for part in parts)
        if len(words) > 1:
            why = f"name different sources ({some(words)}); name one, or clear the cell of some"
        else:
            why = f"are of materials that no one source serves ({some(materials, 4)}); clear the cell of some"
        yield parts[0], "together-apart", f"{marks} are to come from one stick and {why}", "together"
        return
    is_mitred = any(part.is_mitred for part in parts)

    def needed(saw: Saw) -> int:
        return lot.least if is_mitred else lot.length(cut_width(job, saw))

    reach = [
        (longest_from(job, source, saw) - needed(saw), source.id, saw)
        for source in shared
        for saw in _able(job, parts, source)
    ]
    if not reach:
        sentence = (
            f"{marks} are to come from one stick, and no one saw cuts all of them; clear the cell of some"
        )
        yield parts[0], "together-saw", sentence, "together"
        return
    spare, name, saw = max(reach, key=lambda way: way[0])
    if spare < 0:
        needs = length_words(needed(saw), job.shop)
        kerfs = " or more, however they lie" if is_mitred else " with the kerfs between them"
        yield (
            parts[0],
            "together-too-long",
            f"{marks} are to come from one stick and need {needs}{kerfs}; the longest, {name} on "
            f"saw {saw.name}, is {length_words(-spare, job.shop)} too short; add one, or clear the cell of some",
            "together",
        )

"""The command `look`: what was understood of a job, before anything is planned."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from textwrap import wrap

import click

from nesting.cli.planning import shelf_of
from nesting.findings import Finding
from nesting.job import Job, Part, Process, Saw, Shop
from nesting.read import read_tables, understood
from nesting.read.understood import GroupSources, MaterialUse
from nesting.report.designer_words import leeway_words
from nesting.report.mitre_words import degrees_words
from nesting.report.saw_words import saw_rules
from nesting.report.words import (
    area_words,
    bound_words,
    counted,
    length_words,
    money_words,
    size_words,
    stick_words,
    weight_words,
)
from nesting.rules.sources import material_words
from stock.offer import Offer
from stock.rack import RackPiece

_WIDTH = 80
_SHOWN = 12
"""Rack pieces of a group that are listed; a ledger may have thousands."""
_UNITS = {"in": "inches", "mm": "millimetres"}
_MEASURED = {"long": "", "short": " to the short points", "centre": " on the centre line"}
_LEANS = {"opposite": "against each other", "same": "the same way"}
_TURNS = {"none": ", not turned", "half": ", turned end for end at most", "quarter": ""}


def show_job(path: Path, rack: Path | None) -> int:
    """Print what was understood of a job, and why it cannot be planned if so.

    Parameters
    ----------
    path
        A workbook or a folder of .csv files.
    rack
        The rack ledger; None: the user's, if there is one.

    Returns
    -------
    int
        0; or 2 if parts have nothing that they can be cut from.

    Raises
    ------
    InputError
        If the tables themselves cannot be read.
    """
    job = read_tables(path, shelf_of(rack))
    seen = understood(job)
    for line in _lines(job, seen.uses, seen.source_materials, seen.groups):
        click.echo(line)
    for line in _findings("note", seen.notices):
        click.echo(line)
    for line in _findings("problem", seen.problems):
        click.echo(line, err=True)
    return 2 if seen.problems else 0


def _lines(
    job: Job,
    uses: tuple[MaterialUse, ...],
    others: tuple[tuple[str, str], ...],
    groups: tuple[GroupSources, ...],
) -> Iterator[str]:
    yield from _fold(
        f"{job.name}: {counted(len(job.parts), 'part')}; bare numbers are {_UNITS[job.shop.unit]}"
    )
    yield "to be made"
    for use in uses:
        yield from _use(use, job.shop)
        for part in use.parts:
            if part.is_plate or part.is_mitred:
                said = _plate_part(job, part) if part.is_plate else _mitred_part(job, part)
                yield from _fold(said, "      ")
            if bound := bound_words(part):
                yield from _fold(f"{part.mark}: {bound}", "      ")
            if leeway := leeway_words(part, job.shop):
                yield from _fold(f"{part.mark}: {leeway}", "      ")
    yield "can be cut from"
    for group in groups:
        yield from _sources(job, group)
    if others:
        yield "other materials offered or on the rack"
        for name, taken in others:
            yield from _fold(f"{name}: {taken}", "  ")
    yield "saws"
    for saw in job.saws:
        yield from _fold(_saw(saw, job.shop), "  ")
    if any(part.is_plate for part in job.parts):
        yield "plates are cut by"
        for process in job.shop.processes:
            yield from _fold(_process(process, job), "  ")


def _plate_part(job: Job, part: Part) -> str:
    """Mark, copies, size, how it may lie and what it must be cut by."""
    words = f"{part.mark}: {job.copies(part)} of {size_words(part.length, part.width or 0, job.shop)}"
    words += _TURNS[part.turn]
    return words + (f", by {part.process}" if part.process else "")


def _mitred_part(job: Job, part: Part) -> str:
    """Mark, copies, length and where it is measured, ends, and the bar it takes when laid square."""
    length, extent = (length_words(ticks, job.shop) for ticks in (part.length, part.extent))
    leaning = f", leaning {_LEANS[part.lean]}" if part.end_a and part.end_b else ""
    words = (
        f"{part.mark}: {job.copies(part)} of {length}{_MEASURED[part.measured]}, ends {degrees_words(part.end_a)} / "
        f"{degrees_words(part.end_b)} from square on the {part.plane} side{leaning}; "
        f"{extent} from point to point"
    )
    return words if part.flip else f"{words}; the same side stays up"


def _saw(saw: Saw, shop: Shop) -> str:
    """What a saw takes off, holds, and how far it goes."""
    words = f"{saw.name}: {saw_rules(saw, shop)}"
    if saw.max_size is not None:
        words += f", sections up to {length_words(saw.max_size, shop)}"
    return words if saw.max_angle is None else f"{words}, turns to {degrees_words(saw.max_angle)} from square"


def _process(process: Process, job: Job) -> str:
    """What the shop cuts plates with, and what is kept free."""
    shop = job.shop
    if process == "saw":
        names = ", ".join(saw.name for saw in job.saws if saw.plates)
        return f"saw: {names or 'none of the saws'}, kerf and trim as above"
    if process == "shear":
        return f"shear: trim {length_words(shop.shear_trim, shop)}"
    bed = "any size" if shop.bed is None else size_words(*shop.bed, shop)
    bed += " open at the ends of its first measure" if shop.bed_open else ""
    if shop.bed is not None:
        bed += f", {length_words(shop.parting_kerf, shop)} a cut between blanks"
    if shop.blank_cost:
        bed += f", {money_words(shop.blank_cost, shop)} a blank"
    return (
        f"torch: kerf {length_words(shop.torch_kerf, shop)}, {length_words(shop.gap_between, shop)} between parts, "
        f"{length_words(shop.edge_on_bed, shop)} to the edge, bed {bed}"
    )


def _use(use: MaterialUse, shop: Shop) -> Iterator[str]:
    total = area_words(use.area, shop) if use.area else stick_words(use.length, shop)
    amount = f"{counted(use.pieces, 'piece')}, {total} in all"
    yield from _fold(f"{use.name}: {amount}, {weight_words(use.weight_kg, shop)}", "  ")
    yield from _fold(f"taken as {use.taken}", "      ")


def _sources(job: Job, group: GroupSources) -> Iterator[str]:
    yield from _fold(f"{group.name}: parts {', '.join(group.marks)}", "  ")
    offers = [offer for offer in job.offers if offer.id in group.offers]
    pieces = [piece for piece in job.rack if piece.id in group.rack]
    for yard in dict.fromkeys(offer.yard for offer in offers):
        sizes = dict.fromkeys(_size(offer, group, job.shop) for offer in offers if offer.yard == yard)
        yield from _fold(f"{yard}: {'; '.join(sizes)}", "      ")
    if pieces:
        more = [f"and {len(pieces) - _SHOWN} more"] if len(pieces) > _SHOWN else []
        listed = [*(_size(piece, group, job.shop) for piece in pieces[:_SHOWN]), *more]
        yield from _fold(f"rack: {'; '.join(listed)}", "      ")
    if not offers and not pieces:
        yield "      nothing"
    if group.flats:
        serving = "; ".join(f"{flat} for {', '.join(marks)}" for flat, marks in group.flats)
        yield from _fold(f"flat bars for plate parts: {serving}", "      ")


def _size(source: Offer | RackPiece, group: GroupSources, shop: Shop) -> str:
    """Length, or length by width, of a source, with its material where the group is not named by it."""
    length = stick_words(source.length, shop)
    if source.width is not None:
        length = size_words(source.length, source.width, shop)
    if isinstance(source, RackPiece):
        length = f"{source.id} {length}"
    elif source.longest > source.length:
        length += f" to {stick_words(source.longest, shop)}"
    elif source.cut_to_length is not None:
        length = f"cut to length up to {length}"
    words = material_words(source.material)
    return length if words == group.name else f"{length} of {words}"


def _findings(word: str, findings: tuple[Finding, ...]) -> Iterator[str]:
    for finding in findings:
        yield from _fold(f"{word}: {finding}")


def _fold(text: str, indent: str = "") -> list[str]:
    """Lines of at most 80 columns; a long path or name is left whole."""
    return wrap(
        text,
        _WIDTH,
        initial_indent=indent,
        subsequent_indent=indent + "  ",
        break_long_words=False,
        break_on_hyphens=False,
    )

"""From a path to a job: tables first, then whether the parts have sources that can give them."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace

from nesting.findings import Finding, InputError
from nesting.job import Job, Part, Saw, Shop, default_saw
from nesting.read.cells import Style
from nesting.read.containers import open_container
from nesting.read.idle import find_idle_sources, rack_of_use
from nesting.read.idle_settings import find_idle_settings
from nesting.read.line import Line
from nesting.read.offers import read_offers
from nesting.read.parts import check_assemblies, read_assemblies, read_holes, read_parts
from nesting.read.places import Places
from nesting.read.problems import find_source_problems, steep_problems
from nesting.read.schema import TABLES
from nesting.read.sheet import Findings, Sheet, find_tables
from nesting.read.shop import read_shop, tell_torch
from nesting.read.supply import read_allow, read_rack, read_saws
from nesting.read.yards import read_yards, tell_yard_limits
from stock.length import show_length
from stock.rack import RackPiece, RackVersion

_ORDER = {table.name: at for at, table in enumerate(TABLES)}


@dataclass(frozen=True, slots=True)
class _Tables:
    """The job as far as it can be read, everything found, and the file of each table."""

    job: Job
    findings: Findings
    files: dict[str, str]


Shelf = tuple[RackVersion, tuple[RackPiece, ...]]
"""What a rack ledger has on hand, and the moment at which it was so."""


def read_job(path: str | os.PathLike[str], shelf: Shelf | None = None) -> Job:
    """Read a job and refuse what cannot be planned.

    Parameters
    ----------
    path
        A workbook (.xlsx) with one sheet a table, or a folder of .csv files.
    shelf
        Of the rack ledger; None: there is none. A rack table of the job itself replaces it.

    Returns
    -------
    Job
        Sound: every part has a source that is long enough and a saw that cuts it. Notices are in it.

    Raises
    ------
    InputError
        With every finding, not the first only.
    """
    read = _read(path, shelf)
    errors = list(read.findings.errors)
    # Sources are judged only when their own tables could be read: a slip in one row is not a lack of stock.
    if not errors:
        errors = find_source_problems(read.job, read.files)
    elif not any(error.table == "saws" for error in errors):
        errors += steep_problems(read.job, read.job.needed, Places(read.files))
    if errors:
        raise InputError(_sorted(errors))
    return read.job


def read_tables(path: str | os.PathLike[str], shelf: Shelf | None = None) -> Job:
    """Read a job without asking whether its parts have sources; see `read_job`.

    Raises
    ------
    InputError
        With every finding about the tables themselves.
    """
    read = _read(path, shelf)
    if read.findings.errors:
        raise InputError(_sorted(read.findings.errors))
    return read.job


def _read(path: str | os.PathLike[str], shelf: Shelf | None) -> _Tables:
    container = open_container(path)
    findings = Findings()
    sheets = find_tables(container, findings)
    shop = read_shop(sheets.get("shop"), findings)
    style = Style(shop.unit, shop.decimal)

    def lines(name: str) -> list[Line]:
        return _lines(sheets.get(name), style, findings)

    part_lines = lines("parts")
    parts = read_parts(part_lines)
    assemblies = check_assemblies(part_lines, read_assemblies(lines("assemblies")), "assemblies" in sheets)
    holes = read_holes(lines("holes"), {line.text("MARK") for line in part_lines}, parts)
    yard_lines = lines("yards")
    yards = read_yards(yard_lines)
    offers = read_offers(lines("offers"), yards)
    tell_yard_limits(yard_lines, yards, offers)
    is_own_rack = shelf is None or "rack" in sheets
    rack = read_rack(lines("rack")) if shelf is None or is_own_rack else shelf[1]
    if shelf is not None and is_own_rack:
        _tell_own_rack(sheets["rack"], findings)
    saw_lines = lines("saws")
    saws = read_saws(saw_lines)
    allow = read_allow(lines("allow"), parts, (*offers, *rack))
    if not saws and not findings.errors:
        saws = (default_saw(shop.unit),)
        materials = [*(p.material for p in parts), *(o.material for o in offers), *(r.material for r in rack)]
        # Nothing depends on a saw where there are sheets alone, and they are cut otherwise.
        if "saw" in shop.processes or not all(material.is_plate for material in materials):
            _tell_default_saw(saws[0], shop, findings)
    _tell_plate_saws(parts, shop, saw_lines)
    tell_torch(parts, shop, sheets.get("shop"), findings)
    named = {assembly.name for assembly in assemblies}
    job = Job(
        name=container.name,
        parts=tuple(part for part in parts if not part.assembly or part.assembly in named),
        offers=offers,
        rack=rack,
        saws=saws,
        yards=yards,
        assemblies=assemblies,
        holes=holes,
        allow=allow,
        shop=shop,
        notices=tuple(_sorted([f for f in findings.found if f.severity == "notice"])),
    )
    files = {name: sheet.file for name, sheet in sheets.items()}
    if not findings.errors:
        if shelf is not None and not is_own_rack:
            job = replace(job, rack=rack_of_use(job), rack_at=shelf[0])
        told = [
            *find_idle_sources(job, files),
            *find_idle_settings(job, sheets.get("shop")),
        ]
        job = replace(job, notices=tuple(_sorted([*job.notices, *told])))
    return _Tables(job, findings, files)


def _tell_own_rack(sheet: Sheet, findings: Findings) -> None:
    sentence = (
        "this table is taken in place of the rack ledger, so the plan cannot be booked; leave the table out to plan "
        "with the ledger"
    )
    findings.add("own-rack", sentence, file=sheet.file, table="rack", severity="notice")


def _tell_plate_saws(parts: tuple[Part, ...], shop: Shop, lines: list[Line]) -> None:
    """That every saw is taken to cut plates, where the shop saws plates and does not say which saw does."""
    is_sawn = "saw" in shop.processes and any(p.is_plate and p.process in (None, "saw") for p in parts)
    if is_sawn and lines and not any(line.cell("plates") for line in lines):
        lines[0].report(
            "plate-saws",
            "every saw is taken to cut sheets and to rip flat bars; say yes or no for each in the column plates",
            "plates",
            "notice",
        )


def _tell_default_saw(saw: Saw, shop: Shop, findings: Findings) -> None:
    kerf, trim = (show_length(ticks, shop.unit) for ticks in (saw.kerf, saw.trim))
    sentence = (
        f"no saw is given: a kerf of {kerf} and a trim of {trim} at unclean ends are taken as starting values; "
        "measure your own saw"
    )
    findings.add("default-saw", sentence, table="saws", severity="notice")


def _lines(sheet: Sheet | None, style: Style, findings: Findings) -> list[Line]:
    if sheet is None:
        return []
    lines = [Line(sheet, row, style, findings) for row in sheet.rows]
    for line in lines:
        line.check_shape()
    return lines


def _sorted(findings: list[Finding] | tuple[Finding, ...]) -> list[Finding]:
    """By table in the order of the schema, then by row."""
    return sorted(findings, key=lambda f: (_ORDER.get(f.table.lower(), len(_ORDER)), f.row))

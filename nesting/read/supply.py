"""What the shop has: its rack, its saws, and the near-equal stock it accepts."""

from __future__ import annotations

from decimal import Decimal

from nesting.job import Allow, Part, Saw
from nesting.read.line import Line
from nesting.read.sheet import HeaderUnit
from nesting.read.sheets import has_its_width, sheet_ends
from stock.errors import BadValue
from stock.material import Material, Shape, fits
from stock.offer import Offer
from stock.rack import RackPiece

_MM2: dict[HeaderUnit, Decimal] = {
    "in2/min": Decimal("645.16"),
    "cm2/min": Decimal(100),
    "mm2/min": Decimal(1),
}


def read_rack(lines: list[Line]) -> tuple[RackPiece, ...]:
    """The rack pieces whose rows can be taken."""
    pieces: dict[str, RackPiece] = {}
    seen: dict[str, int] = {}
    for line in lines:
        name, material = line.text("ID"), line.material("MATERIAL")
        length, width = line.length("LENGTH", positive=True), line.length("width", positive=True)
        ends, value = line.clean_ends(), line.money("value")
        line.check_once("ID", name, seen)
        if line.failed or material is None or length is None:
            continue
        if not has_its_width(line, material, width):
            continue
        pieces[name] = RackPiece(
            id=name,
            material=material,
            length=length,
            width=width if material.is_plate else None,
            clean_ends=sheet_ends(line, material, ends),
            value=value or Decimal(0),
            place=line.text("place"),
            heat=line.text("heat"),
            certificate=line.text("certificate"),
        )
    return tuple(pieces.values())


def read_saws(lines: list[Line]) -> tuple[Saw, ...]:
    """The saws whose rows can be taken."""
    saws: dict[str, Saw] = {}
    seen: dict[str, int] = {}
    is_said = any(line.cell("plates") for line in lines)
    for line in lines:
        name, kerf = line.text("SAW"), line.length("KERF")
        trim, grip = line.length("trim", 0), line.length("grip", 0)
        max_size, max_angle = line.length("max_size", positive=True), line.angle("max_angle")
        rate, bundle = _cut_rate(line), line.count("bundle", 1)
        plates = line.choice("plates", "no" if is_said else "yes") == "yes"
        line.check_once("SAW", name, seen)
        if line.failed or kerf is None or trim is None or grip is None or bundle is None:
            continue
        if not kerf:
            line.report(
                "kerf-zero",
                "a saw that takes nothing is rare; measure a test cut and put in what it takes",
                "KERF",
                "notice",
            )
        try:
            saws[name] = Saw(
                name=name,
                kerf=kerf,
                trim=trim,
                grip=grip,
                max_size=max_size,
                max_angle=max_angle,
                rate=rate,
                plates=plates,
                bundle=bundle,
            )
        except BadValue as error:
            line.report("bad-saw", f"{error}; mend trim or KERF", "trim")
    return tuple(saws.values())


def _cut_rate(line: Line) -> Decimal | None:
    """Metal area a minute, mm2: by the unit of the header, or else of the job."""
    rate = line.positive("rate")
    of_job: HeaderUnit = "in2/min" if line.style.unit == "in" else "mm2/min"
    return rate and rate * _MM2[line.sheet.units.get("rate", of_job)]


def read_allow(
    lines: list[Line], parts: tuple[Part, ...], sources: tuple[Offer | RackPiece, ...]
) -> tuple[Allow, ...]:
    """The pairs allowed, one for every source material that fits what a row accepts."""
    materials = dict.fromkeys(source.material for source in sources)
    found: dict[Allow, None] = {}
    for line in lines:
        part, offer = line.material("PART_MATERIAL"), line.material("OFFER_MATERIAL")
        if line.failed or part is None or offer is None:
            continue
        if not _may_stand_in(part, offer):
            line.report(
                "allow-kinds",
                f"{line.cell('OFFER_MATERIAL').text!r} cannot stand in for {line.cell('PART_MATERIAL').text!r}: sheets "
                "and flat bars serve plate parts, bars serve bar parts; mend one of them, or clear the row",
                "OFFER_MATERIAL",
            )
            continue
        served = [material for material in materials if fits(offer, material)]
        if not served:
            line.report(
                "allow-nothing",
                f"nothing is offered or on the rack in {line.cell('OFFER_MATERIAL').text!r}; the row has no effect",
                "OFFER_MATERIAL",
                "notice",
            )
        if not any(fits(other.material, part) for other in parts):
            line.report(
                "allow-no-part",
                f"no part is {line.cell('PART_MATERIAL').text!r}, so the row has no effect; "
                "a part that asks for a grade or finish needs it named here too",
                "PART_MATERIAL",
                "notice",
            )
        found.update(dict.fromkeys(Allow(part=part, offer=material) for material in served))
    return tuple(found)


def _may_stand_in(part: Material, offer: Material) -> bool:
    """Whether parts of one material can be cut from another at all: no bar part from a sheet, no plate from a tube."""
    return offer.is_plate or offer.shape is Shape.FLAT if part.is_plate else not offer.is_plate

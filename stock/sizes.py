"""The sizes of a designation: one system of units, gauges with theirs, and how sizes are printed again."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from stock import gauge
from stock.errors import BadLength, BadMaterial
from stock.grade import Family
from stock.length import PER_INCH, PER_MM, Unit, exact_decimal, read_length
from stock.section import Shape
from stock.wording import Wording

_LARGEST = 1000 * PER_MM
_GAUGE = re.compile(r"(\d{1,3})ga", re.ASCII)

NEEDS = {
    Shape.TUBE: "two sides and a wall, as tube 2 x 2 x 1/8",
    Shape.ROUND_TUBE: "an outside diameter and a wall, as round tube 2 x 1/8",
    Shape.ANGLE: "two legs and a thickness, as angle 2 x 2 x 1/8",
    Shape.CHANNEL: "its name in the table, as C3x4.1, or depth, flange and thickness",
    Shape.FLAT: "a thickness and a width, as flat 1/4 x 2",
    Shape.ROUND: "one diameter, as round 3/4",
    Shape.SQUARE: "one side, as square 3/4",
    Shape.HEXAGON: "one size across flats, as hexagon 3/4",
    Shape.PLATE: "one thickness, as plate 3/8, with length and width in their own columns",
}


@dataclass(frozen=True, slots=True)
class Sizes:
    """The sizes of a designation in ticks; `is_decimal` tells how the last one, the wall, was written."""

    ticks: tuple[int, ...]
    system: Unit
    is_decimal: bool


@dataclass(frozen=True, slots=True)
class Asked:
    """One designation on its way to a section."""

    text: str
    unit: Unit
    decimal: str
    words: Wording
    family: Family
    finish: str

    def refuse(self, why: str, near: tuple[str, ...] = ()) -> BadMaterial:
        """The error to raise, with the text as the user wrote it."""
        return BadMaterial(f"{self.text!r}: {why}", near)


def gauge_number(text: str) -> int | None:
    """The number of a size such as "16ga", None if it is no gauge."""
    found = _GAUGE.fullmatch(text)
    return int(found[1]) if found else None


def read_sizes(asked: Asked, shape: Shape, counts: tuple[int, ...]) -> Sizes:
    """The sizes in ticks, of one system of units."""
    texts = asked.words.sizes
    if len(texts) not in counts:
        raise asked.refuse(f"{shape} needs {NEEDS[shape]}")
    gauges = [text for text in texts if gauge_number(text) is not None]
    lengths = [text for text in texts if gauge_number(text) is None]
    if len(gauges) > 1 or (gauges and gauges[0] != texts[-1]):
        raise asked.refuse("a gauge can only be the last size")
    try:
        system = _system(asked, lengths, bool(gauges))
        written = [read_length(text, system, asked.decimal) for text in lengths]
    except BadLength as wrong:
        raise asked.refuse(str(wrong)) from wrong
    ticks = [each.ticks for each in written]
    if (number := gauge_number(texts[-1])) is not None:
        ticks.append(_gauge(asked, shape, number))
    if min(ticks) == 0 or max(ticks) > _LARGEST:
        raise asked.refuse("every size must be above zero and at most 1 m; see whether the unit is right")
    return Sizes(tuple(ticks), system, bool(gauges) or written[-1].is_decimal)


def _system(asked: Asked, lengths: list[str], has_gauge: bool) -> Unit:
    """The one system of units of a designation: a unit at its end counts for all bare numbers."""
    written = [read_length(text, asked.unit, asked.decimal) for text in lengths]
    named = {each.system for each in written if each.has_unit}
    if has_gauge:
        named.add("in")
        if asked.unit == "mm" and any(not each.has_unit for each in written):
            raise asked.refuse(
                "a gauge goes with inch sizes; write the wall in mm, or the sizes with their inch marks"
            )
    if len(named) > 1:
        raise asked.refuse("inches and millimetres are mixed; write all sizes in one of them")
    system = next(iter(named), asked.unit)
    bare = [text for text, each in zip(lengths, written, strict=True) if not each.has_unit]
    if (
        named
        and bare
        and not has_gauge
        and not lengths[-1].endswith(("mm", "in", "in.", "inch", "inches", '"'))
    ):
        raise asked.refuse("only some sizes have a unit; write it with each of them")
    if not named and asked.words.is_metric_name and asked.unit == "in":
        raise asked.refuse(
            "SHS, RHS and CHS are metric names; write mm with the sizes, or tube for inch sizes"
        )
    if system == "mm" and any("/" in text for text in bare):
        raise asked.refuse(
            "a fraction counts inches, but the sizes are in mm; write the inch sizes with their unit"
        )
    return system


def _gauge(asked: Asked, shape: Shape, number: int) -> int:
    system: str | None = asked.words.gauge_system
    if not system and shape in (Shape.TUBE, Shape.ROUND_TUBE, Shape.PLATE):
        system = gauge.system_of(asked.family, asked.finish, shape is not Shape.PLATE)
    if not system or system == "SWG":
        raise asked.refuse(
            f"{number} ga has no settled system here: it may be {gauge.meanings(number)}; write the thickness"
        )
    try:
        return gauge.thickness(system, number)
    except BadMaterial as wrong:
        raise asked.refuse(str(wrong)) from wrong


def name_of(asked: Asked, word: str, ticks: tuple[int, ...], system: Unit) -> str:
    """Canonical text: the word, the sizes, and the unit where it is not the job's own."""
    return f"{word} {join_sizes(asked, ticks, system)}{unit_ending(asked, system)}"


def join_sizes(asked: Asked, ticks: tuple[int, ...], system: Unit) -> str:
    """Sizes without their unit, parted by x."""
    return " x ".join(show_size(asked, each, system) for each in ticks)


def unit_ending(asked: Asked, system: Unit) -> str:
    """The unit, where it is not the job's own."""
    return "" if system == asked.unit else f" {system}"


def show_size(asked: Asked, ticks: int, system: Unit) -> str:
    """One size without its unit: a binary fraction of an inch down to 1/64, else an exact decimal."""
    size = Fraction(ticks, PER_INCH)
    exact = exact_decimal(ticks, system)
    if exact is None or (system == "in" and 64 % size.denominator == 0):
        whole, rest = divmod(size, 1)
        return " ".join(str(each) for each in (whole, rest) if each)
    return f"{exact.normalize():f}".replace(".", asked.decimal)

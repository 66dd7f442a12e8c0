"""Parts, holes and assemblies."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from decimal import Decimal
from typing import cast

from nesting.job import Assembly, Hole, Lean, Measured, Part, Plane, Process, Turn
from nesting.read.grid import plain
from nesting.read.leeway import check_needed, check_shortened, read_fill, read_may_shorten
from nesting.read.line import Line
from nesting.read.mitre import mitred_extent, shortest_length
from nesting.read.schema import PARTS
from nesting.read.sheet import slip_of
from nesting.read.sheets import is_own_width
from stock.errors import BadLength
from stock.length import show_length
from stock.material import Material

_WORDS = {"lean": "opposite", "plane": "wide", "measured": "long", "flip": "yes"}
"""Of bar parts alone: what these columns say if they are left blank."""
_OF_BARS = ("end_a", "end_b", *_WORDS, "extra_a", "extra_b")
_UNUSED = tuple(column.name for column in PARTS.columns if column.kind == "unused")


def read_parts(lines: list[Line]) -> tuple[Part, ...]:
    """The parts whose rows can be taken; marks are unique among them."""
    parts: list[Part] = []
    seen: dict[str, int] = {}
    for line in lines:
        part = _part(line)
        mark = line.text("MARK")
        if mark and mark in seen:
            line.report(
                "mark-twice", f"mark {mark!r} stands in row {seen[mark]} too; give every part its own", "MARK"
            )
        seen.setdefault(mark, line.row.number)
        if part is not None and not line.failed:
            parts.append(part)
    _tell_unused(lines)
    _tell_turned(lines, parts)
    check_needed(lines, tuple(parts))
    return tuple(parts)


def _part(line: Line) -> Part | None:
    material = line.material("MATERIAL")
    _check_length(line)
    qty, length = line.count("QTY"), line.length("LENGTH", positive=True)
    width = _width(line, material, line.length("width", positive=True))
    turn = cast(Turn, line.choice("turn", "quarter"))
    process = cast(Process | None, line.choice("process", "") or None)
    ends = line.angle("end_a") or Decimal(0), line.angle("end_b") or Decimal(0)
    extra_a, extra_b = line.length("extra_a", 0), line.length("extra_b", 0)
    lean = cast(Lean, line.choice("lean", "opposite"))
    plane = cast(Plane, line.choice("plane", "wide"))
    measured = cast(Measured, line.choice("measured", "long"))
    flip = line.choice("flip", "yes") == "yes"
    fill = read_fill(line)
    may_shorten = read_may_shorten(line, length)
    together = "" if plain(line.text("together")) == "no" else line.text("together")
    if material is not None and material.is_plate:
        _check_plate(line)
    elif material is not None and process not in (None, "saw"):
        line.report(
            "bar-process", f"{line.cell('process').text!r}: bar parts are sawn; clear the cell", "process"
        )
    if line.failed or material is None or qty is None or length is None or extra_a is None or extra_b is None:
        return None
    extent = length
    if any(ends):
        try:
            extent = mitred_extent(length, material.depth(plane), ends, lean, measured)
        except BadLength as error:
            least = show_length(shortest_length(material.depth(plane), ends, lean, measured), line.style.unit)
            line.report(
                "bad-mitre",
                f"{line.cell('LENGTH').text!r}: {error}; with these it is {least} at the least",
                "LENGTH",
            )
            return None
    part = Part(
        mark=line.text("MARK"),
        qty=qty,
        material=material,
        length=length,
        width=width,
        turn=turn if material.is_plate else "quarter",
        process=process if material.is_plate else None,
        end_a=ends[0],
        end_b=ends[1],
        lean=lean,
        plane=plane,
        measured=measured,
        extra_a=extra_a,
        extra_b=extra_b,
        extent=extent + extra_a + extra_b,
        flip=flip,
        together=together,
        source=line.text("source"),
        fill=fill,
        assembly=line.text("assembly"),
        note=line.text("note"),
        carried=line.carried(),
        row=line.row.number,
    )
    if part.is_fill:
        return part
    check_shortened(line, part, may_shorten)
    return replace(part, may_shorten=may_shorten)


def _width(line: Line, material: Material | None, width: int | None) -> int | None:
    """The width of a plate part; reported if it has none, or a bar has one."""
    if material is None:
        return None
    if material.is_plate:
        if not any(line.cell(name) for name in ("width", "shape", "drawing")):
            line.report(
                "no-width",
                f"{material.designation} is plate or sheet: give the width of the part beside its LENGTH",
                "width",
            )
        return width
    if width is None:
        return None
    if is_own_width(material, width):
        line.report(
            "flat-part",
            f"taken as a length of {material.designation} as it comes; to let it be cut from plate as well, write "
            "plate and the thickness as its material",
            "width",
            "notice",
        )
        return None
    line.report(
        "bar-width",
        f"{line.cell('width').text!r}: {material.designation} is a bar, and its width stands in its name; clear the "
        "cell, or write plate with the thickness as its material: flat bars of that thickness serve it by themselves",
        "width",
    )
    return None


def _check_length(line: Line) -> None:
    """Every part has a length; one with a shape or a drawing is refused for that alone."""
    if not any(line.cell(name) for name in ("LENGTH", "shape", "drawing")):
        why = PARTS.column("LENGTH").explanation.rstrip(".")
        line.report("empty-cell", f"the cell is empty; fill it in ({why})", "LENGTH")


def _check_plate(line: Line) -> None:
    """A plate part is a rectangle with square ends, and not bound to others."""
    if plain(line.text("together")) not in ("", "no"):
        line.report(
            "plate-together",
            f"{line.cell('together').text!r}: only bar parts come together from one stick; clear the cell",
            "together",
        )
    for column in _OF_BARS:
        if column in _WORDS:
            says_nothing = line.choice(column, _WORDS[column]) == _WORDS[column]
        else:
            says_nothing = not (line.angle(column) if column.startswith("end") else line.length(column))
        if not says_nothing:
            why = (
                "flip is for bar parts, and how a plate part may lie stands in turn"
                if column == "flip"
                else "plate parts are rectangles with square ends"
            )
            line.report("plate-ends", f"{line.cell(column).text!r}: {why}; clear the cell", column)


def _tell_unused(lines: list[Line]) -> None:
    """One notice for each column that is filled and has no effect yet."""
    for name in _UNUSED:
        filled = [line for line in lines if line.cell(name)]
        if filled:
            filled[0].report("unused-column", f"column {name} has no effect in this version", name, "notice")


def _tell_turned(lines: list[Line], parts: list[Part]) -> None:
    bars = {part.row for part in parts if not part.is_plate}
    filled = [line for line in lines if line.cell("turn") and line.row.number in bars]
    if filled:
        filled[0].report(
            "turn-of-bars", "turn is for plate parts; on bar parts it has no effect", "turn", "notice"
        )


def read_assemblies(lines: list[Line]) -> tuple[Assembly, ...]:
    """The assemblies named; one whose count cannot be taken stands as one, so that its parts are not reported too."""
    found: dict[str, Assembly] = {}
    for line in lines:
        name, qty = line.text("ASSEMBLY"), line.count("QTY")
        if name in found:
            line.report("assembly-twice", f"assembly {name!r} stands twice; keep one row", "ASSEMBLY")
        elif name:
            found[name] = Assembly(name=name, qty=qty or 1)
    return tuple(found.values())


def check_assemblies(
    lines: list[Line], assemblies: tuple[Assembly, ...], has_table: bool
) -> tuple[Assembly, ...]:
    """Every assembly the parts name: refused if a table leaves it out, taken once if there is no table."""
    known = {assembly.name: assembly for assembly in assemblies}
    for line in lines:
        name = line.text("assembly")
        if not name or name in known:
            continue
        if has_table:
            slip = slip_of(name, known)
            hint = f"; {slip!r} is" if slip else ""
            line.report(
                "unknown-assembly",
                f"{name!r} is not in the table assemblies{hint}; add or mend it",
                "assembly",
            )
        else:
            known[name] = Assembly(name=name, qty=1)
            line.report(
                "assembly-once",
                f"there is no table of assemblies: {name!r} is built once",
                "assembly",
                "notice",
            )
    return tuple(known.values())


def read_holes(lines: list[Line], marks: Collection[str], parts: tuple[Part, ...]) -> tuple[Hole, ...]:
    """The holes whose rows can be taken: inside their part, all round."""
    holes: list[Hole] = []
    by_mark = {part.mark: part for part in parts}
    for line in lines:
        mark = line.text("MARK")
        if mark and mark not in marks:
            line.report(
                "unknown-mark", f"{mark!r} is not a mark of the parts; mend it or add the part", "MARK"
            )
        x, y = line.length("X"), line.length("Y")
        diameter, depth = line.length("DIAMETER", positive=True), line.length("depth", positive=True)
        if line.failed or x is None or y is None or diameter is None:
            continue
        if mark in by_mark and not _is_inside(line, by_mark[mark], x, y, diameter):
            continue
        if depth is not None and mark in by_mark and not _is_blind(line, by_mark[mark], depth):
            continue
        _tell_overlap(line, [hole for hole in holes if hole.mark == mark], x, y, diameter)
        holes.append(Hole(mark=mark, x=x, y=y, diameter=diameter, face=line.text("face"), depth=depth))
    return tuple(holes)


def _is_blind(line: Line, part: Part, depth: int) -> bool:
    """Whether a hole with a depth ends inside its part, where that is a plate."""
    if not part.is_plate or depth < part.material.thickness:
        return True
    thick = show_length(part.material.thickness, line.style.unit)
    line.report(
        "hole-depth",
        f"{line.cell('depth').text!r}: part {part.mark} is {thick} thick; leave the cell blank for a hole that goes "
        "through",
        "depth",
    )
    return False


def _tell_overlap(line: Line, others: list[Hole], x: int, y: int, diameter: int) -> None:
    """One notice of a hole that runs into another of the same part and face."""
    face = line.text("face")
    if any(
        4 * ((x - o.x) ** 2 + (y - o.y) ** 2) < (diameter + o.diameter) ** 2 for o in others if o.face == face
    ):
        line.report(
            "holes-overlap", "the hole runs into another of the same part; mend X or Y", "X", "notice"
        )


def _is_inside(line: Line, part: Part, x: int, y: int, diameter: int) -> bool:
    """Whether a hole lies within its part; across a bar only its widest side is known here."""
    along = max(part.length, part.extent - part.extra_a - part.extra_b)
    across = part.material.largest_side if part.width is None else part.width
    for column, at, side, word in (("X", x, along, "long"), ("Y", y, across, "wide")):
        if not diameter < 2 * at < 2 * side - diameter:
            unit = line.style.unit
            line.report(
                "hole-outside",
                f"{line.cell(column).text!r}: a hole of {show_length(diameter, unit)} there is not within part "
                f"{part.mark}, which is {show_length(side, unit)} {word}; mend the place or the DIAMETER",
                column,
            )
            return False
    return True

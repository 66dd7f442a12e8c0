"""Parts, holes and assemblies."""

from __future__ import annotations

from collections.abc import Collection
from decimal import Decimal
from typing import cast

from nesting.job import Assembly, Hole, Lean, Measured, Part, Plane
from nesting.read.line import Line
from nesting.read.mitre import mitred_extent
from nesting.read.schema import PARTS
from nesting.read.sheet import slip_of
from stock.errors import BadLength

_PLATE = "this version plans bars only; take the part out and order it apart"
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
    _tell_mitred(lines, parts)
    return tuple(parts)


def _part(line: Line) -> Part | None:
    material = line.material("MATERIAL")
    plates = [name for name in ("width", "drawing", "shape") if line.cell(name)]
    if material is not None and material.is_plate:
        line.report("plate-part", f"{material.designation} is a plate or sheet part: {_PLATE}", "MATERIAL")
    elif plates:
        line.report("plate-part", f"a part with a {plates[0]} is a plate part: {_PLATE}", plates[0])
    qty, length = line.count("QTY"), line.length("LENGTH", positive=True)
    ends = line.angle("end_a") or Decimal(0), line.angle("end_b") or Decimal(0)
    extra_a, extra_b = line.length("extra_a", 0), line.length("extra_b", 0)
    lean = cast(Lean, line.choice("lean", "opposite"))
    plane = cast(Plane, line.choice("plane", "wide"))
    measured = cast(Measured, line.choice("measured", "long"))
    if line.failed or material is None or qty is None or length is None or extra_a is None or extra_b is None:
        return None
    extent = length
    if any(ends):
        try:
            extent = mitred_extent(length, material.depth(plane), ends, lean, measured)
        except BadLength as error:
            line.report("bad-mitre", f"{line.cell('LENGTH').text!r}: {error}", "LENGTH")
            return None
    return Part(
        mark=line.text("MARK"),
        qty=qty,
        material=material,
        length=length,
        end_a=ends[0],
        end_b=ends[1],
        lean=lean,
        plane=plane,
        measured=measured,
        extra_a=extra_a,
        extra_b=extra_b,
        extent=extent + extra_a + extra_b,
        assembly=line.text("assembly"),
        note=line.text("note"),
        carried=line.carried(),
        row=line.row.number,
    )


def _tell_unused(lines: list[Line]) -> None:
    """One notice for each column that is filled and has no effect yet."""
    for name in _UNUSED:
        filled = [line for line in lines if line.cell(name)]
        if filled:
            filled[0].report("unused-column", f"column {name} has no effect in this version", name, "notice")


def _tell_mitred(lines: list[Line], parts: list[Part]) -> None:
    mitred = [part for part in parts if part.is_mitred]
    if mitred:
        shown = ", ".join(part.mark for part in mitred[:5])
        more = f" and {len(mitred) - 5} more" if len(mitred) > 5 else ""
        line = next(line for line in lines if line.row.number == mitred[0].row)
        line.report(
            "mitre-square",
            f"mitred parts are laid out square at their longest points by this version, not nested: {shown}{more}",
            severity="notice",
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


def read_holes(lines: list[Line], marks: Collection[str]) -> tuple[Hole, ...]:
    """The holes whose rows can be taken."""
    holes: list[Hole] = []
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
        holes.append(Hole(mark=mark, x=x, y=y, diameter=diameter, face=line.text("face"), depth=depth))
    return tuple(holes)

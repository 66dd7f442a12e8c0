"""From the entities of a DXF file to strands: runs of lines and arcs in mm, each on its layer."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from nesting.outline.contour import Point, Vertex
from nesting.read.drawing.curves import as_arcs
from stock.errors import BadValue

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities.dxfentity import DXFEntity

CLOSE = 0.002
"""How far arcs may stray from the ellipses and splines that they stand for, mm."""
_MM = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 14: 100.0}
"""Millimetres in the units that a file may name (INSUNITS in the published DXF reference)."""
_UNIT_NAMES = {"in": 25.4, "mm": 1.0}
_BINARY = b"AutoCAD Binary DXF"
"""How a binary file begins (published DXF reference)."""
_MOST_BYTES = 200_000_000
_MOST_ENTITIES = 200_000
_DEEPEST = 16
_FARTHEST = 1e8
"""Coordinates beyond this, mm, leave too few digits for an outline."""


class BadDrawing(BadValue):
    """A drawing that cannot be understood; the text says where."""


@dataclass(frozen=True, slots=True)
class Strand:
    """A run of lines and arcs.

    Parameters
    ----------
    vertices
        In mm; the last one ends the run, or leads back to the first if it is closed.
    """

    vertices: tuple[Vertex, ...]
    is_closed: bool
    layer: str
    linetype: str = ""


@dataclass(slots=True)
class Sheet:
    """What stands in a drawing.

    Parameters
    ----------
    passed_over
        Kinds of entities that are no lines, and how many of each.
    """

    strands: list[Strand] = field(default_factory=list)
    passed_over: Counter[str] = field(default_factory=Counter)
    unit_is_named: bool = True


def read_strands(path: Path, unit: str) -> Sheet:
    """The strands of a DXF file.

    Parameters
    ----------
    path
        Text or binary, R12 or later.
    unit
        Of a file that names none: "in" or "mm".

    Raises
    ------
    BadDrawing
        If the file is no drawing, or holds what no flat part has.
    """
    document = _opened(path)
    named = _MM.get(int(document.header.get("$INSUNITS", 0) or 0))
    scale = named or _UNIT_NAMES[unit]
    sheet = Sheet(unit_is_named=named is not None)
    hidden = {layer.dxf.name.casefold() for layer in document.layers if layer.is_off() or layer.is_frozen()}
    for count, entity in enumerate(_entities(document.modelspace(), sheet.passed_over, _DEEPEST)):
        if count >= _MOST_ENTITIES:
            raise BadDrawing(f"it holds more than {_MOST_ENTITIES:,} lines; keep the parts alone in it")
        if entity.dxf.get("layer", "0").casefold() in hidden:
            sheet.passed_over["entities of layers that are off"] += 1
            continue
        try:
            found = _strand(entity, scale)
        except (ArithmeticError, ValueError, IndexError) as error:
            raise BadDrawing(f"its {entity.dxftype()} {_handle(entity)} cannot be read: {error}") from error
        if found is None:
            sheet.passed_over[entity.dxftype()] += 1
        else:
            _check(found, entity)
            sheet.strands.append(found)
    return sheet


def _opened(path: Path) -> Drawing:
    from ezdxf import recover
    from ezdxf.filemanagement import readfile
    from ezdxf.lldxf.const import DXFError

    if path.stat().st_size > _MOST_BYTES:
        raise BadDrawing(f"it is larger than {_MOST_BYTES // 1_000_000} MB; keep the parts alone in it")
    try:
        with path.open("rb") as stream:
            is_binary = stream.read(len(_BINARY)) == _BINARY
        document = readfile(path) if is_binary else recover.readfile(path)[0]
    except (
        DXFError,
        OSError,
        ValueError,
        IndexError,
        KeyError,
        TypeError,
        AttributeError,
        EOFError,
    ) as error:
        raise BadDrawing("it is no DXF drawing, or broken; save it once more as DXF") from error
    return document


def _entities(within: Iterable[DXFEntity], passed_over: Counter[str], depth: int) -> Iterator[DXFEntity]:
    """Entities with blocks taken apart, also those within blocks."""
    for entity in within:
        if entity.dxftype() != "INSERT":
            yield entity
        elif not depth:
            raise BadDrawing(f"its blocks stand in each other more than {_DEEPEST} deep; take them apart")
        else:
            block: Any = entity
            for one in block.multi_insert() if block.mcount > 1 else (block,):
                yield from _entities(one.virtual_entities(), passed_over, depth - 1)


def _handle(entity: DXFEntity) -> str:
    handle = entity.dxf.get("handle", "")
    return f"(handle {handle})" if handle else "(in a block)"


def _strand(entity: DXFEntity, scale: float) -> Strand | None:
    """An entity as a strand; None if it is no line."""
    vertices, is_closed = _vertices(entity, scale)
    if not vertices:
        return None
    layer, linetype = entity.dxf.get("layer", "0"), entity.dxf.get("linetype", "")
    return Strand(tuple(vertices), is_closed, layer, linetype)


def _vertices(entity: Any, scale: float) -> tuple[list[Vertex], bool]:
    kind = entity.dxftype()
    if kind == "LINE":
        return [_flat(entity.dxf.start, scale), _flat(entity.dxf.end, scale)], False
    if kind in ("ARC", "CIRCLE"):
        return _round(entity, scale)
    if kind == "LWPOLYLINE":
        with_bulges = [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
        return _polyline(entity, with_bulges, entity.dxf.elevation, scale), bool(entity.closed)
    if kind == "POLYLINE" and (entity.is_2d_polyline or entity.is_3d_polyline):
        return _old_polyline(entity, scale), bool(entity.is_closed)
    if kind == "ELLIPSE":
        return _ellipse(entity, scale)
    if kind == "SPLINE":
        return _spline(entity, scale)
    return [], False


def _flat(point: Any, scale: float, bulge: float = 0.0) -> Vertex:
    if abs(point.z) * scale > 1e-3:
        raise BadDrawing(
            f"it is not flat: a point lies at z = {point.z:g}; draw the part in one plane, z = 0"
        )
    return Vertex(point.x * scale, point.y * scale, bulge)


def _is_mirrored(entity: Any) -> bool:
    return bool(entity.dxf.extrusion.z < 0)


def _round(entity: Any, scale: float) -> tuple[list[Vertex], bool]:
    ocs, sign = entity.ocs(), -1.0 if _is_mirrored(entity) else 1.0
    x, y, z = entity.dxf.center
    radius = abs(entity.dxf.radius)
    if not radius:
        return [], False
    is_full = entity.dxftype() == "CIRCLE"
    start, end = (0.0, 360.0) if is_full else (entity.dxf.start_angle, entity.dxf.end_angle)
    sweep = 360.0 if is_full else (end - start) % 360.0 or 360.0
    steps = 2 if sweep > 180 else 1
    bulge = sign * math.tan(math.radians(sweep) / steps / 4)
    angles = [math.radians(start + sweep * n / steps) for n in range(steps + 1)]
    points = [(x + radius * math.cos(a), y + radius * math.sin(a), z) for a in angles]
    closes = sweep == 360.0
    vertices = [_flat(ocs.to_wcs(point), scale, bulge) for point in points]
    return (vertices[:-1], True) if closes else ([*vertices[:-1], vertices[-1]._replace(bulge=0.0)], False)


def _polyline(
    entity: Any, points: list[tuple[float, float, float]], elevation: float, scale: float
) -> list[Vertex]:
    ocs, sign = entity.ocs(), -1.0 if _is_mirrored(entity) else 1.0
    return [_flat(ocs.to_wcs((x, y, elevation)), scale, sign * bulge) for x, y, bulge in points]


def _old_polyline(entity: Any, scale: float) -> list[Vertex]:
    """A POLYLINE of R12; the control points of smoothed ones are no corners."""
    corners = [v for v in entity.vertices if not v.dxf.flags & 16]
    if entity.is_3d_polyline:
        return [_flat(v.dxf.location, scale) for v in corners]
    points = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in corners]
    return _polyline(entity, points, entity.dxf.get("elevation", _ORIGIN).z, scale)


class _Origin:
    z = 0.0


_ORIGIN = _Origin()


def _ellipse(entity: Any, scale: float) -> tuple[list[Vertex], bool]:
    tool = entity.construction_tool()
    start, end = entity.dxf.start_param, entity.dxf.end_param
    sweep = (end - start) % math.tau or math.tau
    _flat(tool.center, scale)
    if abs(tool.major_axis.z) * scale > 1e-3:
        raise BadDrawing(
            "it is not flat: an ellipse stands out of the plane; draw the part in one plane, z = 0"
        )
    knots = [start + sweep * n / 4 for n in range(5)]

    def at(parameter: float) -> Point:
        (point,) = tool.vertices([parameter])
        return point.x * scale, point.y * scale

    return _closed(as_arcs(at, knots, CLOSE), closes=sweep == math.tau)


def _spline(entity: Any, scale: float) -> tuple[list[Vertex], bool]:
    curve = entity.construction_tool()
    _flat(max(curve.control_points, key=lambda point: abs(point.z)), scale)
    whole = sorted({float(k) for k in curve.knots() if 0 <= k <= curve.max_t} | {0.0, float(curve.max_t)})
    knots = [a + (b - a) * n / 2 for a, b in itertools.pairwise(whole) for n in range(2)] + [whole[-1]]

    def at(parameter: float) -> Point:
        point = curve.point(parameter)
        return point.x * scale, point.y * scale

    return _closed(as_arcs(at, knots, CLOSE), closes=bool(entity.closed))


def _closed(vertices: list[Vertex], *, closes: bool) -> tuple[list[Vertex], bool]:
    """Without the last vertex if it is the first once more."""
    meets = math.dist(vertices[0][:2], vertices[-1][:2]) <= CLOSE
    return (vertices[:-1], True) if meets and len(vertices) > 2 else (vertices, closes and len(vertices) > 2)


def _check(strand: Strand, entity: DXFEntity) -> None:
    for vertex in strand.vertices:
        if not all(math.isfinite(value) for value in vertex):
            raise BadDrawing(f"its {entity.dxftype()} {_handle(entity)} has a coordinate that is no number")
        if max(abs(vertex.x), abs(vertex.y)) > _FARTHEST:
            raise BadDrawing(
                f"its {entity.dxftype()} {_handle(entity)} lies {max(abs(vertex.x), abs(vertex.y)) / 1e6:.0f} km from "
                "the origin; move the parts near to it"
            )

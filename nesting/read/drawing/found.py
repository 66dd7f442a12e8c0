"""From closed contours to parts: which is around which."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from nesting.outline.contour import Contour, Point, arc_between
from nesting.outline.flatten import flattened
from nesting.outline.outline import Outline
from nesting.read.drawing.joined import joined
from nesting.read.drawing.strands import BadDrawing, Strand, read_strands

if TYPE_CHECKING:
    from shapely.geometry import Polygon

_FINE = 0.01
"""How finely curves are flattened to see what crosses what, mm."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """The parts of a drawing.

    Parameters
    ----------
    outlines
        From left to right, then from below; each with its least x and y at 0.
    repairs
        What was mended or passed over, a sentence each.
    """

    outlines: tuple[Outline, ...]
    repairs: tuple[str, ...]


def read_drawing(
    path: Path, unit: str, tolerance: float = 0.05, mark_layers: frozenset[str] = frozenset()
) -> Drawn:
    """The parts that a DXF file shows.

    Parameters
    ----------
    path
        The file.
    unit
        "in" or "mm", of a file that names none.
    tolerance
        Ends of lines nearer than this, mm, are one.
    mark_layers
        Layers and line types, in small letters, whose lines are marked and not cut.

    Raises
    ------
    BadDrawing
        If it holds no part, or what cannot be cut, with the place.
    """
    sheet = read_strands(path, unit)
    marks = [s for s in sheet.strands if {s.layer.casefold(), s.linetype.casefold()} & mark_layers]
    cut = [strand for strand in sheet.strands if strand not in marks]
    if not cut:
        raise BadDrawing("it holds no line to cut; draw the outline of the part as lines, arcs or polylines")
    found = joined(cut, tolerance)
    outlines = _parts(found.contours, [_points(strand) for strand in marks])
    repairs = (
        [] if sheet.unit_is_named else [f"names no unit and is taken as {'inches' if unit == 'in' else 'mm'}"]
    )
    if found.ends:
        was = "gap between ends was" if found.ends == 1 else "gaps between ends were"
        repairs.append(f"{found.ends} {was} closed, the widest {found.widest:.3f} mm")
    for count, why in ((found.doubles, "that stood twice"), (found.tiny, f"shorter than {tolerance:g} mm")):
        if count:
            was = f"line {why} was" if count == 1 else f"lines {why} were"
            repairs.append(f"{count} {was} dropped")
    for kind, number in sorted(sheet.passed_over.items()):
        repairs.append(f"{number} {kind} passed over: not a line")
    return Drawn(tuple(outlines), tuple(repairs))


def _points(strand: Strand) -> tuple[Point, ...]:
    contour = Contour(strand.vertices)
    points = tuple(flattened(contour, _FINE)) if strand.is_closed else _run(strand)
    return (*points, points[0]) if strand.is_closed else points


def _run(strand: Strand) -> tuple[Point, ...]:
    """An open run as points, its arcs as short chords."""
    points: list[Point] = [(strand.vertices[0].x, strand.vertices[0].y)]
    for start, end in zip(strand.vertices, strand.vertices[1:], strict=False):
        if start.bulge:
            arc = arc_between(start, (end.x, end.y))
            points += [arc.at(n / 16) for n in range(1, 16)]
        points.append((end.x, end.y))
    return tuple(points)


def _parts(contours: tuple[Contour, ...], marks: list[tuple[Point, ...]]) -> list[Outline]:
    """Each contour that lies in none, or in a hole, is a part; those right within it are its holes."""
    order = sorted(contours, key=lambda contour: -contour.area)
    solids = [_solid(contour) for contour in order]
    around = _around(order, solids)
    depth: list[int] = []
    for outer in around:
        depth.append(0 if outer is None else depth[outer] + 1)
    parts = []
    for number, contour in enumerate(order):
        if depth[number] % 2:
            continue
        holes = tuple(c for n, c in enumerate(order) if around[n] == number)
        own = tuple(run for run in marks if _marks(solids[number], run))
        parts.append(Outline(contour.left_turning(), holes, own))
    parts.sort(key=lambda part: (round(part.outer.bounds[0], 3), round(part.outer.bounds[1], 3)))
    return [part.at_origin() for part in parts]


def _solid(contour: Contour) -> Polygon:
    from shapely.geometry import Polygon
    from shapely.validation import explain_validity

    if contour.area <= 0:
        x, y = contour.vertices[0].x, contour.vertices[0].y
        raise BadDrawing(f"the contour at ({x:.3f}, {y:.3f}) (mm) holds no area; mend or take it out")
    solid = Polygon(flattened(contour, _FINE))
    if not solid.is_valid:
        where = explain_validity(solid).partition("[")[2].rstrip("]").replace(" ", ", ")
        raise BadDrawing(f"a contour crosses or touches itself at ({where}) (mm); mend it there")
    return solid


def _around(contours: list[Contour], solids: list[Polygon]) -> list[int | None]:
    """For each contour, largest first, the smallest one that it lies in."""
    from shapely import STRtree

    tree = STRtree(solids)
    around: list[int | None] = []
    for number, solid in enumerate(solids):
        near = [int(n) for n in tree.query(solid) if int(n) < number]
        within = [n for n in near if solids[n].contains_properly(solid)]
        crossing = [n for n in near if n not in within and solids[n].intersects(solid)]
        if crossing:
            point = solids[crossing[0]].intersection(solid).representative_point()
            raise BadDrawing(
                f"two contours overlap or touch at ({point.x:.3f}, {point.y:.3f}) (mm); draw them apart"
            )
        around.append(max(within, default=None))
    return around


def _marks(solid: Polygon, run: tuple[Point, ...]) -> bool:
    from shapely.geometry import LineString

    return bool(solid.intersects(LineString(run)))

"""A closed contour of straight lines and arcs, with its true area, length, centre and extent."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

Point = tuple[float, float]

_STRAIGHT = 1e-9
"""A bulge below this is taken as straight: it rises by less than 0.001 mm over a kilometre."""


class Vertex(NamedTuple):
    """Where an edge of a contour begins, mm, and how it bends: the tangent of a quarter of the angle it turns by.

    A bulge of 0 is a straight line, 1 half a circle to the left of the chord's far side (counter-clockwise), -1 half a
    circle the other way; the meaning is that of LWPOLYLINE in the published DXF reference.
    """

    x: float
    y: float
    bulge: float = 0.0


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle: centre and radius in mm, where it begins and how far it turns (radians, left is positive)."""

    x: float
    y: float
    radius: float
    start: float
    sweep: float

    def at(self, share: float) -> Point:
        """The point after a share of the sweep."""
        angle = self.start + share * self.sweep
        return self.x + self.radius * math.cos(angle), self.y + self.radius * math.sin(angle)

    def passes(self, angle: float) -> bool:
        """Whether the arc goes over the point of its circle in that direction."""
        turned = (angle - self.start) if self.sweep >= 0 else (self.start - angle)
        return turned % math.tau <= abs(self.sweep)


def arc_between(start: Vertex, end: Point) -> Arc:
    """The arc of an edge with a bulge.

    Parameters
    ----------
    start
        With a bulge that is not 0.
    end
        Where the edge ends.
    """
    dx, dy = end[0] - start.x, end[1] - start.y
    rise = (1 / start.bulge - start.bulge) / 4  # of the centre over the chord, in chords
    x, y = start.x + dx / 2 - rise * dy, start.y + dy / 2 + rise * dx
    radius = math.hypot(dx, dy) * (1 / abs(start.bulge) + abs(start.bulge)) / 4
    return Arc(x, y, radius, math.atan2(start.y - y, start.x - x), 4 * math.atan(start.bulge))


@dataclass(frozen=True)
class Contour:
    """A closed line that does not cross itself.

    Parameters
    ----------
    vertices
        In order; the last edge leads back to the first vertex.
    """

    vertices: tuple[Vertex, ...]

    def edges(self) -> Iterator[tuple[Vertex, Point]]:
        """Where each edge begins, with its bulge, and where it ends."""
        for start, end in zip(self.vertices, (*self.vertices[1:], *self.vertices[:1]), strict=True):
            is_straight = abs(start.bulge) < _STRAIGHT
            yield (start._replace(bulge=0.0) if is_straight else start), (end.x, end.y)

    @cached_property
    def moments(self) -> tuple[float, float, float]:
        """Area, mm2, positive if it runs counter-clockwise, and its first moments about the y and x axes, mm3.

        Green's theorem, edge by edge: the polygon of the chords, and beside each bent edge the segment of its circle
        (area r2 (a - sin a) / 2, its centre 4 r sin3(a/2) / (3 (a - sin a)) from the circle's).
        """
        area = about_y = about_x = 0.0
        for start, (x, y) in self.edges():
            cross = start.x * y - x * start.y
            area += cross / 2
            about_y += cross * (start.x + x) / 6
            about_x += cross * (start.y + y) / 6
            if start.bulge:
                arc = arc_between(start, (x, y))
                turned = abs(arc.sweep)
                segment = math.copysign(arc.radius**2 * _less_sine(turned) / 2, arc.sweep)
                reach = math.copysign(2 * arc.radius**3 * math.sin(turned / 2) ** 3 / 3, arc.sweep)
                middle = arc.start + arc.sweep / 2
                area += segment
                about_y += segment * arc.x + reach * math.cos(middle)
                about_x += segment * arc.y + reach * math.sin(middle)
        return area, about_y, about_x

    @property
    def area(self) -> float:
        """What it encloses, mm2."""
        return abs(self.moments[0])

    @property
    def is_left_turning(self) -> bool:
        """Whether it runs counter-clockwise."""
        return self.moments[0] > 0

    @property
    def centre(self) -> Point:
        """The centre of the area that it encloses, mm."""
        area, about_y, about_x = self.moments
        return about_y / area, about_x / area

    @cached_property
    def length(self) -> float:
        """How long the line is, mm."""
        total = 0.0
        for start, end in self.edges():
            if start.bulge:
                arc = arc_between(start, end)
                total += arc.radius * abs(arc.sweep)
            else:
                total += math.dist((start.x, start.y), end)
        return total

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y, mm, of the true curve."""
        xs, ys = [v.x for v in self.vertices], [v.y for v in self.vertices]
        for start, end in self.edges():
            if start.bulge:
                arc = arc_between(start, end)
                for quarter in range(4):
                    if arc.passes(quarter * math.pi / 2):
                        dx, dy = ((1, 0), (0, 1), (-1, 0), (0, -1))[quarter]
                        xs.append(arc.x + dx * arc.radius)
                        ys.append(arc.y + dy * arc.radius)
        return min(xs), min(ys), max(xs), max(ys)

    def backwards(self) -> Contour:
        """The same line, run through the other way."""
        turned = self.vertices[::-1]
        bulges = (*(v.bulge for v in turned[1:]), turned[0].bulge)
        return Contour(tuple(Vertex(v.x, v.y, -bulge) for v, bulge in zip(turned, bulges, strict=True)))

    def left_turning(self) -> Contour:
        """The same line, run through counter-clockwise."""
        return self if self.is_left_turning else self.backwards()

    def moved(self, dx: float, dy: float, degrees: float = 0, is_mirrored: bool = False) -> Contour:
        """Mirrored at the y axis if asked, then turned about the origin, then moved by dx and dy in mm."""
        cos, sin = turn_of(degrees)
        flip = -1 if is_mirrored else 1
        return Contour(
            tuple(
                Vertex(flip * v.x * cos - v.y * sin + dx, flip * v.x * sin + v.y * cos + dy, flip * v.bulge)
                for v in self.vertices
            )
        )


def turn_of(degrees: float) -> Point:
    """Cosine and sine of an angle, exact at quarter turns.

    >>> turn_of(90), turn_of(-180)
    ((0.0, 1.0), (-1.0, 0.0))
    """
    quarters, rest = divmod(degrees, 90)
    if rest:
        return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]


def polygon(points: list[Point] | tuple[Point, ...]) -> Contour:
    """A contour of straight lines."""
    return Contour(tuple(Vertex(x, y) for x, y in points))


def circle(x: float, y: float, diameter: float) -> Contour:
    """A full circle of a diameter in mm about a centre."""
    return Contour((Vertex(x - diameter / 2, y, 1.0), Vertex(x + diameter / 2, y, 1.0)))


def _less_sine(angle: float) -> float:
    """angle - sin(angle), exact enough for flat arcs, where the difference cancels."""
    if angle > 0.1:
        return angle - math.sin(angle)
    square = angle * angle
    return angle * square / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72)))

"""The outline of a part: one contour around it, holes and marking lines within."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from nesting.outline.contour import Contour, Point, Vertex


@dataclass(frozen=True)
class Outline:
    """What a plate part looks like from above, in mm.

    Parameters
    ----------
    outer
        The contour around it.
    holes
        Contours that are cut out of it, none within another.
    marks
        Lines to be marked on it and not cut, each a run of points.
    centres
        Holes too small for the torch: centre x, y and diameter; marked and drilled.
    """

    outer: Contour
    holes: tuple[Contour, ...] = ()
    marks: tuple[tuple[Point, ...], ...] = ()
    centres: tuple[tuple[float, float, float], ...] = ()

    @cached_property
    def area(self) -> float:
        """What is left of the plate within the outer contour, cut holes off, mm2."""
        return self.outer.area - sum(hole.area for hole in self.holes)

    @property
    def size(self) -> Point:
        """Extent along x and along y, mm."""
        x0, y0, x1, y1 = self.outer.bounds
        return x1 - x0, y1 - y0

    @property
    def cut_length(self) -> float:
        """How long all contours are together, mm."""
        return self.outer.length + sum(hole.length for hole in self.holes)

    @property
    def pierces(self) -> int:
        """How many contours are cut, each begun with a pierce."""
        return 1 + len(self.holes)

    @cached_property
    def centre(self) -> Point:
        """The centre of gravity, mm."""
        solid = [(self.outer.area, self.outer.centre), *((-hole.area, hole.centre) for hole in self.holes)]
        return (
            sum(area * x for area, (x, _) in solid) / self.area,
            sum(area * y for area, (_, y) in solid) / self.area,
        )

    def moved(self, dx: float, dy: float, degrees: float = 0, is_mirrored: bool = False) -> Outline:
        """Mirrored at the y axis if asked, then turned about the origin, then moved by dx and dy in mm."""

        def points(run: tuple[Point, ...]) -> tuple[Point, ...]:
            where = Contour(tuple(Vertex(*p) for p in run)).moved(dx, dy, degrees, is_mirrored)
            return tuple((v.x, v.y) for v in where.vertices)

        return Outline(
            self.outer.moved(dx, dy, degrees, is_mirrored),
            tuple(hole.moved(dx, dy, degrees, is_mirrored) for hole in self.holes),
            tuple(points(run) for run in self.marks),
            tuple((*points(((x, y),))[0], d) for x, y, d in self.centres),
        )

    def at_origin(self) -> Outline:
        """The same, its least x and y at 0."""
        x, y, *_ = self.outer.bounds
        return self.moved(-x, -y)

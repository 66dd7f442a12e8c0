"""Arrays that the compiled search reads: shapes, their convex pieces, and where two pieces meet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.irregular.convex import Point, convex_pieces
from nesting.outline.contour import turn_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Tables(NamedTuple):
    """Shapes (a kind of item in one rotation) and their pieces.

    Parameters
    ----------
    box
        (shape, 4): least x and y, greatest x and y about the shape's own origin.
    piece_at
        (shape + 1): where the pieces of a shape begin.
    piece_box
        (piece, 4).
    plane_at
        (piece, piece + 1): where the half-planes of a pair of pieces begin; the next one's begin is their end.
    planes
        (half-plane, 3): outward normal x, y and offset. Piece b, moved by d from piece a, overlaps it where every
        offset exceeds normal · d; the least excess is how deep it does.
    """

    box: Floats
    piece_at: Ints
    piece_box: Floats
    plane_at: Ints
    planes: Floats


def tables_of(shapes: Sequence[Sequence[Point]]) -> Tables:
    """The arrays of polygons, each already turned."""
    pieces: list[Floats] = []
    piece_at = [0]
    for points in shapes:
        pieces += [np.array(piece) for piece in convex_pieces(points)]
        piece_at.append(len(pieces))
    count = len(pieces)
    plane_at = np.zeros((count, count + 1), dtype=np.int64)
    planes: list[Floats] = []
    total = 0
    for a in range(count):
        for b in range(count):
            plane_at[a, b] = total
            planes.append(_planes(pieces[a], pieces[b]))
            total += len(planes[-1])
        plane_at[a, count] = total
    return Tables(
        np.array([_box(np.array(points)) for points in shapes]),
        np.array(piece_at),
        np.array([_box(piece) for piece in pieces]),
        plane_at,
        np.concatenate(planes),
    )


def turned(points: Sequence[Point], degrees: float) -> list[Point]:
    """Corners turned about the origin."""
    cos, sin = turn_of(degrees)
    return [(x * cos - y * sin, x * sin + y * cos) for x, y in points]


def area_of(points: Sequence[Point]) -> float:
    """What a polygon encloses (the surveyor's formula)."""
    after = [*points[1:], points[0]]
    return abs(sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(points, after, strict=True))) / 2


def _normals(piece: Floats) -> Floats:
    along = np.roll(piece, -1, axis=0) - piece
    length = np.hypot(along[:, 0], along[:, 1])
    keep = length > 0
    return np.stack([along[keep, 1] / length[keep], -along[keep, 0] / length[keep]], axis=1)


def _planes(a: Floats, b: Floats) -> Floats:
    """The sides of all places of b that meet a: the Minkowski sum of a and the mirrored b."""
    normals = np.concatenate([_normals(a), -_normals(b)])
    offsets = (normals @ a.T).max(axis=1) - (normals @ b.T).min(axis=1)
    return np.column_stack([normals, offsets])


def _box(points: Floats) -> Floats:
    return np.concatenate([points.min(axis=0), points.max(axis=0)])

"""How mitred pieces are sawn: at which angle, on which side of the bar and which way the saw swings, cut by cut.

The operator stands at the saw with the first end of the bar at the left, against the stop, and the side named up.
A cut swings *right* if its far end lies to the right, away from the stop, like "/", and *left* if it lies like "\\".
The side up is the wide one; for a mitre on the narrow side the bar is rolled a quarter turn away from the operator.

A piece is freed at one stop setting, its extent, from the foremost point of its near end to the furthest point of its
far end. The cut that frees it is that of its far end, if the stick has room for that. In a tight stick, or one with an
offcut to keep, it is freed square, or at the lesser angle of two facing ends that nest, and its far end is cut
afterwards: so the bar lasts as planned.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from nesting.job import Part, Plane
from nesting.plan import Layout, Piece
from nesting.rules.turns import End, Turn, ends_of, secant

Swing = Literal["left", "right", ""]
"""Of a square cut: neither."""


@dataclass(frozen=True, slots=True)
class Cut:
    """How the saw stands to the bar.

    Parameters
    ----------
    angle
        Degrees from square.
    side
        Which side of the bar is up.
    """

    angle: Decimal
    swing: Swing
    side: Plane

    @property
    def is_square(self) -> bool:
        """Whether it is no mitre."""
        return not self.angle


SQUARE = Cut(Decimal(0), "", "wide")


@dataclass(frozen=True, slots=True)
class Sawn:
    """The cuts of one piece.

    Parameters
    ----------
    near
        Its end at the stop.
    is_ready
        Whether the cut that freed the piece before, or the first cut of the stick, made that end.
    freed
        The cut that frees it.
    far
        Its other end; cut after the piece is free, if it differs from `freed`.
    first
        Which end of the part is at the stop.
    """

    near: Cut
    is_ready: bool
    freed: Cut
    far: Cut
    first: Literal["a", "b"]

    @property
    def is_mitred(self) -> bool:
        """Whether any of its cuts is no square one."""
        return not (self.near.is_square and self.freed.is_square and self.far.is_square)

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """In order."""
        before = () if self.is_ready else (self.near,)
        after = () if self.far == self.freed else (self.far,)
        return (*before, self.freed, *after)


def sawn(layout: Layout, parts: Mapping[str, Part], kerf: int, room: int) -> tuple[Sawn, ...]:
    """The cuts of every piece of a stick, in cutting order.

    Parameters
    ----------
    parts
        By mark.
    kerf
        Ticks planned for a square cut.
    room
        Ticks by which the last piece may move towards the far end.
    """
    joints = [_Joint.between(parts, *pair, kerf) for pair in pairwise(layout.pieces)]
    is_tight = _more(layout, parts, joints, kerf) > (0 if layout.keep else room)
    ends = [_cuts(parts[piece.mark], piece) for piece in layout.pieces]
    found: list[Sawn] = []
    ready = ends[0][0] if ends else SQUARE
    for at, (piece, (near, far)) in enumerate(zip(layout.pieces, ends, strict=True)):
        freed = far
        if is_tight:
            freed = _freed(far, ends[at + 1][0], joints[at].is_nested) if at < len(joints) else SQUARE
        found.append(Sawn(near, ready == near, freed, far, piece.first))
        ready = freed
    return tuple(found)


def first_cut(layout: Layout, pieces: Sequence[Sawn]) -> Cut | None:
    """The cut with which a stick begins; None if its first end is clean and stays square."""
    near = pieces[0].near if pieces else SQUARE
    return near if layout.head or not near.is_square else None


def kerf_shares(layout: Layout, parts: Mapping[str, Part], kerf: int) -> Fraction:
    """Ticks by which the last piece of a stick moves if each cut takes one tick more, at the most.

    One for each square cut between pieces, 1 / cosine for each slanted one.
    """
    joints = (_Joint.between(parts, *pair, kerf) for pair in pairwise(layout.pieces))
    return sum((joint.share for joint in joints), Fraction(0))


@dataclass(frozen=True, slots=True)
class _Joint:
    """Two neighbours.

    Parameters
    ----------
    is_nested
        Whether their points lie nearer than a square cut allows.
    share
        Ticks by which they part if each cut takes one tick more.
    more
        Ticks by which they part if the far end of the first is cut through the bar.
    """

    is_nested: bool
    share: Fraction
    more: Fraction

    @classmethod
    def between(cls, parts: Mapping[str, Part], before: Piece, after: Piece, kerf: int) -> _Joint:
        """The joint of two neighbours as they are laid out."""
        far, near = _ends(parts[before.mark], before)[1], _ends(parts[after.mark], after)[0]
        is_nested = after.start - before.start - before.extent < kerf
        share = min(secant(far.slope), secant(near.slope)) if is_nested else Fraction(1)
        return cls(is_nested, share, Fraction(0) if far == near else kerf * (secant(far.slope) - share))


def _more(layout: Layout, parts: Mapping[str, Part], joints: Sequence[_Joint], kerf: int) -> Fraction:
    """Ticks by which the last piece moves, or a rest to keep is shorter, if every far end is cut through the bar."""
    more = sum((joint.more for joint in joints), Fraction(0))
    if layout.keep and layout.pieces:
        last = layout.pieces[-1]
        more += kerf * (secant(_ends(parts[last.mark], last)[1].slope) - 1)
    return more


def _freed(far: Cut, following: Cut, is_nested: bool) -> Cut:
    """The cut that frees a piece in a tight stick, by its far end, the next near end, and whether they nest."""
    if far == following or far.is_square:
        return far
    if not is_nested:
        return SQUARE
    return min(far, following, key=lambda cut: cut.angle)


def _cuts(part: Part, piece: Piece) -> tuple[Cut, Cut]:
    """The ends of a piece as cuts, the one at the stop first."""
    near, far = _ends(part, piece)
    angles = (part.end_a, part.end_b) if piece.first == "a" else (part.end_b, part.end_a)
    return _cut(near, angles[0]), _cut(far, angles[1])


def _ends(part: Part, piece: Piece) -> tuple[End, End]:
    if part.is_plate:
        square = End("wide", Fraction(0), 0)
        return square, square
    return ends_of(part, Turn(piece.first, piece.roll))


def _cut(end: End, angle: Decimal) -> Cut:
    if not end.slope:
        return SQUARE
    return Cut(angle, "right" if end.slope > 0 else "left", end.plane)

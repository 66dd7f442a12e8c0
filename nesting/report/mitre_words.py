"""How the papers word mitre cuts: one convention, said once, and each step in a line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from itertools import groupby

from nesting.job import Part, Shop
from nesting.report.mitre_cuts import Cut, Sawn
from nesting.report.saw_list import SawList, Stick
from nesting.report.words import counted, length_words
from stock.section import Shape

_ONE_SIDED = (Shape.ANGLE, Shape.CHANNEL)
_NARROW = ", narrow side up"
_SLANTED = re.compile(r"° (?:left|right)")


def degrees_words(angle: Decimal) -> str:
    """An angle as it is written.

    >>> degrees_words(Decimal("22.50")), degrees_words(Decimal(45))
    ('22.5°', '45°')
    """
    return f"{angle.normalize():f}°"


def cut_words(cut: Cut) -> str:
    """How the saw stands to the bar.

    >>> cut_words(Cut(Decimal(45), "right", "wide")), cut_words(Cut(Decimal(30), "left", "narrow"))
    ('45° right', '30° left, narrow side up')
    """
    if cut.is_square:
        return "square"
    return f"{degrees_words(cut.angle)} {cut.swing}{_NARROW if cut.side == 'narrow' else ''}"


def run_words(pieces: Sequence[Sawn], part: Part) -> str:
    """The cuts of pieces of one part that follow each other at one stop setting; "" if all are square.

    Parameters
    ----------
    pieces
        In cutting order.
    """
    if not any(piece.is_mitred for piece in pieces):
        return ""
    said = _run(pieces, part)
    all_narrow = said.count(_NARROW) == len(_SLANTED.findall(said)) > 1
    return f"narrow side up: {said.replace(_NARROW, '')}" if all_narrow else said


def _run(pieces: Sequence[Sawn], part: Part) -> str:
    """The cuts of a run, each with the side that lies up."""
    first, *others = pieces
    if all(piece.is_ready for piece in others):
        begun = "" if first.is_ready else f"bar end {cut_words(first.near)} first; "
        return begun + _in_turn(_one(piece, part) for piece in pieces)
    return _in_turn(_near(piece) + _one(piece, part) for piece in pieces)


def begin_words(stick: Stick, shop: Shop) -> str:
    """How a stick begins: its first end squared off, cut to a mitre, or left as it is."""
    head, begin = stick.layout.head, stick.begin
    if begin is None:
        return "clean end first"
    if begin.is_square:
        return f"square off {length_words(head, shop)}"
    where = f"its foremost point {length_words(head, shop)} in" if head else "to a point at its clean end"
    return f"cut the first end {cut_words(begin)}, {where}"


def convention_lines(saws: SawList) -> tuple[str, ...]:
    """What angles, left and right mean on the papers, and the angles on scales that count the other way.

    Empty if no cut is slanted.
    """
    cuts = [cut for stick in saws.cut for cut in stick.cuts if not cut.is_square]
    if not cuts:
        return ()
    angles = sorted({cut.angle for cut in cuts})
    scale = ", ".join(f"{degrees_words(angle)} is {degrees_words(90 - angle)}" for angle in angles)
    lines = [
        "Mitres: angles are from a square cut. Many scales count from the length of the bar instead: there "
        f"{scale}. Try one in scrap.",
        "Left and right are seen from where you stand, with the first end of the bar at the left, against the stop: "
        "right leans like /, its far end away from the stop; left leans like \\.",
        "The stop is set to what stands beside it, along the bar from the foremost point of the piece at the stop "
        "to its furthest point at the blade. Neighbours that lean alike share one cut. In the drawings slanted ends "
        "reach as far along the bar as they do; heights are not to scale.",
    ]
    if any(cut.side == "narrow" for cut in cuts):
        lines.append(
            "The wide side lies up, of a square or round bar any one that you mark. For a cut with the narrow side up "
            "roll the bar a quarter turn away from you, so that what was up is at the back."
        )
    if any(stick.material.shape in _ONE_SIDED for stick in saws.cut if any(c.angle for c in stick.cuts)):
        lines.append(
            "Of angle and channel the job does not say which edge of a mitred part is the long one: look at its "
            "drawing before the first cut, and lay the bar so."
        )
    return tuple(lines)


def total_words(saws: SawList) -> str:
    """How many mitre cuts there are, and which angles; "" if there are none."""
    cuts = [(cut.angle, stick.layout.times) for stick in saws.cut for cut in stick.cuts if not cut.is_square]
    angles = ", ".join(degrees_words(angle) for angle in sorted({angle for angle, _ in cuts}))
    return f"{counted(sum(times for _, times in cuts), 'mitre cut')}: {angles} from square" if cuts else ""


def _near(piece: Sawn) -> str:
    return "" if piece.is_ready else f"bar end {cut_words(piece.near)}, "


def _one(piece: Sawn, part: Part) -> str:
    """The cut that frees a piece, and what is cut of it afterwards."""
    said = f"cut {cut_words(piece.freed)}"
    if piece.far != piece.freed:
        said += f", then the end of the piece {cut_words(piece.far)}"
    is_uneven = part.end_a != part.end_b or part.extra_a != part.extra_b
    return f"{said} (end {piece.first} at the stop)" if is_uneven else said


def _in_turn(said: Iterable[str]) -> str:
    """Sentences of pieces that follow each other, those that repeat once.

    >>> _in_turn(["A", "B", "A", "B"]), _in_turn(["A", "B"]), _in_turn(["A", "A"]), _in_turn(["A", "A", "B"])
    ('A and B in turn', 'A, then B', 'A', '2 times: A; B')
    """
    every = list(said)
    if len(every) > 2 and every[0] != every[1] and every[2:] == every[:-2]:
        return f"{every[0]} and {every[1].removeprefix('cut ')} in turn"
    if len(set(every)) == len(every) == 2 and not any("," in one for one in every):
        return f"{every[0]}, then {every[1].removeprefix('cut ')}"
    runs = [(one, len(list(run))) for one, run in groupby(every)]
    if len(runs) == 1:
        return runs[0][0]
    return "; ".join(f"{count} times: {one}" if count > 1 else one for one, count in runs)

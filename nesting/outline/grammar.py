"""Shapes in words: "ring od 6 id 3", "gusset 6 x 4 clip 1", "base plate 10 x 8 holes 2 x 2 dia 3/4 at 7 x 5".

A shape is a name, for some its size as length x width, and then dimensions, each after its own word, in any order.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from nesting.outline import shapes
from nesting.outline.contour import Contour
from nesting.outline.outline import Outline
from stock.errors import BadLength, BadValue
from stock.length import Unit, plain_text, read_length, show_length, to_mm

_COUNTS = {"bolts": 1, "holes": 2}
"""Dimensions that are numbers of holes, and how many such numbers they are at the most."""
_PAIRS = {"size": 2, "at": 1}
"""Dimensions of two lengths, and how many of them must be given."""
_MOST_HOLES = 1000


class BadShape(BadValue):
    """A text that names no shape, or one that cannot be."""


@dataclass(frozen=True, slots=True)
class Dimensions:
    """What a text says of a shape: ticks of each dimension, and counts of holes."""

    values: dict[str, tuple[int, ...]]
    unit: Unit

    def has(self, name: str) -> bool:
        """Whether it was given."""
        return name in self.values

    def ticks(self, name: str, at: int = 0) -> int:
        """A dimension in ticks, or a count; 0 if it was not given."""
        return self.values[name][at] if name in self.values else 0

    def mm(self, name: str, at: int = 0) -> float:
        """A dimension in mm; 0 if it was not given."""
        return to_mm(self.ticks(name, at))

    def show(self, name: str, at: int = 0) -> str:
        """A dimension with its name, as it is read."""
        return f"{name} {show_length(self.ticks(name, at), self.unit)}"


@dataclass(frozen=True, slots=True)
class Shape:
    """A kind of shape: the dimensions that it must and may have, its limits, and how it is drawn.

    Parameters
    ----------
    needs, takes
        Words of the dimensions, "size" for length x width.
    limits
        What is wrong with some dimensions, a sentence each.
    draw
        The outline of sound dimensions.
    """

    example: str
    needs: tuple[str, ...]
    draw: Callable[[Dimensions], Outline]
    takes: tuple[str, ...] = ()
    limits: Callable[[Dimensions], Iterator[str]] = lambda _: iter(())


def parse_shape(text: str, unit: Unit = "in", decimal: str = ".") -> Outline:
    """The outline that a text describes, its least x and y at 0.

    Parameters
    ----------
    text
        A name and its dimensions.
    unit, decimal
        Of bare numbers.

    Raises
    ------
    BadShape
        If the shape is not known or has dimensions that cannot be; the text names them all.

    >>> parse_shape("ring od 6 in id 3 in").size
    (152.4, 152.4)
    """
    words = plain_text(text).casefold().replace("×", " x ").split()
    name, rest = _name(text, words)
    shape = SHAPES[name]
    dimensions = Dimensions(_values(text, rest, shape, unit, decimal), unit)
    missing = [word for word in shape.needs if not dimensions.has(word)]
    if missing:
        lacks = " and ".join("its size as length x width" if word == "size" else word for word in missing)
        raise BadShape(f"{text!r}: a {name} needs {lacks}; write for example {shape.example}")
    if wrong := list(shape.limits(dimensions)):
        raise BadShape(f"{text!r}: {'; '.join(wrong)}")
    return shape.draw(dimensions).at_origin()


def _name(text: str, words: list[str]) -> tuple[str, list[str]]:
    """The name of a shape and the words after it."""
    for many in (2, 1):
        called = " ".join(words[:many])
        if found := _CALLED.get(called):
            return found, words[many:]
    near = get_close_matches(words[0] if words else "", _CALLED, n=1)
    meant = f"; did you mean {near[0]}?" if near else ";"
    raise BadShape(f"{text!r} begins with no shape{meant} it may be {', '.join(SHAPES)}")


def _values(
    text: str, words: Sequence[str], shape: Shape, unit: Unit, decimal: str
) -> dict[str, tuple[int, ...]]:
    known = {*shape.needs, *shape.takes}
    found: dict[str, tuple[int, ...]] = {}
    for name, said in _by_name(words, known):
        if name not in known:
            raise BadShape(
                f"{text!r}: write length x width without a word, and each other dimension after its word"
            )
        if name in found:
            raise BadShape(f"{text!r}: {name} stands twice; keep one")
        found[name] = _numbers(text, name, said, unit, decimal)
    return found


def _by_name(words: Sequence[str], known: set[str]) -> Iterator[tuple[str, list[str]]]:
    """Each dimension with the words of its value; those before the first name are the size."""
    name, said = "size", list[str]()
    for word in words:
        if word in known:
            if said or name != "size":
                yield name, said
            name, said = word, []
        else:
            said.append(word)
    if said or name != "size":
        yield name, said


def _numbers(text: str, name: str, said: list[str], unit: Unit, decimal: str) -> tuple[int, ...]:
    parts = " ".join(said).split(" x ")
    most = 2 if name in _PAIRS else _COUNTS.get(name, 1)
    if not _PAIRS.get(name, 1) <= len(parts) <= most:
        what = "two lengths, as 8 x 6" if name in _PAIRS else "one number"
        raise BadShape(f"{text!r}: {name} takes {what}, not {' '.join(said) or 'nothing'!r}")
    return tuple(
        _count(text, name, one) if name in _COUNTS else _length(text, name, one, unit, decimal)
        for one in parts
    )


def _count(text: str, name: str, said: str) -> int:
    if not (said.isascii() and said.isdigit() and 1 <= int(said) <= _MOST_HOLES):
        raise BadShape(f"{text!r}: {name} takes a whole number from 1 to {_MOST_HOLES}, not {said!r}")
    return int(said)


def _length(text: str, name: str, said: str, unit: Unit, decimal: str) -> int:
    try:
        ticks = read_length(said, unit, decimal).ticks
    except BadLength as error:
        raise BadShape(f"{text!r}: {name}: {error}") from error
    if ticks <= 0:
        raise BadShape(f"{text!r}: {name} must be above zero")
    return ticks


def _less(d: Dimensions, name: str, at: int, limit: int, what: str) -> Iterator[str]:
    if d.ticks(name, at) >= limit:
        yield f"{d.show(name, at)} must be less than {what}, {show_length(limit, d.unit)}"


def _rectangle(d: Dimensions) -> Outline:
    length, width = d.mm("size", 0), d.mm("size", 1)
    holes: tuple[Contour, ...] = ()
    if d.has("holes"):
        apart = to_mm(d.values["at"][0]), to_mm(sum(d.values["at"][1:]))
        holes = shapes.holes_in_rows(length, width, *_columns_and_rows(d), apart, d.mm("dia"))
    return Outline(shapes.rectangle(length, width, d.mm("radius"), d.mm("chamfer")), holes)


def _columns_and_rows(d: Dimensions) -> tuple[int, int]:
    """How holes stand: four of them are one at each corner, others must say so or stand in one row."""
    first, *second = d.values["holes"]
    if second:
        return first, second[0]
    return (2, 2) if first == 4 and len(d.values["at"]) == 2 else (first, 1)


def _rectangle_limits(d: Dimensions) -> Iterator[str]:
    short = min(d.values["size"])
    if d.has("radius") and d.has("chamfer"):
        yield "its corners have a radius or a chamfer, not both"
    for name in ("radius", "chamfer"):
        if 2 * d.ticks(name) > short:
            yield f"{d.show(name)} must be half of the shorter side at the most, {show_length(short // 2, d.unit)}"
    together = [name for name in ("holes", "dia", "at") if d.has(name)]
    if 0 < len(together) < 3:
        yield "holes go with dia and at, as in holes 2 x 2 dia 3/4 at 7 x 5"
    elif together:
        yield from _row_limits(d)


def _row_limits(d: Dimensions) -> Iterator[str]:
    for side, (word, count) in enumerate(zip(("length", "width"), _columns_and_rows(d), strict=True)):
        apart = d.values["at"][side] if side < len(d.values["at"]) else 0
        room = d.ticks("size", side) - d.ticks("dia")
        if apart >= room:
            least = show_length(max(room, 0), d.unit)
            yield f"at {show_length(apart, d.unit)} must be less than the {word} less a hole, {least}"
        if count > 1 and apart <= (count - 1) * d.ticks("dia"):
            yield f"{count} holes of {show_length(d.ticks('dia'), d.unit)} run into each other along the {word}"
        if count == 1 and apart:
            yield f"one row of holes needs no distance along the {word}; write at with one length"


def _ring_limits(d: Dimensions) -> Iterator[str]:
    yield from _less(d, "id", 0, d.ticks("od"), "od")


def _flange(d: Dimensions) -> Outline:
    plain = shapes.ring(d.mm("od"), d.mm("id")) if d.has("id") else shapes.disc(d.mm("od"))
    middle = (d.mm("od") / 2, d.mm("od") / 2)
    bolts = shapes.bolt_circle(
        middle, d.mm("on"), d.ticks("bolts"), d.mm("dia"), first=180 / d.ticks("bolts")
    )
    return Outline(plain.outer, (*plain.holes, *bolts))


def _flange_limits(d: Dimensions) -> Iterator[str]:
    if d.has("id"):
        yield from _ring_limits(d)
    yield from _less(d, "on", 0, d.ticks("od") - d.ticks("dia"), "od less a hole")
    if d.ticks("on") <= d.ticks("id") + d.ticks("dia"):
        yield f"{d.show('on')} must be more than id and a hole, {show_length(d.ticks('id') + d.ticks('dia'), d.unit)}"
    if d.ticks("bolts") > 1 and d.ticks("on") * math.sin(math.pi / d.ticks("bolts")) <= d.ticks("dia"):
        yield f"{d.ticks('bolts')} holes of {show_length(d.ticks('dia'), d.unit)} run into each other"


def _legs(of_length: int) -> Callable[[Dimensions], Iterator[str]]:
    """The limit of a leg: less than the width, and so many of them less than the length."""

    def limits(d: Dimensions) -> Iterator[str]:
        yield from _less(d, "leg", 0, d.ticks("size", 1), "the width")
        yield from _less(d, "leg", 0, d.ticks("size", 0) // of_length, "the room along the length")

    return limits


def _gusset_limits(d: Dimensions) -> Iterator[str]:
    short = min(d.values["size"])
    if d.ticks("clip") + d.ticks("nose") >= short:
        said = " and ".join(d.show(name) for name in ("clip", "nose") if d.has(name))
        yield f"{said} must be less than the shorter leg, {show_length(short, d.unit)}"


def _clip_limit(d: Dimensions) -> Iterator[str]:
    yield from _less(d, "clip", 0, d.ticks("base"), "base")


def _slot_limit(d: Dimensions) -> Iterator[str]:
    if d.ticks("size", 1) > d.ticks("size", 0):
        yield "the width of a slot is not more than its length"


SHAPES: dict[str, Shape] = {
    "rectangle": Shape(
        "rectangle 8 x 6 radius 1/2",
        ("size",),
        _rectangle,
        ("radius", "chamfer", "holes", "dia", "at"),
        _rectangle_limits,
    ),
    "base plate": Shape(
        "base plate 10 x 8 holes 2 x 2 dia 3/4 at 7 x 5",
        ("size", "holes", "dia", "at"),
        _rectangle,
        ("radius", "chamfer"),
        _rectangle_limits,
    ),
    "disc": Shape("disc od 6", ("od",), lambda d: shapes.disc(d.mm("od"))),
    "ring": Shape(
        "ring od 6 id 3", ("od", "id"), lambda d: shapes.ring(d.mm("od"), d.mm("id")), (), _ring_limits
    ),
    "flange": Shape(
        "flange od 11 id 6 bolts 8 dia 7/8 on 9 1/2",
        ("od", "bolts", "dia", "on"),
        _flange,
        ("id",),
        _flange_limits,
    ),
    "gusset": Shape(
        "gusset 6 x 4 clip 1",
        ("size",),
        lambda d: shapes.gusset(d.mm("size"), d.mm("size", 1), d.mm("clip"), d.mm("nose")),
        ("clip", "nose"),
        _gusset_limits,
    ),
    "isosceles": Shape(
        "isosceles base 8 height 6 clip 1",
        ("base", "height"),
        lambda d: shapes.isosceles(d.mm("base"), d.mm("height"), d.mm("clip")),
        ("clip",),
        _clip_limit,
    ),
    "trapezoid": Shape(
        "trapezoid base 8 top 5 height 4",
        ("base", "top", "height"),
        lambda d: shapes.trapezoid(d.mm("base"), d.mm("top"), d.mm("height")),
    ),
    "L": Shape(
        "L 6 x 4 leg 1",
        ("size", "leg"),
        lambda d: shapes.ell(d.mm("size"), d.mm("size", 1), d.mm("leg")),
        (),
        _legs(1),
    ),
    "T": Shape(
        "T 6 x 5 leg 1",
        ("size", "leg"),
        lambda d: shapes.tee(d.mm("size"), d.mm("size", 1), d.mm("leg")),
        (),
        _legs(1),
    ),
    "U": Shape(
        "U 6 x 5 leg 1",
        ("size", "leg"),
        lambda d: shapes.you(d.mm("size"), d.mm("size", 1), d.mm("leg")),
        (),
        _legs(2),
    ),
    "slot": Shape(
        "slot 6 x 1",
        ("size",),
        lambda d: Outline(shapes.obround(d.mm("size"), d.mm("size", 1))),
        (),
        _slot_limit,
    ),
}
"""By name, in the order in which they are told."""

_CALLED = {
    **{name.casefold(): name for name in SHAPES},
    "disk": "disc",
    "circle": "disc",
    "washer": "ring",
    "plate": "rectangle",
    "ell": "L",
    "tee": "T",
    "isosceles gusset": "isosceles",
    "isosceles triangle": "isosceles",
    "right gusset": "gusset",
    "obround": "slot",
}

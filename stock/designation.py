"""Reading a designation: "HSS2X2X1/8", "sq tube 2 x 2 x 14 ga", "L 50 x 50 x 5", "galvanised sheet 16 ga".

Different ways of writing one section meet in one canonical text. What may mean two things is refused.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction

from stock import gauge
from stock.errors import BadLength, BadMaterial
from stock.grade import Family, parse_finish, parse_grade
from stock.length import PER_INCH, PER_MM, Unit, exact_decimal, read_length
from stock.section import Rule, Section, Shape
from stock.sizes import Asked, Sizes, gauge_number, join_sizes, name_of, read_sizes, show_size, unit_ending
from stock.standard import table
from stock.wording import SHAPE_WORDS, Wording, take_apart

_THICKEST_PLATE = 300 * PER_MM
_THICKEST_SHEET = {"in": 3 * PER_INCH // 16, "mm": 3 * PER_MM}
"""From here on it is called plate (common practice, no source)."""

_SHAPES = {
    frozenset({"tube"}): Shape.TUBE,
    frozenset({"square", "tube"}): Shape.TUBE,
    frozenset({"rectangular", "tube"}): Shape.TUBE,
    frozenset({"round", "tube"}): Shape.ROUND_TUBE,
    frozenset({"pipe"}): Shape.PIPE,
    frozenset({"round", "pipe"}): Shape.PIPE,
    **{frozenset({"angle", *more}): Shape.ANGLE for more in ((), ("bar",))},
    frozenset({"channel"}): Shape.CHANNEL,
    **{frozenset({"flat", *more}): Shape.FLAT for more in ((), ("bar",), ("rectangular",))},
    frozenset({"rectangular", "bar"}): Shape.FLAT,
    **{frozenset({"round", *more}): Shape.ROUND for more in ((), ("bar",))},
    **{frozenset({"square", *more}): Shape.SQUARE for more in ((), ("bar",))},
    **{frozenset({"hexagon", *more}): Shape.HEXAGON for more in ((), ("bar",))},
    **{frozenset({"plate", *more}): Shape.PLATE for more in ((), ("flat",))},
}


@dataclass(frozen=True, slots=True)
class Named:
    """What a designation says: its canonical text, and the section, family, grade and finish it names."""

    text: str
    section: Section
    family: Family
    grade: str
    finish: str


def read_designation(text: str, unit: Unit, decimal: str = ".", grade: str = "", finish: str = "") -> Named:
    """Read a designation together with the grade and finish of their own columns.

    Parameters
    ----------
    text
        The designation, in any of the trade's ways of writing it.
    unit, decimal
        Of bare numbers.
    grade, finish
        "" for any.

    Raises
    ------
    BadMaterial
        If it is not known, contradicts itself, or may mean two things; with near designations if any.
    """
    if not text.strip():
        raise BadMaterial("a material is missing; write for example tube 2 x 2 x 1/8 or angle 50 x 50 x 5")
    words = take_apart(text)
    family, grade_name = _family_and_grade(text, words, grade)
    asked = Asked(text, unit, decimal, words, family, _finish(text, words, family, finish))
    if words.unknown:
        raise asked.refuse(*_unknown_word(asked))
    shape = _shape(asked)
    section, name = _READERS[shape](asked)
    prefix = "" if family is Family.CARBON else f"{family} "
    return Named(prefix + name, section, family, grade_name, asked.finish)


def _family_and_grade(text: str, words: Wording, column: str) -> tuple[Family, str]:
    said = [parse_grade(word) for word in (*words.families, *words.grades)]
    if column.strip():
        said.append(parse_grade(column))
    families = {grade.family for grade in said if grade.family}
    names = {grade.name for grade in said if grade.name}
    if len(families) > 1 or len(names) > 1:
        both = " and ".join(sorted(names if len(names) > 1 else {str(family) for family in families}))
        raise BadMaterial(f"{text!r} with grade {column!r} names {both}; keep the one that is meant")
    if names and not families:
        raise BadMaterial(
            f"grade {column!r} is not known; write steel, stainless or aluminium in the material {text!r} too"
        )
    return next(iter(families), Family.CARBON), next(iter(names), "")


def _finish(text: str, words: Wording, family: Family, column: str) -> str:
    said = {parse_finish(word) for word in (*words.finishes, column)} - {""}
    if len(said) > 1:
        raise BadMaterial(
            f"{text!r} with finish {column!r} names {' and '.join(sorted(said))}; keep the one meant"
        )
    finish = next(iter(said), "")
    if finish == "galvanised" and family is not Family.CARBON:
        raise BadMaterial(
            f"{text!r} is {family} and galvanised; only carbon steel is galvanised, keep the one meant"
        )
    return finish


def _shape(asked: Asked) -> Shape:
    words, sizes = asked.words, asked.words.sizes
    if words.schedule and not words.shape:
        return Shape.PIPE
    if words.shape == {"bar"} and len(sizes) == 2:
        return Shape.SQUARE if sizes[0] == sizes[1] else Shape.FLAT
    if words.shape == {"tube"} and len(sizes) == 2:
        return Shape.ROUND_TUBE
    if words.shape and frozenset(words.shape) in _SHAPES:
        return _SHAPES[frozenset(words.shape)]
    if words.shape == {"bar"}:
        raise asked.refuse(
            "bar alone is not a shape; write round, square, hexagon or flat", _with_shapes(asked)
        )
    if words.shape:
        raise asked.refuse(
            f"{' and '.join(sorted(words.shape))} do not go together; keep the shape that is meant"
        )
    if len(sizes) == 1 and (number := gauge_number(sizes[0])) is not None:
        raise asked.refuse(f"a gauge needs its system: it may be {gauge.meanings(number)}; write the shape")
    raise asked.refuse(
        "the shape is missing; write tube, angle, flat, round, plate, ...", _with_shapes(asked)
    )


def _unknown_word(asked: Asked) -> tuple[str, tuple[str, ...]]:
    word = asked.words.unknown[0]
    near: list[str] = []
    for guess in get_close_matches(word, [known for known in SHAPE_WORDS if len(known) > 2], n=3, cutoff=0.6):
        near += _readable(asked, asked.text.lower().replace(word, guess))
    why = f"{word!r} is not known in a material; write a shape and its sizes, as tube 2 x 2 x 1/8"
    return why, tuple(dict.fromkeys(near))


def _with_shapes(asked: Asked) -> tuple[str, ...]:
    """What the sizes would be with each shape word in front."""
    rest = "x".join(asked.words.sizes)
    found = [name for shape in Shape for name in _readable(asked, f"{shape} {rest}")]
    return tuple(dict.fromkeys(found))


def _readable(asked: Asked, text: str) -> list[str]:
    if take_apart(text).unknown:  # else the search for near words would never end
        return []
    try:
        return [read_designation(text, asked.unit, asked.decimal).text]
    except BadMaterial:
        return []


def _tube(asked: Asked) -> tuple[Section, str]:
    square = "square" in asked.words.shape
    sizes = read_sizes(asked, Shape.TUBE, (2, 3) if square else (3,))
    sides = sorted(sizes.ticks[:-1] * (2 if len(sizes.ticks) == 2 else 1), reverse=True)
    wall = sizes.ticks[-1]
    if square and sides[0] != sides[1]:
        raise asked.refuse("a square tube has two equal sides; write tube or rectangular tube")
    _check_wall(asked, wall, sides[1])
    return _hollow(asked, Shape.TUBE, (*sides, wall), sizes)


def _round_tube(asked: Asked) -> tuple[Section, str]:
    sizes = read_sizes(asked, Shape.ROUND_TUBE, (2,))
    _check_wall(asked, sizes.ticks[1], sizes.ticks[0])
    return _hollow(asked, Shape.ROUND_TUBE, sizes.ticks, sizes)


def _check_wall(asked: Asked, wall: int, side: int) -> None:
    if 2 * wall >= side:
        raise asked.refuse("the wall, which stands last, must be less than half of the smallest outside size")


def _hollow(asked: Asked, shape: Shape, ticks: tuple[int, ...], sizes: Sizes) -> tuple[Section, str]:
    """Section and name of a hollow section: the wall's writing tells the rule, unless a word does."""
    usual = _usual_rule(asked.family, sizes.system, sizes.is_decimal)
    rules = asked.words.rules
    if Rule.HOT_FINISHED in rules:
        rules = rules - {Rule.COLD_FORMED} if asked.words.is_metric_name else rules
    if sizes.system == "mm" and rules == {Rule.STRUCTURAL}:
        rules = {usual}
    if len(rules) > 1 or (sizes.system == "mm" and Rule.MECHANICAL in rules):
        said = " and ".join(sorted(rules))
        raise asked.refuse(
            f"{said} does not go together with {sizes.system} sizes; write one rule, as hot or structural"
        )
    rule = next(iter(rules), usual)
    if asked.family is Family.ALUMINIUM and rule is Rule.STRUCTURAL and Rule.STRUCTURAL not in rules:
        rule = Rule.EXTRUDED
    wall, wall_is_decimal = _wall_text(asked, ticks[-1], sizes.system, rule)
    name = f"{shape} {join_sizes(asked, ticks[:-1], sizes.system)} x {wall}{unit_ending(asked, sizes.system)}"
    if rule is not _usual_rule(asked.family, sizes.system, wall_is_decimal):
        name += f" {rule}"
    return Section(shape, ticks, rule), name


def _usual_rule(family: Family, system: Unit, wall_is_decimal: bool) -> Rule:
    if family is Family.ALUMINIUM:
        return Rule.EXTRUDED
    if system == "mm":
        return Rule.COLD_FORMED
    return Rule.MECHANICAL if wall_is_decimal else Rule.STRUCTURAL


def _wall_text(asked: Asked, ticks: int, system: Unit, rule: Rule) -> tuple[str, bool]:
    """A wall, written so that reading it again gives the same rule; and whether it has a decimal mark."""
    text = show_size(asked, ticks, system)
    if rule is Rule.MECHANICAL and system == "in":
        exact = exact_decimal(ticks, "in")
        if exact is not None:
            text = f"{exact.normalize():f}"
            text = (text if "." in text else f"{text}.0").replace(".", asked.decimal)
    return text, asked.decimal in text


def _pipe(asked: Asked) -> tuple[Section, str]:
    words = asked.words
    sizes = words.sizes
    rows = table("pipes")
    if len(sizes) != 1:
        raise asked.refuse("pipe needs a nominal size and schedule, as pipe 2 sch 40; else write round tube")
    try:
        if words.is_dn:
            found = [row for row in rows if row["dn"] == sizes[0]]
        else:
            size = read_length(sizes[0], "in", asked.decimal)
            found = [
                row for row in rows if size.system == "in" and read_length(row["nps"]).ticks == size.ticks
            ]
    except BadLength as wrong:
        raise asked.refuse(str(wrong)) from wrong
    if not found:
        every = ", ".join(dict.fromkeys(row["dn" if words.is_dn else "nps"] for row in rows))
        raise asked.refuse(f"no pipe of nominal size {sizes[0]} is in the table; it has {every}")
    schedule = {"10": "10S"}.get(words.schedule, words.schedule)
    chosen = next((row for row in found if row["schedule"] == schedule), None)
    if chosen is None:
        near = tuple(dict.fromkeys(f"pipe {row['nps']} sch {row['schedule']}" for row in found))
        missing = (
            f"schedule {words.schedule} is not in the table" if words.schedule else "the schedule is missing"
        )
        raise asked.refuse(f"{missing}; write one of {', '.join(row['schedule'] for row in found)}", near)
    chosen = next(row for row in found if row["wall_in"] == chosen["wall_in"])
    ticks = tuple(int(Fraction(chosen[column]) * PER_INCH) for column in ("outside_in", "wall_in"))
    name = f"{chosen['nps']} sch {chosen['schedule']}"
    return Section(Shape.PIPE, ticks, Rule.PIPE, name), f"pipe {name}"


def _angle(asked: Asked) -> tuple[Section, str]:
    sizes = read_sizes(asked, Shape.ANGLE, (2, 3))
    legs = sorted(sizes.ticks[:-1] * (2 if len(sizes.ticks) == 2 else 1), reverse=True)
    thick = sizes.ticks[-1]
    if thick >= legs[1]:
        raise asked.refuse("the thickness of an angle stands last and must be less than its smaller leg")
    ticks = (*legs, thick)
    rule = Rule.US_ANGLE if sizes.system == "in" else Rule.EN_ANGLE
    return Section(Shape.ANGLE, ticks, rule), name_of(asked, "angle", ticks, sizes.system)


def _channel(asked: Asked) -> tuple[Section, str]:
    kind, sizes = asked.words.channel, asked.words.sizes
    if not kind and len(sizes) == 3:
        return _plain_channel(asked)
    spoken = [size.replace(asked.decimal, ".") for size in sizes]
    wanted = f"C{'x'.join(spoken)}" if kind in ("", "C") else f"{kind} {' x '.join(spoken)}"
    rows = table("channels")
    found = [row for row in rows if row["name"] == wanted]
    if not found and kind == "PFC":
        found = [row for row in rows if row["name"].startswith(f"{wanted} x ")]
    if len(found) != 1:
        names = [row["name"] for row in rows if not kind or row["name"].startswith(kind)]
        near = [row["name"] for row in found or rows if row["name"] in names and row["depth"] in spoken[:1]]
        near = near or get_close_matches(wanted, names, n=4, cutoff=0.5)
        why = "no such channel is in the table; write its name, as C3x4.1, UPN 100 or PFC 100 x 50 x 10"
        raise asked.refuse(why, tuple(near))
    row = found[0]
    per = PER_INCH if row["unit"] == "in" else PER_MM
    ticks = tuple(
        int(Fraction(row[column]) * per) for column in ("depth", "flange", "web", "flange_thickness")
    )
    rule = Rule.US_CHANNEL if row["unit"] == "in" else Rule.EN_CHANNEL
    return Section(Shape.CHANNEL, ticks, rule, row["name"]), row["name"].replace(".", asked.decimal)


def _plain_channel(asked: Asked) -> tuple[Section, str]:
    sizes = read_sizes(asked, Shape.CHANNEL, (3,))
    depth, flange, thick = sizes.ticks
    if 2 * thick >= depth or thick >= flange:
        raise asked.refuse(
            "the thickness of a channel stands last and must be less than its flange and half its depth"
        )
    section = Section(Shape.CHANNEL, (depth, flange, thick, thick))
    return section, name_of(asked, "channel", sizes.ticks, sizes.system)


def _flat(asked: Asked) -> tuple[Section, str]:
    sizes = read_sizes(asked, Shape.FLAT, (2,))
    ticks = tuple(sorted(sizes.ticks, reverse=True))
    shown = ticks[::-1] if sizes.system == "in" else ticks
    return Section(Shape.FLAT, ticks), name_of(asked, "flat", shown, sizes.system)


def _solid(asked: Asked) -> tuple[Section, str]:
    shape = _shape(asked)
    sizes = read_sizes(asked, shape, (1, 2) if shape is Shape.SQUARE else (1,))
    if len(set(sizes.ticks)) > 1:
        raise asked.refuse("a square bar has two equal sides; write flat")
    ticks = sizes.ticks[:1]
    return Section(shape, ticks), name_of(asked, str(shape), ticks, sizes.system)


def _plate(asked: Asked) -> tuple[Section, str]:
    sizes = read_sizes(asked, Shape.PLATE, (1,))
    thick = sizes.ticks[0]
    if thick > _THICKEST_PLATE:
        raise asked.refuse("a plate is at most 300 mm thick; see whether the unit is right")
    word = "sheet" if thick < _THICKEST_SHEET[sizes.system] else "plate"
    number = gauge.sheet_gauge(thick, asked.finish) if asked.family is Family.CARBON else None
    name = name_of(asked, word, sizes.ticks, sizes.system) if number is None else f"{word} {number} ga"
    return Section(Shape.PLATE, sizes.ticks), name


_READERS: dict[Shape, Callable[[Asked], tuple[Section, str]]] = {
    Shape.TUBE: _tube,
    Shape.ROUND_TUBE: _round_tube,
    Shape.PIPE: _pipe,
    Shape.ANGLE: _angle,
    Shape.CHANNEL: _channel,
    Shape.FLAT: _flat,
    Shape.ROUND: _solid,
    Shape.SQUARE: _solid,
    Shape.HEXAGON: _solid,
    Shape.PLATE: _plate,
}

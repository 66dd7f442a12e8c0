"""Exact lengths: reading and printing 5' 3-1/2", 3 5/16, 400 mm, 1.25 m.

A length is a whole number of ticks of 1/3,200,000 mm, so that millimetres to seven places in fives and binary
fractions of an inch down to 1/1024 are exact together. A value between two ticks is refused, never rounded.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from stock.errors import BadLength

Unit = Literal["in", "mm"]

PER_MM = 3_200_000
"""Ticks in a millimetre."""
PER_INCH = 81_280_000
"""Ticks in an inch; exact, because the inch has been 25.4 mm since 1959."""
LONGEST = 1_000_000 * PER_MM
"""1 km: anything longer is a slip of the pen."""

_TICKS: dict[str, int] = {
    "in": PER_INCH,
    "ft": 12 * PER_INCH,
    "mm": PER_MM,
    "cm": 10 * PER_MM,
    "m": 1000 * PER_MM,
}
_SPELLINGS = {
    "in": ('"', "in", "in.", "inch", "inches"),
    "ft": ("'", "ft", "ft.", "foot", "feet"),
    "mm": ("mm", "mm.", "millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": ("cm", "cm.", "centimetre", "centimetres", "centimeter", "centimeters"),
    "m": ("m", "m.", "metre", "metres", "meter", "meters"),
}
_UNIT_OF = {spelling: unit for unit, spellings in _SPELLINGS.items() for spelling in spellings}

_LOOK_ALIKE = str.maketrans(
    {
        **dict.fromkeys("’‘′‵ʹʼ´`", "'"),
        **dict.fromkeys("”“″‶ʺ„‟", '"'),
        **dict.fromkeys("⁄∕÷", "/"),
        **dict.fromkeys("‐‑‒–—−", "-"),
        **dict.fromkeys("\u00a0\u2007\u2009\u202f\u2002\u2003", " "),
    }
)

_DIGITS = r"[.,]?\d[\d.,]*"
_AMOUNT = rf"(?:{_DIGITS}(?:\s+|\s*-\s*))?\d+\s*/\s*\d+|{_DIGITS}"
_UNITS = "|".join(re.escape(spelling) for spelling in sorted(_UNIT_OF, key=len, reverse=True))
_ONE = re.compile(rf"({_AMOUNT})\s*({_UNITS})?", re.ASCII)
_FEET_AND_INCHES = re.compile(
    rf"({_AMOUNT})\s*(?:'|feet|foot|ft\.?)\s*-?\s*({_AMOUNT})\s*(?:\"|inches|inch|in\.?)?", re.ASCII
)
_FRACTION = re.compile(r"(?:(\S+?)(?:\s+|\s*-\s*))?(\d+)\s*/\s*(\d+)", re.ASCII)
_EXAMPLES = "5' 3-1/2\", 63.5 in, 3 5/16, 400 mm or 1.25 m"


@dataclass(frozen=True, slots=True)
class Written:
    """A length as it was written.

    Parameters
    ----------
    ticks
        Its exact value.
    system
        Whether it counts in inches (feet too) or in millimetres.
    has_unit
        Whether the text names its unit.
    is_decimal
        Whether it has a decimal mark, as against a whole number or a fraction.
    """

    ticks: int
    system: Unit
    has_unit: bool
    is_decimal: bool


def plain_text(text: str) -> str:
    """The text in lower case with typographic primes, quotes, dashes, blanks and fractions made plain.

    >>> plain_text("63½″")
    '63 1/2"'
    """
    opened = "".join(
        f" {unicodedata.normalize('NFKC', sign)}"
        if unicodedata.decomposition(sign).startswith("<fraction>")
        else sign
        for sign in text
    )
    return " ".join(opened.translate(_LOOK_ALIKE).replace("''", '"').lower().split())


def parse_length(text: str, unit: Unit = "in", decimal: str = ".") -> int:
    """Read a length as ticks.

    Parameters
    ----------
    text
        Feet and inches, inches with fractions or decimals, millimetres, centimetres or metres.
    unit
        What a bare number counts.
    decimal
        The decimal mark, "." or ",".

    Raises
    ------
    BadLength
        If the text is no length, may mean two lengths, lies between two ticks, or is longer than 1 km.

    >>> parse_length("5' 3-1/2") == parse_length("63.5 in") == 127 * PER_INCH // 2
    True
    >>> parse_length("")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    stock.errors.BadLength: a length is missing; write for example 5' 3-1/2", 63.5 in, 3 5/16, 400 mm ...
    """
    return read_length(text, unit, decimal).ticks


def read_length(text: str, unit: Unit = "in", decimal: str = ".") -> Written:
    """Read a length and how it was written; see `parse_length`."""
    plain = plain_text(text)
    if not plain:
        raise BadLength(f"a length is missing; write for example {_EXAMPLES}")
    if plain.startswith("-"):
        raise BadLength(f"{text!r} is below zero; a length is zero or more")
    if len(plain) <= 60:
        if found := _FEET_AND_INCHES.fullmatch(plain):
            return _feet_and_inches(text, found[1], found[2], decimal)
        if found := _ONE.fullmatch(plain):
            name = _UNIT_OF[found[2]] if found[2] else unit
            system: Unit = "in" if name in ("in", "ft") else "mm"
            ticks = _whole_ticks(_amount(text, found[1], decimal) * _TICKS[name], text, system, decimal)
            return Written(ticks, system, bool(found[2]), _is_decimal(found[1]))
    raise BadLength(f"{_short(text)} is not a length; write for example {_EXAMPLES}")


def length_from_number(value: int | float | Decimal, unit: Unit) -> int:
    """Ticks of a number from a workbook cell; floats are taken at the 15 significant digits a workbook shows.

    Raises BadLength as `parse_length` does.

    >>> length_from_number(0.1 + 0.2, "in") == 3 * PER_INCH // 10
    True
    """
    if isinstance(value, bool):
        raise BadLength(f"{value} is not a length; write for example {_EXAMPLES}")
    exact = Decimal(f"{value:.15g}") if isinstance(value, float) else Decimal(value)
    if not exact.is_finite():
        raise BadLength(f"{value} is not a length; write for example {_EXAMPLES}")
    if exact < 0:
        raise BadLength(f"{value} is below zero; a length is zero or more")
    if exact > LONGEST:
        raise BadLength(f"{value} {unit} is longer than 1 km, the longest length taken; look for a slip")
    return _whole_ticks(Fraction(exact) * _TICKS[unit], f"{exact.normalize():f} {unit}", unit)


def show_length(ticks: int, unit: Unit = "in", denominator: int = 32, feet: bool = False) -> str:
    """Print a length, with "~" in front when it had to be rounded.

    Parameters
    ----------
    ticks
        The length; a negative one gets a minus sign.
    unit
        Inches are printed as fractions, millimetres with up to three decimals.
    denominator
        Finest fraction of an inch.
    feet
        Whether 12 inches and more are printed in feet and inches.

    >>> size = 127 * PER_INCH // 2
    >>> show_length(size), show_length(size, feet=True), show_length(PER_INCH // 10)
    ('63 1/2"', '5\\' 3 1/2"', '~3/32"')
    >>> show_length(16129 * PER_MM // 10, "mm"), show_length(0, "mm")
    ('1612.9 mm', '0 mm')
    """
    sign, size = ("-", -ticks) if ticks < 0 else ("", ticks)
    parts = denominator if unit == "in" else 1000
    exact = Fraction(size * parts, _TICKS[unit])
    count = math.floor(exact + Fraction(1, 2))
    shown = (
        _show_inches(count, parts, feet)
        if unit == "in"
        else f"{_plain_decimal(Decimal(count).scaleb(-3))} mm"
    )
    return f"{'~' if exact != count else ''}{sign}{shown}"


def exact_decimal(ticks: int, unit: Unit) -> Decimal | None:
    """The length as an exact decimal number of the unit, None if it has none (as 1 mm in inches).

    >>> exact_decimal(PER_INCH, "mm"), exact_decimal(PER_MM, "in")
    (Decimal('25.4'), None)
    """
    value = Fraction(ticks, _TICKS[unit])
    places = _decimal_places(value.denominator)
    if places is None:
        return None
    return Decimal(value.numerator * 10**places // value.denominator).scaleb(-places)


def to_mm(ticks: int) -> float:
    """Millimetres as a float, for drawings and weights only."""
    return ticks / PER_MM


def to_inches(ticks: int) -> float:
    """Inches as a float, for drawings only."""
    return ticks / PER_INCH


def _feet_and_inches(text: str, feet: str, inches: str, decimal: str) -> Written:
    whole, rest = _amount(text, feet, decimal), _amount(text, inches, decimal)
    if whole.denominator != 1 or rest >= 12:
        raise BadLength(
            f"{text!r} mixes feet and inches oddly; write whole feet and less than 12 inches after them"
        )
    return Written(
        _whole_ticks((12 * whole + rest) * PER_INCH, text, "in", decimal), "in", True, _is_decimal(inches)
    )


def _amount(text: str, amount: str, decimal: str) -> Fraction:
    """The exact number in '63.5', '63 1/2', '63-1/2' or '1/2'."""
    found = _FRACTION.fullmatch(amount)
    if found is None:
        return Fraction(_number(text, amount, decimal))
    before, above, below = found.groups()
    if int(below) == 0:
        raise BadLength(f"{text!r} divides by zero; write a fraction such as 1/2")
    fraction = Fraction(int(above), int(below))
    if before is None:
        return fraction
    if not before.isdigit() or fraction >= 1:
        raise BadLength(
            f"{text!r} is not a mixed number; write a whole number and a fraction below 1, such as 63 1/2"
        )
    return int(before) + fraction


def _number(text: str, digits: str, decimal: str) -> Decimal:
    other = "," if decimal == "." else "."
    if other in digits:
        without = digits.replace(".", "").replace(",", "")
        if re.fullmatch(rf"\d+[{other}]\d+", digits):
            swapped = digits.replace(other, decimal)
            both = (
                f"write {without} or {swapped}"
                if re.fullmatch(r"\d{1,3}[.,]\d{3}", digits)
                else f"write {swapped}"
            )
            raise BadLength(f"{text!r}: the decimal mark of this job is {decimal!r}; {both}")
        raise BadLength(
            f"{text!r}: write numbers without thousands marks and with the decimal mark {decimal!r}"
        )
    if digits.count(decimal) > 1:
        raise BadLength(f"{text!r} has more than one decimal mark; write a number such as 63{decimal}5")
    return Decimal(digits.replace(decimal, "."))


def _is_decimal(amount: str) -> bool:
    return "." in amount or "," in amount


def _whole_ticks(value: Fraction, text: str, system: Unit, decimal: str = ".") -> int:
    if value > LONGEST:
        raise BadLength(f"{_short(text)} is longer than 1 km, the longest length taken; look for a slip")
    if value.denominator != 1:
        low = math.floor(value)
        below, above = (_neighbour(ticks, system).replace(".", decimal) for ticks in (low, low + 1))
        raise BadLength(
            f"{_short(text)} is not exact (lengths count in 1/3,200,000 mm); write {below} or {above}"
        )
    return int(value)


def _neighbour(ticks: int, system: Unit) -> str:
    exact = exact_decimal(ticks, system)
    if exact is not None:
        return f"{_plain_decimal(exact)} {system}"
    return f"{_plain_decimal(Decimal(ticks) / PER_MM)} mm"


def _plain_decimal(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _show_inches(count: int, parts: int, feet: bool) -> str:
    whole, rest = divmod(count, parts)
    fraction = Fraction(rest, parts)
    lead = ""
    if feet and whole >= 12:
        tall, whole = divmod(whole, 12)
        lead = f"{tall}' "
    if not fraction:
        return f'{lead}{whole}"'
    return f'{lead}{whole} {fraction}"' if whole else f'{lead}{fraction}"'


def _decimal_places(denominator: int) -> int | None:
    """How many decimals 1/denominator needs, None if they never end."""
    twos = fives = 0
    while denominator % 2 == 0:
        denominator, twos = denominator // 2, twos + 1
    while denominator % 5 == 0:
        denominator, fives = denominator // 5, fives + 1
    return max(twos, fives) if denominator == 1 else None


def _short(text: str) -> str:
    return repr(text if len(text) <= 60 else f"{text[:57]}...")

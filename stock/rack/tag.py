"""Ids to write on steel with a paint pen: short, without signs that look alike, and safe against a slip.

An id counts up in 19 signs; one more sign in it makes a weighted sum zero modulo 19. As 19 is prime, an id with one
wrong sign, or with two neighbours swapped, is never the id of another piece.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from itertools import pairwise

from stock.errors import RackRefused

SIGNS = "34679ACEFHJKMNPRTWX"
"""Without those that are read for one another on dirty steel: 0 O D Q U V Y, 1 I L, 2 Z, 5 S, 8 B, 6 G."""
_LEAST = 3
_MOST = 16
_MARKS = ".-_ "


def tag(number: int) -> str:
    """The id of a number, 0 and up: four signs for the first 6,859, then one more.

    >>> tag(0), tag(1), tag(6859)
    ('3333', '334W', '4333P')
    """
    digits: list[int] = []
    while number or len(digits) < _LEAST:
        number, digit = divmod(number, len(SIGNS))
        digits.append(digit)
    digits.reverse()
    # As the last sign has weight 1, the others 2, 3 ... from behind, it takes what makes the sum zero.
    weighted = sum(weight * digit for weight, digit in enumerate(reversed(digits), 2))
    return "".join(SIGNS[digit] for digit in (*digits, -weighted % len(SIGNS)))


def read_tag(text: str) -> str:
    """An id as it is kept: capitals, no blanks around it.

    Raises
    ------
    RackRefused
        If it is not 1 to 16 letters and digits, with a single . - _ or blank between them.

    >>> read_tag(" r-7 "), read_tag("rack  12")
    ('R-7', 'RACK 12')
    """
    name = " ".join(text.split()).upper()
    letters = name.translate(str.maketrans("", "", _MARKS))
    is_framed = name[:1].isalnum() and name[-1:].isalnum()
    is_doubled = any(one in _MARKS and other in _MARKS for one, other in pairwise(name))
    if not (is_framed and letters.isalnum()) or is_doubled or len(name) > _MOST:
        raise RackRefused(
            f"{text!r:.60} cannot be the id of a piece; write up to {_MOST} letters and digits, a single . - _ or "
            "blank between them, such as K7D3 or R-12"
        )
    return name


def near_tags(name: str, known: Iterable[str]) -> tuple[str, ...]:
    """The ids that an unknown one is probably meant to be, best first; none if it is like none of them."""
    return tuple(difflib.get_close_matches(name, list(known), n=3, cutoff=0.7))

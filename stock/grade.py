"""Families of metal, grades with their densities, finishes, and the cautions they carry."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from stock.errors import BadMaterial
from stock.standard import table


class Family(StrEnum):
    """Metals whose weight and gauges are counted alike."""

    CARBON = "carbon steel"
    STAINLESS = "stainless"
    ALUMINIUM = "aluminium"


DENSITY = {Family.CARBON: 7850.0, Family.STAINLESS: 7900.0, Family.ALUMINIUM: 2700.0}
"""kg/m3 when the grade is blank or has no value of its own: those of mild steel, 304 and 6061."""

FAMILY_WORDS = {
    **dict.fromkeys(("steel", "carbon", "mild", "ms"), Family.CARBON),
    **dict.fromkeys(("stainless", "inox", "ss", "s/s", "sst"), Family.STAINLESS),
    **dict.fromkeys(("aluminium", "aluminum", "alu", "alum", "alum.", "al"), Family.ALUMINIUM),
}

_PATTERNS = (
    (re.compile(r"S\d{3}[A-Z0-9+]*|A\d{2,4}M?|1\.[01]\d{3}|1[0-5]\d\d|4[13]\d\d|86\d\d"), Family.CARBON),
    (re.compile(r"[34]\d\d(?:L|H|N|LN|TI|CB)?|1\.4\d{3}"), Family.STAINLESS),
    (re.compile(r"[2356]\d{3}|7\d{3}"), Family.ALUMINIUM),
)
"""Grades outside the table whose family is plain from the name; they take the density of the family."""

_PREFIX = re.compile(r"\A(?:(?:ASTM|EN|AW|AISI|SAE|TYPE|GRADE|SS|AL)[\s-]+|SS(?=\d))+")

FINISHES = {
    **dict.fromkeys(("hot-rolled", "hot rolled", "hr", "hrs", "black"), "hot-rolled"),
    **dict.fromkeys(("pickled", "pickled and oiled", "p&o", "hrpo", "pickled & oiled"), "pickled"),
    **dict.fromkeys(("galvanised", "galvanized", "galv", "galv.", "hdg", "zinc coated"), "galvanised"),
    **dict.fromkeys(
        (
            "cold-rolled",
            "cold rolled",
            "cr",
            "crs",
            "cold drawn",
            "cold finished",
            "cold-drawn",
            "cold-finished",
        ),
        "cold-rolled",
    ),
}


@dataclass(frozen=True, slots=True)
class Grade:
    """A grade as written, with the family it belongs to.

    Parameters
    ----------
    name
        Canonical ("6061-T6", "A500 GR B"); "" for any grade of the family.
    family
        None if the name alone does not tell.
    """

    name: str
    family: Family | None


def parse_grade(text: str) -> Grade:
    """Read a grade or a family word; a grade that is not known keeps its name and has no family.

    >>> parse_grade("Type 304"), parse_grade("aluminum").name, parse_grade("EN AW-6061-T6").name
    (Grade(name='304', family=<Family.STAINLESS: 'stainless'>), '', '6061-T6')
    """
    words = text.split()
    while len(words) > 1 and words[-1].lower() in FAMILY_WORDS:
        words.pop()
    name = " ".join(words).upper()
    if name.lower() in FAMILY_WORDS:
        return Grade("", FAMILY_WORDS[name.lower()])
    name = _PREFIX.sub("", name, count=1)
    base, rest = _split(name)
    if row := _known().get(base):
        return Grade(row["grade"] + rest, Family(row["family"]))
    for pattern, family in _PATTERNS:
        if pattern.fullmatch(base):
            return Grade(name, family)
    return Grade(name, None)


def is_tabled(word: str) -> bool:
    """Whether a bare word is the name of a grade in the table ("304", "6061-T6", "1018")."""
    return _split(word.upper())[0] in _known()


def density(family: Family, grade: str) -> float:
    """kg/m3: of the grade if the table has it, else of the family.

    Source: BS EN 10088-1, nominal Aluminum Association values, 7850 for carbon steel; see grades.csv.

    >>> density(Family.STAINLESS, "316"), density(Family.STAINLESS, "")
    (8000.0, 7900.0)
    """
    row = _known().get(_split(grade)[0])
    return float(row["kg_per_m3"]) if row else DENSITY[family]


def parse_finish(text: str) -> str:
    """The canonical word for a finish, "" for a blank.

    Raises BadMaterial for any other word.

    >>> parse_finish("Galvanized"), parse_finish("")
    ('galvanised', '')
    """
    word = " ".join(text.lower().split())
    if not word:
        return ""
    if word not in FINISHES:
        allowed = ", ".join(dict.fromkeys(FINISHES.values()))
        raise BadMaterial(f"{text!r} is not a known finish; write {allowed}, or leave it blank for any")
    return FINISHES[word]


def cautions(family: Family, finish: str) -> tuple[str, ...]:
    """Sentences to show wherever this metal is cut, welded or cleaned.

    Sources: OSHA 29 CFR 1910.1000 table Z-1 and AWS Fact Sheet 25 (zinc), 29 CFR 1910.1026 (chromium); the
    others are common practice.
    """
    said = []
    if finish == "galvanised":
        said.append(
            "Galvanised: welding and hot cutting give zinc oxide fume (metal fume fever); strip the coating "
            "along the cut, use exhaust and a respirator, keep it out of acid, and follow local rules."
        )
    if family is Family.STAINLESS:
        said.append(
            "Stainless: hot cutting, welding and grinding give hexavalent chromium; use exhaust and a "
            "respirator, and follow local rules."
        )
    if family is Family.ALUMINIUM:
        said.append(
            "Aluminium: use blades and wheels made for it; cut over a water table it can collect hydrogen; "
            "keep its dust away from sparks."
        )
    if finish == "hot-rolled":
        said.append(
            "Hot-rolled: take mill scale off before welding or painting; with acid, follow its safety sheet."
        )
    return tuple(said)


def _split(name: str) -> tuple[str, str]:
    """A grade's base and what follows it: ("6061", "-T6")."""
    base = re.split(r"[\s/-]", name, maxsplit=1)[0]
    return base, name[len(base) :]


@cache
def _known() -> dict[str, dict[str, str]]:
    rows = {row["grade"]: row for row in table("grades")}
    return rows | {row["also"]: row for row in table("grades") if row["also"]}

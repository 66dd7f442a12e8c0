"""The words of a designation: shape, rule, family, grade, finish and schedule told apart from the sizes."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from stock.gauge import SYSTEM_WORDS
from stock.grade import FAMILY_WORDS, FINISHES, is_tabled, parse_grade
from stock.length import plain_text
from stock.section import Rule

SHAPE_WORDS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(("tube", "tubing", "tubes", "box", "hollow", "hss"), ("tube",)),
    "shs": ("square", "tube"),
    "rhs": ("rectangular", "tube"),
    "chs": ("round", "tube"),
    "pipe": ("pipe",),
    **dict.fromkeys(("angle", "l", "ea", "ua"), ("angle",)),
    **dict.fromkeys(("channel", "c", "upn", "unp", "upe", "pfc"), ("channel",)),
    **dict.fromkeys(("flat", "flats", "fb", "strip"), ("flat",)),
    **dict.fromkeys(("round", "rnd", "rd", "ø", "⌀"), ("round",)),
    **dict.fromkeys(("rod", "rb"), ("round", "bar")),
    **dict.fromkeys(("square", "sq", "sq."), ("square",)),
    "sb": ("square", "bar"),
    **dict.fromkeys(("hexagon", "hex", "hexagonal"), ("hexagon",)),
    **dict.fromkeys(("rectangular", "rect", "rect.", "rectangle"), ("rectangular",)),
    **dict.fromkeys(("bar", "bars"), ("bar",)),
    **dict.fromkeys(("plate", "sheet", "pl", "plates", "sheets", "sht"), ("plate",)),
}
CHANNEL_WORDS = {"c": "C", "upn": "UPN", "unp": "UPN", "upe": "UPE", "pfc": "PFC"}

_RULE_WORDS = {
    **dict.fromkeys(("hss", "structural"), Rule.STRUCTURAL),
    **dict.fromkeys(("mechanical", "mech", "dom"), Rule.MECHANICAL),
    **dict.fromkeys(("hot", "hot-finished", "en10210"), Rule.HOT_FINISHED),
    **dict.fromkeys(("shs", "rhs", "chs", "cold", "cold-formed", "en10219"), Rule.COLD_FORMED),
    "extruded": Rule.EXTRUDED,
}
_SILENT = frozenset(
    (
        *(
            "section",
            "sections",
            "solid",
            "iron",
            "equal",
            "unequal",
            "leg",
            "legs",
            "stock",
            "wall",
            "thick",
        ),
        *(
            "thickness",
            "od",
            "o.d.",
            "o.d",
            "dia",
            "dia.",
            "diameter",
            "wide",
            "seamless",
            "erw",
            "welded",
            "of",
        ),
        *("finished", "formed", "a/f", "af", "metal", "nps", "astm", "en", "aisi", "type", "grade"),
    )
)
_UNIT = r"(?:mm|cm|inches|inch|in\.?|ft|m|ga)"
_X = re.compile(rf"""((?:\d\.?|["'])|\d\s?{_UNIT})\s*x\s*(?=[\d.,])""")
_SCHEDULE = re.compile(r"\b(?:sch(?:edule|ed)?\.?\s*(\d+s?|std|xs|xxs)|(std|xs|xxs))\b")
_GLUED = re.compile(r"([a-zø⌀]+)\.?(?=[.,]?\d)")


@dataclass(slots=True)
class Wording:
    """A designation taken apart; words that mean nothing known are kept in `unknown`."""

    sizes: tuple[str, ...] = ()
    shape: set[str] = field(default_factory=set)
    rules: set[Rule] = field(default_factory=set)
    families: list[str] = field(default_factory=list)
    grades: list[str] = field(default_factory=list)
    finishes: list[str] = field(default_factory=list)
    channel: str = ""
    schedule: str = ""
    gauge_system: str = ""
    is_dn: bool = False
    is_metric_name: bool = False
    unknown: list[str] = field(default_factory=list)


def take_apart(text: str) -> Wording:
    """Sort the words of a designation; nothing is refused here."""
    found = Wording()
    plain = re.sub(r"[×✕✖⨯*]|(?<=[\d\"']) by (?=[\d.])", "x", plain_text(text))
    plain = re.sub(r",(?=\s)|[();:]", " ", plain)
    plain = re.sub(r"#?(?<![\d.,/])(\d+)\s*(?:ga(?:uge|ge)?|gage)\b\.?", r"\1ga", plain)
    plain = re.sub(r"(?<![\d.,/])(\d+)\s*(bwg|msg|awg|swg)\b", r"\1ga \2", plain)
    plain = re.sub(rf"(\d)\s+({_UNIT})(?![\w.])", r"\1\2", plain)
    if schedule := _SCHEDULE.search(plain):
        found.schedule = (schedule[1] or schedule[2]).upper()
        plain = plain[: schedule.start()] + " " + plain[schedule.end() :]
    plain = re.sub(r"(?<=[\w\"'.]) (?:o\.?d\.?|wide|wall|thick|leg)(?= |$)", "", plain)
    tokens = _X.sub(r"\1x", plain).split()
    tokens = [part for token in tokens for part in _unglue(token)]
    sizes: list[str] = []
    while tokens:
        two = " ".join(tokens[:2])
        if len(tokens) > 1 and two in FINISHES:
            found.finishes.append(two)
            del tokens[:2]
        else:
            _sort(tokens.pop(0), sizes, found)
    _numeric_grade(sizes, found)
    found.sizes = tuple(size.strip() for size in " ".join(sizes).split("x") if size.strip())
    return found


def _unglue(token: str) -> tuple[str, ...]:
    """'hss2x2x1/8' as two words, unless it is one, as 'a36' is."""
    glued = _GLUED.match(token)
    if glued is None or parse_grade(token).family is not None:
        return (token,)
    if glued[1] in SHAPE_WORDS or glued[1] in ("dn", "nps"):
        return glued[1], token[glued.end() :]
    return (token,)


def _sort(token: str, sizes: list[str], found: Wording) -> None:
    if token in SYSTEM_WORDS:
        found.gauge_system = SYSTEM_WORDS[token]
    elif token in FINISHES:
        found.finishes.append(token)
    elif token in FAMILY_WORDS:
        found.families.append(token)
    elif token in SHAPE_WORDS or token in _RULE_WORDS:
        found.shape.update(SHAPE_WORDS.get(token, ()))
        sizes.append("x")  # "2x2 tube 1/8": a size does not go on behind a word
        found.channel = CHANNEL_WORDS.get(token, found.channel)
        found.is_metric_name |= token in ("shs", "rhs", "chs")
        if token in _RULE_WORDS:
            found.rules.add(_RULE_WORDS[token])
    elif token == "dn":
        found.is_dn = True
    elif token in _SILENT:
        pass
    elif parse_grade(token).family is not None and not token.isdigit():
        found.grades.append(token)
    elif re.match(r"[.,]?\d", token) or re.fullmatch(r"[-/\"']+|x", token):
        sizes.append(token)
    else:
        found.unknown.append(token)


def _numeric_grade(sizes: list[str], found: Wording) -> None:
    """A bare 304 or 6061 beside sizes is a grade; alone it is a size."""
    places = [place for place, size in enumerate(sizes) if size != "x"]
    if len(places) < 2:
        return
    for place in (places[0], places[-1]):
        if sizes[place].isdigit() and is_tabled(sizes[place]):
            found.grades.append(sizes.pop(place))
            return

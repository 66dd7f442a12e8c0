"""The shop table: read first, because it says how everything else is written."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any, cast

from nesting.job import Part, Shop, Unit
from nesting.read.cells import Style, as_length, as_money, as_number
from nesting.read.grid import Cell, lookup, plain
from nesting.read.line import Line
from nesting.read.rates import RATES, as_share
from nesting.read.schema import PARTS, SETTINGS, Setting
from nesting.read.sheet import Findings, HeaderUnit, Sheet, slip_of
from nesting.read.wishes import as_scrap_price, as_wishes
from nesting.report.words import length_words
from stock.errors import BadValue
from stock.length import PER_MM
from stock.offer import KG_PER_LB

_NAMES = lookup({setting.name: setting.others for setting in SETTINGS})
_BY_NAME = {setting.name: setting for setting in SETTINGS}


def read_shop(sheet: Sheet | None, findings: Findings) -> Shop:
    """The settings, with starting values for those that are not given."""
    if sheet is None:
        findings.add(
            "no-shop",
            "there is no shop table: bare numbers are taken as inches, the decimal mark as a point",
            table="shop",
            severity="notice",
        )
        return Shop()
    lines = _lines(sheet, findings)
    words = {name: line for name, line in lines.items() if name in _BY_NAME and line.cell("VALUE").text}
    unit = cast(Unit, _choice("units", words) or "in")
    decimal = _choice("decimal", words) or "."
    values: dict[str, Any] = {"unit": unit, "decimal": decimal}
    if unit == "mm":
        values |= _METRIC
    style = Style(unit, decimal)
    for name, line in words.items():
        if name in _READERS:
            key, convert = _READERS[name]
            taken = _taken(line, convert, style)
            if taken is not None:
                values[key] = taken
    used = {"units", "decimal", "bed_open", *_READERS, *RATES}
    other = tuple((name, line.cell("VALUE").text) for name, line in lines.items() if name not in used)
    values |= {"bed_open": _choice("bed_open", words) == "yes"}
    shop = Shop(**values, rates=_rates(words, style), other=other)
    _check_bed(shop, words)
    return shop


def _check_bed(shop: Shop, words: Mapping[str, Line]) -> None:
    """A bed that its margins leave nothing of, and settings of a bed where there is none."""
    if shop.bed is not None and "torch" in shop.processes and min(shop.bed) <= 2 * shop.edge_on_bed:
        name = "bed_margin" if shop.bed_margin > shop.edge else "edge"
        words["bed"].report(
            "bed-too-small",
            f"{words['bed'].cell('VALUE').text!r}: {'a' if name == 'bed_margin' else 'an'} {name} of "
            f"{length_words(shop.edge_on_bed, shop)} on each side leaves nothing of this bed; mend bed or {name}",
            "VALUE",
        )
    for name in ("bed_margin", "bed_open", "blank_kerf", "blank_allowance", "blank_cost"):
        if name in words and (shop.bed is None or "torch" not in shop.processes) and _is_set(name, shop):
            lacks = "no bed is set" if shop.bed is None else "torch is not among the processes"
            remedy = "set bed" if shop.bed is None else "add torch to processes"
            words[name].report(
                "bed-missing",
                f"{name} {words[name].cell('VALUE').text!r} is about a torch bed, but {lacks}; {remedy}, or clear "
                "this row",
                "VALUE",
            )


def _is_set(name: str, shop: Shop) -> bool:
    """Whether a setting asks for something: a no or a zero does not, but a kerf of zero does."""
    value = getattr(shop, name)
    return value is not None if name == "blank_kerf" else bool(value)


def tell_torch(parts: tuple[Part, ...], shop: Shop, sheet: Sheet | None, findings: Findings) -> None:
    """Notices of what the torch starts from where the job does not say, and of a clearance that the kerf overrules."""
    if "torch" not in shop.processes or not any(p.is_plate and p.process in (None, "torch") for p in parts):
        return
    given = given_settings(sheet)
    values = {"torch_kerf": shop.torch_kerf, "clearance": shop.clearance, "edge": shop.edge}
    started = [] if "processes" in given else ["processes torch"]
    started += [f"{name} {length_words(value, shop)}" for name, value in values.items() if name not in given]
    file = "" if sheet is None else sheet.file
    if started:
        findings.add(
            "torch-start",
            f"starting values for plates; measure your own: {', '.join(started)}",
            file=file,
            table="shop",
            severity="notice",
        )
    if shop.clearance < shop.torch_kerf:
        findings.add(
            "clearance-kerf",
            f"a clearance of {length_words(shop.clearance, shop)} is less than the torch burns away: "
            f"{length_words(shop.torch_kerf, shop)} is kept between parts",
            file=file,
            table="shop",
            row=given.get("clearance", 0),
            severity="notice",
        )


def given_settings(sheet: Sheet | None) -> dict[str, int]:
    """Names of the settings that a shop table sets, and their rows."""
    if sheet is None:
        return {}
    lines = [Line(sheet, row, Style(), Findings()) for row in sheet.rows]
    return {
        _NAMES[plain(line.cell("SETTING").text)]: line.row.number
        for line in lines
        if line.cell("VALUE").text and plain(line.cell("SETTING").text) in _NAMES
    }


def _rates(words: dict[str, Line], style: Style) -> tuple[tuple[str, Decimal], ...]:
    """Those of the estimate that are set, in the units of the shop."""
    taken = [(name, _taken(words[name], RATES[name], style)) for name in RATES if name in words]
    return tuple((name, value) for name, value in taken if value is not None)


def _lines(sheet: Sheet, findings: Findings) -> dict[str, Line]:
    """Rows by the canonical name of their setting, or by the name as written if it is unknown."""
    lines: dict[str, Line] = {}
    for row in sheet.rows:
        line = Line(sheet, row, Style(), findings)
        line.check_shape()
        written = line.text("SETTING")
        if line.failed or not written:
            continue
        name = _NAMES.get(plain(written))
        if name is None:
            slip = slip_of(plain(written), _NAMES)
            if slip is not None:
                line.report(
                    "setting-slip", f"{written!r} looks like a slip of {_NAMES[slip]}; rename it", "SETTING"
                )
                continue
            name = written
            line.report("unknown-setting", f"{written!r} is not a setting that is used", "SETTING", "notice")
        elif not _BY_NAME[name].used:
            line.report("unused-setting", f"{written!r} is not used by this version yet", "SETTING", "notice")
        if name in lines:
            line.report("setting-twice", f"{written!r} is set in row {lines[name].row.number} too", "SETTING")
            continue
        lines[name] = line
    return lines


def _choice(name: str, lines: dict[str, Line]) -> str | None:
    """The canonical word of a setting that has choices."""
    if name not in lines:
        return None
    setting: Setting = _BY_NAME[name]
    text = lines[name].cell("VALUE").text
    for word, others in setting.choices:
        if text.casefold() in (word, *others):
            return word
    allowed = " or ".join(word if word.isalpha() else others[0] for word, others in setting.choices)
    lines[name].report("bad-setting", f"{text!r} is not a value of {name}; write {allowed}", "VALUE")
    return None


def _taken(line: Line, convert: Callable[[Cell, Style], Any], style: Style) -> Any:
    cell = line.cell("VALUE")
    if cell.trouble:
        line.report("bad-cell", cell.trouble, "VALUE")
        return None
    try:
        return convert(cell, style)
    except BadValue as error:
        line.report("bad-setting", str(error), "VALUE")
        return None


def as_weight(cell: Cell, style: Style, header_unit: HeaderUnit | None = None) -> Decimal:
    """Kilograms; a bare number counts the unit of the header, or else pounds in an inch job. Raises BadValue.

    >>> as_weight(Cell("700 kg"), Style("in", "."))
    Decimal('700')
    """
    text = cell.text.lower().rstrip(".")
    bare_pounds = header_unit == "lb" if header_unit else style.unit == "in"
    for suffix, is_pounds in (("lbs", True), ("lb", True), ("kg", False), ("", bare_pounds)):
        if text.endswith(suffix):
            bare = Cell(text.removesuffix(suffix).strip(), cell.number)
            amount = as_number(bare, style.decimal)
            return amount * KG_PER_LB.numerator / KG_PER_LB.denominator if is_pounds else amount
    raise AssertionError("the empty suffix ends every text")


def _denominator(cell: Cell, style: Style) -> int:
    text = cell.text.removeprefix("1/")
    if text not in {str(2**power) for power in range(1, 11)}:
        raise BadValue(f"{cell.text!r} is no fraction of an inch; write 2, 4, 8, 16, 32, 64 ... 1024")
    return int(text)


def _currency(cell: Cell, style: Style) -> str:
    if len(cell.text) > 8:
        raise BadValue(f"{cell.text!r} is not a currency; write a sign or a short name, such as $ or EUR")
    return cell.text


def _processes(cell: Cell, style: Style) -> tuple[str, ...]:
    words = lookup(dict(PARTS.column("process").choices))
    named = [word for word in re.split(r"[\s,;/+&]+", cell.text) if word and plain(word) != "and"]
    unknown = [word for word in named if plain(word) not in words]
    if unknown or not named:
        raise BadValue(
            f"{cell.text!r} does not name processes; write torch, saw or shear, or several of them parted by commas"
        )
    return tuple(dict.fromkeys(words[plain(word)] for word in named))


def _bed(cell: Cell, style: Style) -> tuple[int, int]:
    return _size(cell, style, "bed")


def _largest(cell: Cell, style: Style) -> tuple[int, int]:
    return _size(cell, style, "sheet")


def _heaviest(cell: Cell, style: Style) -> Decimal:
    weight = as_weight(cell, style)
    if not weight:
        raise BadValue(f"{cell.text!r} is no weight of a sheet; it must be above zero")
    return weight


def _size(cell: Cell, style: Style, what: str) -> tuple[int, int]:
    sides = re.split(r"\s*(?:[x×*]|\bby\b)\s*", cell.text.strip(), flags=re.IGNORECASE)
    if len(sides) != 2:
        raise BadValue(f"{cell.text!r} is not the size of a {what}; write it like 24 x 24 or 610 x 610 mm")
    # One unit behind both counts for both, as in 610 x 610 mm.
    unit = re.search(r"[^\d\s.,/]+$", sides[1])
    if unit and re.search(r"\d$", sides[0]):
        sides[0] += f" {unit[0]}"
    length, width = (as_length(Cell(side), style) for side in sides)
    if not length or not width:
        raise BadValue(f"{cell.text!r} is no {what}; both sides must be above zero")
    return length, width


def _cents(cell: Cell, style: Style) -> Decimal:
    money = as_money(cell, style.decimal)
    if money % Decimal("0.01"):
        raise BadValue(f"{cell.text!r} is not in whole cents; write two decimals, such as 4.50")
    return money


def _thicker(cell: Cell, style: Style) -> int:
    ticks = as_length(cell, style)
    if ticks > _THICKER:
        raise BadValue(
            f"{cell.text!r} is more than a saw cuts thicker than it is said to; write 1 in (25.4 mm) or less, "
            "or mend KERF in the table saws"
        )
    return ticks


def _thicknesses(cell: Cell, style: Style) -> Decimal:
    return as_number(cell, style.decimal)


_THICKER = 254 * PER_MM // 10
"""A slip of the unit is larger than that (no source: no saw is so far off)."""

_METRIC = {
    "keep_length": 300 * PER_MM,
    "kerf_doubt": 4 * PER_MM // 10,
    "keep_width": 100 * PER_MM,
    "torch_kerf": 3 * PER_MM // 2,
    "clearance": 6 * PER_MM,
    "edge": 6 * PER_MM,
}
"""Starting values of a shop that reads millimetres (common practice, no source)."""

_READERS: dict[str, tuple[str, Callable[[Cell, Style], Any]]] = {
    "currency": ("currency", _currency),
    "keep_length": ("keep_length", as_length),
    "kerf_safety": ("kerf_safety", _thicker),
    "kerf_doubt": ("kerf_doubt", _thicker),
    "tie": ("tie", lambda cell, style: as_money(cell, style.decimal)),
    "prefer": ("prefer", as_wishes),
    "offcut_share": ("offcut_share", as_share),
    "scrap_price": ("scrap_price", as_scrap_price),
    "denominator": ("denominator", _denominator),
    "lift": ("lift_kg", as_weight),
    "processes": ("processes", _processes),
    "torch_kerf": ("torch_kerf", as_length),
    "clearance": ("clearance", as_length),
    "edge": ("edge", as_length),
    "bed": ("bed", _bed),
    "bed_margin": ("bed_margin", as_length),
    "blank_kerf": ("blank_kerf", as_length),
    "blank_allowance": ("blank_allowance", as_length),
    "blank_cost": ("blank_cost", _cents),
    "largest_sheet": ("largest_sheet", _largest),
    "heaviest_sheet": ("heaviest_sheet", _heaviest),
    "keep_width": ("keep_width", as_length),
    "shear_trim": ("shear_trim", as_length),
    "least_strip": ("least_strip", as_length),
    "torch_hole": ("torch_hole", _thicknesses),
}

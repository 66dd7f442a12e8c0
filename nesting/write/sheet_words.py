"""What page and workbook say about sheets: their straight cuts step by step, what lies where, what is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from nesting.job import Job, Part, Shop
from nesting.plan import Layout, Placed, Plan, Rect, SheetLayout
from nesting.report.saw_list import SawList
from nesting.report.sheet_list import CutStep, Sheet, SheetList, cut_steps
from nesting.report.words import counted, length_words, number_words, numbered, size_words
from stock.offer import Offer


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """One straight cut, or several alike that follow each other.

    Parameters
    ----------
    number
        Of the cuts; "trim" for those that come first.
    setting
        What the stop is set to; "" where a little is taken off by eye.
    way
        "across" or "along".
    comes_off, behind
        What lies before the blade, with its size, and what is left behind it.
    """

    number: str
    way: str
    setting: str
    comes_off: str
    behind: str


def sheet_size(sheet: Sheet, shop: Shop) -> str:
    """Length by width of a whole sheet."""
    return size_words(sheet.layout.length, sheet.layout.width, shop)


def part_size(part: Part, piece: Placed, shop: Shop) -> str:
    """Length by width of the part, however it lies; of a bar part that lies on a flat bar, its length.

    A mitred one is cut square from it, and its ends afterwards.
    """
    if part.width is None:
        length = length_words(piece.place.length, shop)
        return f"{length}, ends to mitre" if part.is_mitred else length
    return size_words(part.length, part.width, shop)


def origin_words(sheet: Sheet) -> str:
    """Where a sheet comes from: a yard, or the rack and the place there."""
    source = sheet.source
    if isinstance(source, Offer):
        return source.yard
    return f"rack {source.id}, {source.place}" if source.place else f"rack {source.id}"


def tool_words(sheet: Sheet) -> str:
    """What cuts it: the name of the saw, or torch or shear."""
    return sheet.layout.saw or sheet.layout.process


def used_share(sheet: Sheet) -> float:
    """How much of the area of a sheet becomes parts."""
    layout = sheet.layout
    used = sum(piece.place.length * piece.place.width for piece in layout.pieces)
    return used / (layout.length * layout.width)


def cut_rows(sheet: Sheet, job: Job) -> list[CutRow]:
    """The trims of a sheet, then its straight cuts in order, alike ones that follow each other together."""
    rows = _trim_rows(sheet, job.shop)
    for _, run in groupby(
        cut_steps(sheet, job), key=lambda step: (step.cut.axis, step.cut.stop, step.comes_off)
    ):
        rows.append(_row(list(run), job.shop))
    return rows


def _row(run: Sequence[CutStep], shop: Shop) -> CutRow:
    first, last = run[0], run[-1]
    size = size_words(first.near.length, first.near.width, shop)
    times = f"{len(run)} × " if len(run) > 1 else ""
    return CutRow(
        number=number_words([(first.number, len(run))]),
        way=first.cut.axis,
        setting=length_words(first.cut.stop, shop),
        comes_off=f"{times}{first.comes_off}, {size}",
        behind=f"{last.stays}, {size_words(last.far.length, last.far.width, shop)}"
        if last.stays
        else "nothing",
    )


def _trim_rows(sheet: Sheet, shop: Shop) -> list[CutRow]:
    """Squaring off comes first; the far sides are cut to the length and width that are left."""
    layout = sheet.layout
    end, edge, far_end, far_edge = layout.trims
    left = Rect(end, edge, layout.length - end - far_end, layout.width - edge - far_edge)
    sides = [
        ("across", end, "", "the first end"),
        ("across", far_end, length_words(left.length, shop), "the far end"),
        ("along", edge, "", "the first edge"),
        ("along", far_edge, length_words(left.width, shop), "the far edge"),
    ]
    return [
        CutRow(
            number="trim",
            way=way,
            setting=setting,
            comes_off=f"{length_words(amount, shop)} off {side}",
            behind="",
        )
        for way, amount, setting, side in sides
        if amount
    ]


def spoken(sheet: Sheet, job: Job) -> str:
    """A drawing in words: what lies where, from the datum corner."""
    shop, parts = job.shop, {part.mark: part for part in job.parts}
    said = [f"Sheet {number_words([sheet.run])}, {sheet_size(sheet, shop)}"]
    for mark in dict.fromkeys(piece.mark for piece in sheet.layout.pieces):
        same = [piece for piece in sheet.layout.pieces if piece.mark == mark]
        said.append(
            f"{len(same)} × {mark} of {part_size(parts[mark], same[0], shop)}: "
            + "; ".join(f"{_at(p.place, shop)}{' turned' if p.turned else ''}" for p in same)
        )
    said += [
        f"keep {size_words(place.length, place.width, shop)} {_at(place, shop)}"
        for place in sheet.layout.offcuts
    ]
    cuts = len(sheet.layout.cuts)
    return ". ".join([*said, *([counted(cuts, "straight cut")] if cuts else [])])


def _at(place: Rect, shop: Shop) -> str:
    return f"at {length_words(place.x, shop)}, {length_words(place.y, shop)}"


def made_of(plan: Plan, saws: SawList, sheets: SheetList) -> dict[str, int]:
    """By mark, how many pieces sticks and sheets give together."""
    counts = {part.mark: 0 for part in plan.job.parts}
    layouts: list[Layout | SheetLayout] = [each.layout for each in saws.cut]
    for layout in layouts + [each.layout for each in sheets.cut]:
        for piece in layout.pieces:
            counts[piece.mark] += layout.times
    return counts


def origins_of(saws: SawList, sheets: SheetList) -> dict[str, str]:
    """By mark, from which sticks and sheets it comes: sticks 1–2; sheet 3."""
    runs: dict[str, dict[str, list[tuple[int, int]]]] = {}
    laid: list[tuple[str, tuple[int, int], Layout | SheetLayout]] = [
        ("stick", each.run, each.layout) for each in saws.cut
    ]
    for what, run, layout in laid + [("sheet", each.run, each.layout) for each in sheets.cut]:
        for piece in layout.pieces:
            runs.setdefault(piece.mark, {}).setdefault(what, []).append(run)
    return {
        mark: "; ".join(numbered(what, found) for what, found in by_kind.items())
        for mark, by_kind in runs.items()
    }

"""Lines for sheets whatever cuts them: the cuts of the shear, and the handling of sheets, blanks and pieces."""

from __future__ import annotations

from nesting.estimate.figures import number_words, work
from nesting.estimate.line import Line
from nesting.estimate.rates import Rates
from nesting.estimate.straight import straight_work
from nesting.job import Shop
from nesting.report.sheet_list import SheetList, blanks_of
from nesting.report.words import counted


def shear_lines(sheets: SheetList, rates: Rates, shop: Shop) -> list[Line]:
    """The cuts of the shear, trims included; none if it cuts nothing."""
    sheared = [sheet.layout for sheet in sheets.straight if sheet.layout.process == "shear"]
    count = sum(layout.times * straight_work(layout).count for layout in sheared)
    if not count:
        return []
    each = rates.seconds_per_shear_cut
    how = f"{counted(count, 'cut')} × {number_words(each, shop)} s{rates.mark('seconds_per_shear_cut')}"
    return [work("Cutting, shear", float(count * each), how, rates, ("seconds_per_shear_cut",))]


def sheet_handling(sheets: SheetList, rates: Rates, shop: Shop) -> list[Line]:
    """Setting up sheets and blanks, taking pieces away, moving the stop; none if no sheet is cut.

    A sheet that is parted counts once for that, and then each of its blanks that holds pieces.
    """
    if not sheets.cut:
        return []
    loads = sum(sheet.layout.times for sheet in sheets.cut)
    loads += sum(
        sheet.layout.times * sum(bool(blank.pieces) for blank in blanks_of(sheet))
        for sheet in sheets.torch
        if sheet.layout.blanks
    )
    counts = [
        (loads, "sheet or blank", "sheets and blanks", "seconds_per_sheet"),
        (
            sum(sheet.layout.times * len(sheet.layout.pieces) for sheet in sheets.cut),
            "piece",
            "pieces",
            "seconds_per_piece",
        ),
    ]
    moves = sum(sheet.layout.times * straight_work(sheet.layout).stop_moves for sheet in sheets.straight)
    if moves:
        counts.append((moves, "stop move", "stop moves", "seconds_per_stop"))
    how = ", ".join(
        f"{counted(count, one, many)} × {number_words(getattr(rates, name), shop)} s{rates.mark(name)}"
        for count, one, many, name in counts
    )
    seconds = sum(count * getattr(rates, name) for count, *_, name in counts)
    return [work("Handling of sheets", float(seconds), how, rates, tuple(name for *_, name in counts))]

"""The folder of drawings: one for every run of sheets cut alike, one for every blank of them, and what they are."""

from __future__ import annotations

import re
from collections.abc import Iterator

from nesting.job import Shop
from nesting.plan import Plan
from nesting.report.sheet_list import Blank, Sheet, blanks_of, sheet_list
from nesting.report.words import length_words, number_words, size_words
from nesting.rules.sources import material_words
from nesting.write.dxf import LAYERS, sheet_dxf

FOLDER = "drawings/"
_README = FOLDER + "readme.txt"
_TORCH = """\
Torch: cut HOLE first, then PART, and switch all other layers off: their lines and texts are not
to be cut. Outlines are nominal: let the controller move the torch by half the kerf, outside PART
and inside HOLE. The plan counts with a kerf of {kerf}; measure yours.
"""
_OURS = re.compile(rf"{FOLDER}(sheet-\d+(-blank-\d+)?\.dxf|readme\.txt)?")


def drawings_of(plan: Plan) -> dict[str, bytes]:
    """Every drawing of a plan, and readme.txt, which lists them and says what lies on which layer.

    Returns
    -------
    dict[str, bytes]
        Content by name ("drawings/sheet-03.dxf"), in number order; nothing if no sheet is cut.
    """
    sheets = sheet_list(plan).cut
    if not sheets:
        return {}
    files = {_README: _readme(sheets, plan).encode("utf-8", "replace")}
    for sheet in sheets:
        files[drawing_name(sheet)] = sheet_dxf(sheet, plan)
        files |= {drawing_name(sheet, blank): sheet_dxf(sheet, plan, blank) for blank in drawn_blanks(sheet)}
    return files


def drawing_names(sheet: Sheet) -> tuple[str, ...]:
    """The drawings of a sheet that is cut: its own, then those of its blanks."""
    return (drawing_name(sheet), *(drawing_name(sheet, blank) for blank in drawn_blanks(sheet)))


def drawing_name(sheet: Sheet, blank: Blank | None = None) -> str:
    """Where the drawing of a sheet, or of one of its blanks, stands in the folder of results; "/" between.

    Sheets cut alike have one drawing, named by the first of them.
    """
    of_blank = f"-blank-{blank.number}" if blank else ""
    return f"{FOLDER}sheet-{sheet.first:02}{of_blank}.dxf"


def drawn_blanks(sheet: Sheet) -> tuple[Blank, ...]:
    """The blanks that have drawings of their own: those with pieces, if the sheet is parted."""
    return tuple(blank for blank in blanks_of(sheet) if blank.pieces) if sheet.layout.blanks else ()


def is_drawing(name: str) -> bool:
    """Whether a file of that name in a folder of results is one of these, or the name is that of their folder."""
    return bool(_OURS.fullmatch(name))


def _readme(sheets: tuple[Sheet, ...], plan: Plan) -> str:
    shop = plan.job.shop
    torch = any(sheet.layout.process == "torch" for sheet in sheets)
    lines = [
        f"{plan.job.name}: drawings of the sheets, true size",
        "",
        *_files(sheets, shop),
        "",
        f"Units: {'inches' if shop.unit == 'in' else 'millimetres'}. Origin: the datum corner of the sheet, or of the",
        "blank; x along its length, y across it. A piece turned by a quarter is turned to the left;",
        "its mark reads along its own length.",
        "",
        "Layers:",
        *(f"  {layer:<7} {said}" for layer, said in LAYERS.items()),
        "",
        *(_TORCH.format(kerf=length_words(shop.torch_kerf, shop)).splitlines() if torch else ()),
        "What to mind when cutting stands at the end of plan.pdf.",
        "",
    ]
    return "\r\n".join(lines)


def _files(sheets: tuple[Sheet, ...], shop: Shop) -> Iterator[str]:
    for sheet in sheets:
        layout = sheet.layout
        many = "sheets" if layout.times > 1 else "sheet"
        size = size_words(layout.length, layout.width, shop)
        said = f"{many} {number_words([sheet.run])}: {material_words(sheet.material)}, {size}"
        yield f"  {_bare(drawing_name(sheet)):<22} {said}, {layout.saw or layout.process}"
        for blank in drawn_blanks(sheet):
            size = size_words(blank.rect.length, blank.rect.width, shop)
            yield f"  {_bare(drawing_name(sheet, blank)):<22} blank {blank.number} of it, {size}"


def _bare(name: str) -> str:
    return name.removeprefix(FOLDER)

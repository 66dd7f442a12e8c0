"""What the cards of all sheets share: head, outlines of pieces and offcuts, lines of marks and of what is kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from nesting.job import Part
from nesting.plan import Placed, Plan, Rect
from nesting.report.cautions import is_heavy
from nesting.report.designer_words import spare_words
from nesting.report.grain import grain_words
from nesting.report.offcuts import rect_kg
from nesting.report.sheet_list import Sheet
from nesting.report.words import counted, length_words, number_words, size_words, weight_words
from nesting.write.card import CardLine, Title
from nesting.write.card_line import Line, set_remark, set_text, with_boxes
from nesting.write.lettering import printable
from nesting.write.places import Place
from nesting.write.sheet_ink import Shape
from nesting.write.steps import mark_words, material_words, source_words


def sheet_title(sheet: Sheet, plan: Plan, of_it: str = "") -> Title:
    """The head of a card.

    Parameters
    ----------
    of_it
        Which part of the sheet the card is about, such as "blank 2"; empty: the sheet.
    """
    shop, layout = plan.job.shop, sheet.layout
    alike = f"{layout.times} alike, " if layout.times > 1 else ""
    size = sheet_size(sheet, plan)
    text = f"{alike}{size} from {source_words(sheet.source)}"
    weight = f"{weight_words(sheet.weight_kg, shop)}{' each' if layout.times > 1 else ''}"
    number = f"sheet {number_words([sheet.run])}"
    return Title(
        numbers=f"{number}, {of_it}" if of_it else number,
        text=printable(f"{material_words(sheet.material)}, of {size}" if of_it else text, 100),
        aside="" if of_it else weight,
        lift=is_heavy(sheet.weight_kg, plan) and not of_it,
        topic=printable(sheet_topic(sheet), 80),
    )


def sheet_size(sheet: Sheet, plan: Plan) -> str:
    """Length by width of a whole sheet."""
    return rect_words(Rect(0, 0, sheet.layout.length, sheet.layout.width), plan)


def sheet_topic(sheet: Sheet) -> str:
    """What cuts it, and its material."""
    return f"{sheet.layout.saw or sheet.layout.process}: {material_words(sheet.material)}"


def high_enough(pieces: Sequence[Placed]) -> float:
    """Points of the tallest drawing that so many pieces call for."""
    return 430.0 if len(pieces) > 24 else 345.0


def piece_shapes(pieces: Sequence[Placed], plan: Plan, numbered: bool) -> tuple[Shape, ...]:
    """The outlines of pieces, neighbouring marks in two looks; numbered from 1 or not at all."""
    parts = {part.mark: part for part in plan.job.parts}
    looks = {mark: index % 2 for index, mark in enumerate(dict.fromkeys(piece.mark for piece in pieces))}
    return tuple(
        Shape(
            kind="piece other" if looks[piece.mark] else "piece",
            place=piece.place,
            text=mark_words(parts[piece.mark]),
            small=size_of(parts[piece.mark], piece, plan),
            number=str(number) if numbered else "",
            turned=piece.turned,
        )
        for number, piece in enumerate(pieces, 1)
    )


def keep_shapes(offcuts: Iterable[Rect], plan: Plan) -> tuple[Shape, ...]:
    """The outlines of offcuts to keep."""
    return tuple(
        Shape(kind="keep", place=place, text="keep", small=rect_words(place, plan)) for place in offcuts
    )


def size_of(part: Part, piece: Placed, plan: Plan) -> str:
    """Length by width of the part, however it lies; of a bar part that lies on a flat bar, its length."""
    shop = plan.job.shop
    if part.width is None:
        return length_words(piece.place.length, shop)
    return size_words(part.length, part.width, shop)


def rect_words(place: Rect, plan: Plan) -> str:
    """A rectangle as it lies: along the length by across."""
    return size_words(place.length, place.width, plan.job.shop)


def plain_line(said: str, leads: bool = False) -> Line:
    """A line without a stop setting; it may stand over the next."""
    text, size = set_text(said, False)
    return Line(order="", setting="", lines=text, size=size, leads=leads)


def grain_lines(pieces: Sequence[Placed], plan: Plan) -> list[CardLine]:
    """Which way the grain runs, if a part on the sheet minds."""
    said = grain_words(pieces, plan.job)
    return [plain_line(printable(said, 110))] if said else []


def mark_lines(
    sheet: Sheet, pieces: Sequence[Placed], plan: Plan, width: float, notes: Mapping[str, str]
) -> list[CardLine]:
    """Each mark once, with its size, what there is to note of it, and a box for every piece of every sheet."""
    parts = {part.mark: part for part in plan.job.parts}
    lines: list[CardLine] = []
    for mark in dict.fromkeys(piece.mark for piece in pieces):
        same = [piece for piece in pieces if piece.mark == mark]
        turned = sum(piece.turned for piece in same)
        turned_words = f"{turned} of them turned by a quarter" if turned else ""
        remarks = (spare_words(parts[mark], plan.job.shop), turned_words, notes.get(mark, ""))
        text, size = set_text(f"{len(same)} × {mark_words(parts[mark])}", True)
        line = Line(
            order="",
            setting=size_of(parts[mark], same[0], plan),
            lines=text,
            size=size,
            remark=set_remark(printable("; ".join(filter(None, remarks))), width),
            is_measured=True,
        )
        lines += with_boxes(line, sheet_labels(sheet), len(same), width)
    return lines


def places_of(pieces: Sequence[Placed], datum: Rect, plan: Plan) -> list[Place]:
    """Where pieces lie, numbered from 1, from the corner of the sheet or of its blank."""
    shop, parts = plan.job.shop, {part.mark: part for part in plan.job.parts}
    return [
        Place(
            number=str(number),
            mark=mark_words(parts[piece.mark]),
            x=length_words(piece.place.x - datum.x, shop),
            y=length_words(piece.place.y - datum.y, shop),
            turned=piece.turned,
        )
        for number, piece in enumerate(pieces, 1)
    ]


def keep_lines(sheet: Sheet, offcuts: Sequence[Rect], plan: Plan, width: float) -> list[CardLine]:
    """What is kept, with a box for every sheet."""
    lines: list[CardLine] = []
    for place in offcuts:
        kg = rect_kg(sheet, place)
        lift = ", two people" if is_heavy(kg, plan) else ""
        line = plain_line(f"keep {rect_words(place, plan)}, {weight_words(kg, plan.job.shop)}{lift}")
        lines += with_boxes(line, sheet_labels(sheet, "keep"), 1, width)
    return lines


def sheet_labels(sheet: Sheet, alone: str = "") -> list[str]:
    """What stands before the boxes of each sheet: its number, or another word where there is only one."""
    first, times = sheet.run
    return [str(first + index) for index in range(times)] if times > 1 else [alone]


def pieces_words(sheets: Iterable[Sheet]) -> str:
    """How many sheets and pieces."""
    listed = list(sheets)
    count = sum(sheet.layout.times for sheet in listed)
    pieces = sum(sheet.layout.times * len(sheet.layout.pieces) for sheet in listed)
    return f"{counted(count, 'sheet')}, {counted(pieces, 'piece')}"

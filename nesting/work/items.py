"""Every stick and sheet of a plan by the number that the papers give it, with its pieces in cutting order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from nesting.plan import Layout, Plan, SheetLayout
from nesting.report.order import Source
from nesting.report.saw_list import Stick, saw_list
from nesting.report.sheet_list import Sheet, blanks_of, sheet_list
from nesting.work.record import Kind, Name
from stock.offer import Offer


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One stick or sheet.

    Parameters
    ----------
    number
        As on the papers.
    marks
        Of its pieces, in cutting order.
    clean_ends
        How many of its ends need no trim, before it is cut.
    listed
        Where it stands on the papers; those cut alike share it.
    """

    kind: Kind
    number: int
    layout: Layout | SheetLayout
    source: Source
    marks: tuple[str, ...]
    clean_ends: int
    listed: Stick | Sheet

    @property
    def name(self) -> Name:
        """Kind and number."""
        return self.kind, self.number

    @property
    def words(self) -> str:
        """As one says it: "stick 3"."""
        return f"{self.kind} {self.number}"

    @property
    def yard(self) -> str:
        """Where it is bought; "" if the rack gives it."""
        return self.source.yard if isinstance(self.source, Offer) else ""


def items_of(plan: Plan) -> dict[Name, Item]:
    """Every stick, segment and sheet of a plan, sticks first, in the order of their numbers."""
    return {item.name: item for item in (*_sticks(plan), *_sheets(plan))}


def _sticks(plan: Plan) -> Iterator[Item]:
    for stick in saw_list(plan).sticks:
        for number in range(stick.first, stick.first + stick.layout.times):
            yield Item(
                kind="stick",
                number=number,
                layout=stick.layout,
                source=stick.source,
                marks=tuple(piece.mark for piece in stick.layout.pieces),
                clean_ends=stick.clean_ends,
                listed=stick,
            )


def _sheets(plan: Plan) -> Iterator[Item]:
    for sheet in sheet_list(plan).sheets:
        for number in range(sheet.first, sheet.first + sheet.layout.times):
            yield Item(
                kind="sheet",
                number=number,
                layout=sheet.layout,
                source=sheet.source,
                marks=tuple(piece.mark for blank in blanks_of(sheet) for piece in blank.pieces),
                clean_ends=sheet.source.clean_ends,
                listed=sheet,
            )

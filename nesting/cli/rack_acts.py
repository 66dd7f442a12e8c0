"""The commands of `steelyard rack` by which something happens to pieces."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

import click

from nesting.cli.rack_options import FILE, open_rack, rack_options, tell, unit_of
from stock.errors import BadValue

if TYPE_CHECKING:
    from stock.length import Unit


@click.command()
@click.argument("material")
@click.argument("length")
@click.argument("width", required=False)
@click.option("--times", type=click.IntRange(1, 1000), default=1, show_default=True, help="How many alike.")
@click.option("--grade", default="", help="Such as A500 or S235JR.")
@click.option("--finish", default="", help="hot-rolled, pickled, galvanised or cold-rolled.")
@click.option(
    "--clean",
    type=click.Choice(["none", "one", "both"]),
    default="none",
    show_default=True,
    help="Clean ends.",
)
@click.option("--heat", default="", help="Heat number.")
@click.option("--certificate", default="", help="Where the mill's certificate is filed.")
@click.option("--place", default="", help="Where it lies.")
@click.option("--value", default="0", help="What using it costs a job.")
@click.option("--id", "name", default="", help="What is written on it already; else it is given an id.")
@click.option("--origin", default="", help="Where it comes from.")
@click.option(
    "--unit", type=click.Choice(["in", "mm"]), help="Unit of bare numbers; as the last piece if left out."
)
@rack_options
def put(
    material: str,
    length: str,
    width: str | None,
    times: int,
    grade: str,
    finish: str,
    clean: str,
    heat: str,
    certificate: str,
    place: str,
    value: str,
    name: str,
    origin: str,
    unit: Unit | None,
    rack: Path | None,
    as_json: bool,
) -> None:
    """Put a piece of MATERIAL on the rack, LENGTH by WIDTH if it is a sheet.

    For example: steelyard rack put "tube 2 x 2 x 1/8" "12' 6" --grade A500 --place "bay 3"
    """
    from stock.length import parse_length
    from stock.material import parse_material
    from stock.rack.acts import put as put_pieces
    from stock.rack.record import NewPiece, size_words

    if name and times > 1:
        raise BadValue("--id names one piece; leave out --times, or the id")
    with open_rack(rack, create=True) as ledger:
        unit = unit_of(ledger, unit)
        new = NewPiece(
            material=parse_material(material, unit=unit, grade=grade, finish=finish),
            unit=unit,
            length=parse_length(length, unit),
            width=None if width is None else parse_length(width, unit),
            clean_ends={"none": 0, "one": 1, "both": 2}[clean],
            place=place.strip(),
            heat=heat.strip(),
            certificate=certificate.strip(),
            value=_money(value),
            id=name,
            origin=origin.strip(),
        )
        size = f"{new.material.designation}, {size_words(new.length, new.width, unit)}"
        done = put_pieces(ledger, [new] * times, size if times == 1 else f"{times} x {size}")
    tell(
        as_json, {"action": done.action, "ids": done.ids}, [f"put {size}: write on it {', '.join(done.ids)}"]
    )


@click.command()
@click.argument("ids", nargs=-1, required=True)
@click.option("--job", default="", help="What it is for.")
@rack_options
def take(ids: tuple[str, ...], job: str, rack: Path | None, as_json: bool) -> None:
    """Take pieces off the rack."""
    from stock.rack.acts import take as take_pieces

    with open_rack(rack) as ledger:
        done = take_pieces(ledger, ids, job.strip())
    tell(as_json, {"action": done.action, "ids": done.ids}, [f"taken: {', '.join(done.ids)}"])


@click.command("return")
@click.argument("name", metavar="ID")
@click.argument("length")
@click.argument("width", required=False)
@click.option(
    "--clean",
    type=click.Choice(["none", "one", "both"]),
    default="one",
    show_default=True,
    help="Clean ends.",
)
@click.option("--place", default="", help="Where it lies.")
@rack_options
def return_offcut(
    name: str, length: str, width: str | None, clean: str, place: str, rack: Path | None, as_json: bool
) -> None:
    """Bring back what is left of a piece that was taken: LENGTH, by WIDTH if it is a sheet."""
    from stock.length import parse_length
    from stock.rack.acts import Offcut, return_offcuts

    with open_rack(rack) as ledger:
        (piece,) = ledger.find([name])
        clean_ends = 0 if piece.material.is_plate else {"none": 0, "one": 1, "both": 2}[clean]
        offcut = Offcut(
            parent=piece.id,
            length=parse_length(length, piece.unit),
            width=None if width is None else parse_length(width, piece.unit),
            clean_ends=clean_ends,
            place=place.strip(),
        )
        done = return_offcuts(ledger, [offcut])
    lines = [f"back from {piece.id}: write on it {', '.join(done.ids)}"]
    tell(as_json, {"action": done.action, "ids": done.ids}, lines)


@click.command()
@click.argument("ids", nargs=-1, required=True)
@click.option("--to", "place", required=True, help="Where they lie now.")
@rack_options
def move(ids: tuple[str, ...], place: str, rack: Path | None, as_json: bool) -> None:
    """Lay pieces elsewhere."""
    from stock.rack.acts import move as move_pieces

    with open_rack(rack) as ledger:
        done = move_pieces(ledger, ids, place.strip())
    tell(as_json, {"action": done.action, "ids": done.ids}, [f"at {place.strip()}: {', '.join(done.ids)}"])


@click.command()
@click.argument("ids", nargs=-1, required=True)
@click.option("--why", default="", help="A word on it.")
@rack_options
def scrap(ids: tuple[str, ...], why: str, rack: Path | None, as_json: bool) -> None:
    """Write pieces off."""
    from stock.rack.acts import scrap as scrap_pieces

    with open_rack(rack) as ledger:
        done = scrap_pieces(ledger, ids, why.strip())
    tell(as_json, {"action": done.action, "ids": done.ids}, [f"scrapped: {', '.join(done.ids)}"])


@click.command()
@click.argument("ids", nargs=-1, required=True)
@click.option("--heat", default="", help="Heat number of all of them.")
@click.option("--certificate", default="", help="Where the mill's certificate is filed.")
@click.option("--place", default="", help="Where they lie.")
@rack_options
def arrive(
    ids: tuple[str, ...], heat: str, certificate: str, place: str, rack: Path | None, as_json: bool
) -> None:
    """Enter that pieces which a booked plan ordered have come."""
    from stock.rack.acts import Arrival
    from stock.rack.acts import arrive as enter

    with open_rack(rack) as ledger:
        done = enter(
            ledger,
            [
                Arrival(id=one, heat=heat.strip(), certificate=certificate.strip(), place=place.strip())
                for one in ids
            ],
        )
    tell(as_json, {"action": done.action, "ids": done.ids}, [f"here: {', '.join(done.ids)}"])


@click.command()
@click.argument("place")
@click.argument("seen", nargs=-1)
@click.option("--book", "booked", is_flag=True, help="Enter the differences; else they are only shown.")
@rack_options
def count(place: str, seen: tuple[str, ...], booked: bool, rack: Path | None, as_json: bool) -> None:
    """Hold what lies at PLACE against the ledger: the ids SEEN there, with a measured length if you like.

    For example: steelyard rack count "bay 3" K7D3 334W=38-1/2 --book
    """
    from nesting.cli.rack_words import difference_lines
    from stock.length import parse_length
    from stock.rack.counting import Seen
    from stock.rack.counting import count as count_shelf

    with open_rack(rack) as ledger:
        unit = unit_of(ledger, None)
        found = []
        for text in seen:
            name, equals, length = text.partition("=")
            found.append(Seen(id=name, length=parse_length(length, unit) if equals else None))
        action, differences = count_shelf(ledger, place, found, booked=booked)
    data = [
        {"id": one.id, "words": one.words, "booked": booked and one.state is not None} for one in differences
    ]
    if not differences:
        end = "all is as the ledger says"
    elif action is None:
        end = "nothing is booked; run it again with --book to enter this" if not booked else "nothing to book"
    else:
        end = f"booked as action {action}"
    tell(as_json, {"action": action, "differences": data}, [*difference_lines(differences), end])


@click.command()
@rack_options
def undo(rack: Path | None, as_json: bool) -> None:
    """Take the last action back; again goes further back."""
    from stock.rack.undoing import undo as undo_last

    with open_rack(rack) as ledger:
        action, ids = undo_last(ledger)
    note = f" ({action.note})" if action.note else ""
    tell(
        as_json,
        {"undone": action.number, "act": action.act, "ids": ids},
        [f"undone: action {action.number}, {action.act}{note}: {', '.join(ids)}"],
    )


@click.command("import")
@click.argument("file", type=FILE)
@click.option(
    "--unit", type=click.Choice(["in", "mm"]), help="Unit of bare numbers; as the last piece if left out."
)
@rack_options
def import_rack(file: Path, unit: Unit | None, rack: Path | None, as_json: bool) -> None:
    """Put every piece of FILE on the rack, a workbook (.xlsx) or .csv: all of them, or none."""
    from nesting.cli.rack_tables import read_rack_file
    from stock.rack.acts import put as put_pieces

    with open_rack(rack, create=True) as ledger:
        pieces = read_rack_file(file, unit_of(ledger, unit))
        done = put_pieces(ledger, pieces, file.name[:80], act="import")
    lines = [f"put {len(done.ids)} pieces on the rack (action {done.action})"]
    given = [name for name, piece in zip(done.ids, pieces, strict=True) if not piece.id]
    if given:
        lines.append(f"write on those without an id, in the order of their rows: {', '.join(given)}")
    tell(as_json, {"action": done.action, "ids": done.ids}, lines)


def _money(text: str) -> Decimal:
    try:
        amount = Decimal(text)
    except InvalidOperation:
        amount = Decimal(-1)
    if not amount.is_finite() or amount < 0:
        raise BadValue(f"--value {text!r:.40} is not an amount; write a number such as 12.50")
    return amount


ACTS = (put, take, return_offcut, move, scrap, arrive, count, undo, import_rack)
"""To be hung into the group."""

"""The commands of `steelyard rack`: what is on hand, and what happens to it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stock.errors import BadValue

if TYPE_CHECKING:
    from stock.length import Unit
    from stock.rack.ledger import Ledger

_Command = Callable[..., Any]
_FILE = click.Path(path_type=Path)


def ledger_option(command: _Command) -> _Command:
    """The option that names another ledger."""
    return click.option("--rack", type=_FILE, help="The ledger; yours on this computer if left out.")(command)


def rack_options(command: _Command) -> _Command:
    """What every command of the rack takes."""
    as_json = click.option("--json", "as_json", is_flag=True, help="Answer in JSON, for scripts.")
    return ledger_option(as_json(command))


@click.group(invoke_without_command=True)
@click.pass_context
def rack(context: click.Context) -> None:
    """Material on hand: what there is, and what came, went and came back.

    Without a command it lists what is on hand.
    """
    if context.invoked_subcommand is None:
        context.invoke(list_rack)


@rack.command("list")
@click.option("--material", help="Of that material alone, any grade and finish unless it says one.")
@click.option("--at-least", help="No shorter than that.")
@click.option("--place", help="At that place.")
@click.option("--heat", help="Of that heat.")
@click.option("--all", "every", is_flag=True, help="What is ordered, taken, missing or scrapped as well.")
@rack_options
def list_rack(
    material: str | None = None,
    at_least: str | None = None,
    place: str | None = None,
    heat: str | None = None,
    every: bool = False,
    rack: Path | None = None,
    as_json: bool = False,
) -> None:
    """List pieces."""
    from nesting.cli.rack_words import piece_data, piece_lines
    from stock.length import parse_length
    from stock.material import fits, parse_material
    from stock.rack.record import Standing

    shown: tuple[Standing, ...] = ("on hand",)
    if every:
        shown = ("on hand", "reserved", "ordered", "taken", "missing", "scrapped")
    with _open(rack) as ledger:
        unit, version, pieces = _unit(ledger, None), ledger.version(), ledger.held(shown)
    if material is not None:
        wanted = parse_material(material, unit=unit)
        pieces = tuple(piece for piece in pieces if fits(wanted, piece.material))
    if at_least is not None:
        least = parse_length(at_least, unit)
        pieces = tuple(piece for piece in pieces if piece.state.length >= least)
    if place is not None:
        pieces = tuple(p for p in pieces if p.state.place.casefold() == place.strip().casefold())
    if heat is not None:
        pieces = tuple(p for p in pieces if p.state.heat.casefold() == heat.strip().casefold())
    kilos = sum(piece.material.weight_kg(piece.state.length, piece.state.width) for piece in pieces)
    tell(
        as_json,
        {"version": version.number, "pieces": [piece_data(piece) for piece in pieces]},
        [*piece_lines(pieces, with_standing=every), _total(len(pieces), kilos, unit, version.number)],
    )


@rack.command()
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
    with _open(rack, create=True) as ledger:
        unit = _unit(ledger, unit)
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
        done = put_pieces(ledger, [new] * times)
    size = f"{new.material.designation}, {size_words(new.length, new.width, unit)}"
    tell(
        as_json, {"action": done.action, "ids": done.ids}, [f"put {size}: write on it {', '.join(done.ids)}"]
    )


@rack.command()
@click.argument("ids", nargs=-1, required=True)
@click.option("--job", default="", help="What it is for.")
@rack_options
def take(ids: tuple[str, ...], job: str, rack: Path | None, as_json: bool) -> None:
    """Take pieces off the rack."""
    from stock.rack.acts import take as take_pieces

    with _open(rack) as ledger:
        done = take_pieces(ledger, ids, job.strip())
    tell(as_json, {"action": done.action, "ids": done.ids}, [f"taken: {', '.join(done.ids)}"])


@rack.command("return")
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

    with _open(rack) as ledger:
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


@rack.command()
@click.argument("ids", nargs=-1, required=True)
@click.option("--to", "place", required=True, help="Where they lie now.")
@rack_options
def move(ids: tuple[str, ...], place: str, rack: Path | None, as_json: bool) -> None:
    """Lay pieces elsewhere."""
    from stock.rack.acts import move as move_pieces

    with _open(rack) as ledger:
        done = move_pieces(ledger, ids, place.strip())
    tell(as_json, {"action": done.action, "ids": done.ids}, [f"at {place.strip()}: {', '.join(done.ids)}"])


@rack.command()
@click.argument("ids", nargs=-1, required=True)
@click.option("--why", default="", help="A word on it.")
@rack_options
def scrap(ids: tuple[str, ...], why: str, rack: Path | None, as_json: bool) -> None:
    """Write pieces off."""
    from stock.rack.acts import scrap as scrap_pieces

    with _open(rack) as ledger:
        done = scrap_pieces(ledger, ids, why.strip())
    tell(as_json, {"action": done.action, "ids": done.ids}, [f"scrapped: {', '.join(done.ids)}"])


@rack.command()
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

    with _open(rack) as ledger:
        done = enter(
            ledger,
            [
                Arrival(id=one, heat=heat.strip(), certificate=certificate.strip(), place=place.strip())
                for one in ids
            ],
        )
    tell(as_json, {"action": done.action, "ids": done.ids}, [f"here: {', '.join(done.ids)}"])


@rack.command()
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

    with _open(rack) as ledger:
        unit = _unit(ledger, None)
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


@rack.command()
@click.argument("name", metavar="ID")
@rack_options
def history(name: str, rack: Path | None, as_json: bool) -> None:
    """Tell everything that happened to a piece, and what was cut from it."""
    from nesting.cli.rack_words import event_data, history_lines, piece_data
    from stock.rack.booking import traced

    with _open(rack) as ledger:
        piece, events = ledger.history(name)
        cuts = traced(ledger, piece=name)
    data = {
        **piece_data(piece),
        "events": [event_data(event) for event in events],
        "cut": [{"mark": cut.mark, "count": cut.count} for cut in cuts],
    }
    tell(as_json, data, list(history_lines(piece, events, cuts)))


@rack.command()
@click.option("--most", type=click.IntRange(1), default=20, show_default=True, help="How many.")
@rack_options
def log(most: int, rack: Path | None, as_json: bool) -> None:
    """List what was done last, the newest first."""
    from nesting.cli.rack_words import action_line

    with _open(rack) as ledger:
        actions = ledger.actions(most)
    tell(as_json, {"actions": [asdict(action) for action in actions]}, [action_line(one) for one in actions])


@rack.command()
@rack_options
def undo(rack: Path | None, as_json: bool) -> None:
    """Take the last action back; again goes further back."""
    from stock.rack.undoing import undo as undo_last

    with _open(rack) as ledger:
        action, ids = undo_last(ledger)
    note = f" ({action.note})" if action.note else ""
    tell(
        as_json,
        {"undone": action.number, "act": action.act, "ids": ids},
        [f"undone: action {action.number}, {action.act}{note}: {', '.join(ids)}"],
    )


@rack.command()
@rack_options
def verify(rack: Path | None, as_json: bool) -> int:
    """Go through the whole ledger: every action, every step of every piece, and how it stands."""
    from stock.rack.verify import verify as go_through

    with _open(rack) as ledger:
        found = go_through(ledger)
    counts = f"{found.actions} actions, {found.events} events, {found.pieces} pieces"
    end = f"the ledger is sound: {counts}"
    if found.faults:
        end = f"{len(found.faults)} faults in {counts}; `steelyard rack restore` puts a copy back"
    tell(as_json, {"faults": found.faults}, [*(f"fault: {fault}" for fault in found.faults), end])
    return 1 if found.faults else 0


@rack.command()
@click.argument("name", metavar="[COPY]", required=False)
@click.option("--list", "only_list", is_flag=True, help="List the copies there are.")
@rack_options
def restore(name: str | None, only_list: bool, rack: Path | None, as_json: bool) -> None:
    """Put a copy of the ledger back, the newest if none is named; what it replaces is kept."""
    from stock.rack.backup import copies_of
    from stock.rack.restoring import restore as put_back
    from stock.rack.where import default_rack

    file = rack or default_rack()
    if only_list:
        names = [copy.name for copy in copies_of(file)]
        tell(as_json, {"copies": names}, names or [f"there is no copy of {file} yet"])
        return
    copy, kept = put_back(file, name)
    lines = [f"put back {copy.name}"] + ([f"what stood there is kept as {kept.name}"] if kept else [])
    tell(as_json, {"copy": copy.name, "kept": kept and kept.name}, lines)


@rack.command("export")
@click.argument("file", type=_FILE)
@rack_options
def export_rack(file: Path, rack: Path | None, as_json: bool) -> None:
    """Write what is on hand to FILE, a workbook (.xlsx) or .csv: a rack table that jobs can use as well."""
    from nesting.cli.rack_tables import write_rack

    with _open(rack) as ledger:
        pieces = ledger.held()
    write_rack(pieces, file)
    tell(as_json, {"file": str(file), "pieces": len(pieces)}, [f"wrote {len(pieces)} pieces to {file}"])


@rack.command("import")
@click.argument("file", type=_FILE)
@click.option(
    "--unit", type=click.Choice(["in", "mm"]), help="Unit of bare numbers; as the last piece if left out."
)
@rack_options
def import_rack(file: Path, unit: Unit | None, rack: Path | None, as_json: bool) -> None:
    """Put every piece of FILE on the rack, a workbook (.xlsx) or .csv: all of them, or none."""
    from nesting.cli.rack_tables import read_rack_file
    from stock.rack.acts import put as put_pieces

    with _open(rack, create=True) as ledger:
        pieces = read_rack_file(file, _unit(ledger, unit))
        done = put_pieces(ledger, pieces, file.name[:80], act="import")
    lines = [f"put {len(done.ids)} pieces on the rack (action {done.action})"]
    given = [name for name, piece in zip(done.ids, pieces, strict=True) if not piece.id]
    if given:
        lines.append(f"write on those without an id, in the order of their rows: {', '.join(given)}")
    tell(as_json, {"action": done.action, "ids": done.ids}, lines)


def _open(rack: Path | None, *, create: bool = False) -> Ledger:
    from stock.rack.ledger import Ledger
    from stock.rack.where import default_rack

    return Ledger(rack or default_rack(), create=create)


def _unit(ledger: Ledger, unit: Unit | None) -> Unit:
    return unit or ledger.unit() or "in"


def _money(text: str) -> Decimal:
    try:
        amount = Decimal(text)
    except InvalidOperation:
        amount = Decimal(-1)
    if not amount.is_finite() or amount < 0:
        raise BadValue(f"--value {text!r:.40} is not an amount; write a number such as 12.50")
    return amount


def _total(number: int, kilos: float, unit: Unit, version: int) -> str:
    weight = f"{kilos:.0f} kg" if unit == "mm" else f"{kilos / 0.45359237:.0f} lb"
    return f"{number} {'piece' if number == 1 else 'pieces'}, {weight}; version {version} of the ledger"


def tell(as_json: bool, data: dict[str, Any], lines: list[str]) -> None:
    """Say something to a script, or to people."""
    if as_json:
        click.echo(json.dumps(data, ensure_ascii=False))
        return
    for line in lines:
        click.echo(line)

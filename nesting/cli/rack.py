"""The commands of `steelyard rack` that look, and those that keep the ledger whole."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from nesting.cli.rack_acts import ACTS
from nesting.cli.rack_options import FILE, open_rack, rack_options, tell, unit_of

if TYPE_CHECKING:
    from stock.length import Unit


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
    with open_rack(rack) as ledger:
        unit, version, pieces = unit_of(ledger, None), ledger.version(), ledger.held(shown)
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
@click.argument("name", metavar="ID")
@rack_options
def history(name: str, rack: Path | None, as_json: bool) -> None:
    """Tell everything that happened to a piece, and what was cut from it."""
    from nesting.cli.rack_words import event_data, history_lines, piece_data
    from stock.rack.booking import traced

    with open_rack(rack) as ledger:
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

    with open_rack(rack) as ledger:
        actions = ledger.actions(most)
    tell(as_json, {"actions": [asdict(action) for action in actions]}, [action_line(one) for one in actions])


@rack.command()
@rack_options
def verify(rack: Path | None, as_json: bool) -> int:
    """Go through the whole ledger: every action, every step of every piece, and how it stands."""
    from stock.rack.verify import verify as go_through

    with open_rack(rack) as ledger:
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
@click.argument("file", type=FILE)
@rack_options
def export_rack(file: Path, rack: Path | None, as_json: bool) -> None:
    """Write what is on hand to FILE, a workbook (.xlsx) or .csv: a rack table that jobs can use as well."""
    from nesting.cli.rack_tables import write_rack

    with open_rack(rack) as ledger:
        pieces = ledger.held()
    write_rack(pieces, file)
    tell(as_json, {"file": str(file), "pieces": len(pieces)}, [f"wrote {len(pieces)} pieces to {file}"])


def _total(number: int, kilos: float, unit: Unit, version: int) -> str:
    weight = f"{kilos:.0f} kg" if unit == "mm" else f"{kilos / 0.45359237:.0f} lb"
    return f"{number} {'piece' if number == 1 else 'pieces'}, {weight}; version {version} of the ledger"


for _command in ACTS:
    rack.add_command(_command)

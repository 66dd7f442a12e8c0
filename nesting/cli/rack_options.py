"""What the commands of `steelyard rack` share: their options, the ledger they open, how they answer."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from stock.length import Unit
    from stock.rack.ledger import Ledger

Command = Callable[..., Any]
FILE = click.Path(path_type=Path)


def ledger_option(command: Command) -> Command:
    """The option that names another ledger."""
    return click.option("--rack", type=FILE, help="The ledger; yours on this computer if left out.")(command)


def rack_options(command: Command) -> Command:
    """What every command of the rack takes."""
    as_json = click.option("--json", "as_json", is_flag=True, help="Answer in JSON, for scripts.")
    return ledger_option(as_json(command))


def open_rack(rack: Path | None, *, create: bool = False) -> Ledger:
    """The ledger that is named, or the user's."""
    from stock.rack.ledger import Ledger
    from stock.rack.where import default_rack

    return Ledger(rack or default_rack(), create=create)


def unit_of(ledger: Ledger, unit: Unit | None) -> Unit:
    """What bare numbers count in: as asked, or as the piece that came last, or inches."""
    return unit or ledger.unit() or "in"


def tell(as_json: bool, data: dict[str, Any], lines: list[str]) -> None:
    """Say something to a script, or to people."""
    if as_json:
        click.echo(json.dumps(data, ensure_ascii=False))
        return
    for line in lines:
        click.echo(line)

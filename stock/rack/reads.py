"""What is read of a ledger inside a transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from stock.errors import RackRefused
from stock.rack.piece import RackVersion
from stock.rack.record import Held, Standing
from stock.rack.rows import HELD, held_of
from stock.rack.tag import near_tags, read_tag


def standing_words(held: Held) -> str:
    """How a piece stands, as a sentence begins: "K7D3 is taken for garden-gate"."""
    words = {"void": "was never there, as what brought it was undone"}.get(held.state.standing)
    job = f" for {held.state.job}" if held.state.job else ""
    return f"{held.id} {words or 'is ' + held.state.standing + job}"


def version_of(run: sqlite3.Connection) -> RackVersion:
    last = "SELECT number, seal FROM action UNION ALL SELECT 0, seal FROM origin ORDER BY number DESC LIMIT 1"
    return RackVersion(*run.execute(last).fetchone())


def held_by(run: sqlite3.Connection, standings: Sequence[Standing]) -> tuple[Held, ...]:
    marks = ", ".join("?" * len(standings))
    rows = run.execute(
        f"{HELD} WHERE s.standing IN ({marks}) ORDER BY m.designation, m.grade, m.finish, e.length DESC, p.id",
        tuple(standings),
    )
    return tuple(map(held_of, rows))


def find_in(run: sqlite3.Connection, ids: Sequence[str]) -> tuple[Held, ...]:
    found, unknown = [], []
    for name in map(read_tag, ids):
        row = run.execute(f"{HELD} WHERE s.piece = ?", (name,)).fetchone()
        if row is None:
            unknown.append(name)
        else:
            found.append(held_of(row))
    if unknown:
        known = [row[0] for row in run.execute("SELECT id FROM piece")]
        raise RackRefused("\n".join(_unknown(name, near_tags(name, known)) for name in unknown))
    return tuple(found)


def _unknown(name: str, near: tuple[str, ...]) -> str:
    advice = f"near it: {', '.join(near)}" if near else "`steelyard rack` lists what there is"
    return f"the ledger has no piece {name}; {advice}"

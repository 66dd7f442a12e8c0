"""The last action is taken back."""

from __future__ import annotations

from stock.errors import RackRefused
from stock.rack.booking import take_back
from stock.rack.entry import Entry
from stock.rack.ledger import Ledger
from stock.rack.reads import standing_words
from stock.rack.record import Action
from stock.rack.rows import action_of


def undo(ledger: Ledger) -> tuple[Action, tuple[str, ...]]:
    """Take back the last action that still stands; again and again goes further back.

    Returns
    -------
    tuple[Action, tuple[str, ...]]
        What was taken back, and the ids of its pieces.

    Raises
    ------
    RackRefused
        If there is none, or something came after it that it cannot be taken from under.
    """
    with ledger.reading() as run:
        row = run.execute(
            "SELECT number, at, act, note, undoes FROM action a WHERE undoes IS NULL "
            "AND NOT EXISTS (SELECT 1 FROM action u WHERE u.undoes = a.number) ORDER BY number DESC LIMIT 1"
        ).fetchone()
    if row is None:
        raise RackRefused("there is nothing to undo: the ledger holds no action that still stands")
    action = action_of(row)
    with ledger.adding("undo", action.act, undoes=action.number) as entry:
        if entry.run.execute("SELECT 1 FROM action WHERE undoes = ?", (action.number,)).fetchone():
            raise RackRefused("another command undid that action just now; look at `steelyard rack` first")
        if action.act == "book":
            take_back(entry, action.number)
        else:
            _put_back(entry, action)
    return action, entry.touched


def _put_back(entry: Entry, action: Action) -> None:
    rows = entry.run.execute(
        "SELECT DISTINCT piece FROM event WHERE action = ? ORDER BY piece", (action.number,)
    )
    pieces = entry.find([row[0] for row in rows])
    changed = [standing_words(piece) for piece in pieces if entry.has_moved_on(piece, action.number)]
    if changed:
        raise RackRefused(
            "\n".join(
                [
                    *changed,
                    f"so action {action.number} ({action.act}) cannot be undone: something came after it",
                ]
            )
        )
    for piece in pieces:
        entry.put_back(piece.id, action.number)

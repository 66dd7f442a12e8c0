"""The commands `order` and `receive`: what is sent to the yards, and what came."""

from __future__ import annotations

from pathlib import Path

import click

from nesting.findings import Finding, InputError, OutputError
from nesting.work.arrivals import Arrivals, difference_lines
from nesting.work.book import Book, open_book
from nesting.work.record import Entry
from nesting.work.said import entry_lines
from nesting.write import read_plan
from nesting.write.order_papers import order_papers
from stock.rack.where import default_rack


def write_orders(path: Path) -> None:
    """Write workbook and PDF for each yard beside the plan; what is filled in already is left alone."""
    from nesting.check import check_plan

    plan = read_plan(path)
    if breaches := check_plan(plan):
        sentence = (
            f"the check found breaches ({breaches[0]}), so nothing is ordered by it: make the plan again"
        )
        raise InputError([Finding(code="plan-breaches", sentence=sentence, file=str(path))])
    folder = path if path.is_dir() else path.parent
    papers = order_papers(plan)
    if not papers:
        click.echo("nothing is ordered: the rack has it all")
    there = [name for name in papers if (folder / name).exists()]
    if there:
        raise OutputError(
            f"{folder / there[0]} is there already and may be filled in; move it away to write it anew"
        )
    for name, content in papers.items():
        try:
            with (folder / name).open("xb") as file:
                file.write(content)
        except OSError as error:
            raise OutputError(f"{folder / name} cannot be written ({error.strerror or error})") from error
        click.echo(f"written: {folder / name}")


def receive_order(path: Path, filled: Path | None, came: tuple[str, ...], rack: Path | None) -> None:
    """Record what came, and tell what differs from the order."""
    book = open_book(path)
    arrivals = Arrivals(book.plan)
    for word in came:
        arrivals.word(word)
    if filled is not None:
        arrivals.file(filled)
    entry = arrivals.entry()
    if entry == Entry():
        sentence = "nothing is said to have come; name a filled-in order, or write --came 1=3"
        raise InputError([Finding(code="nothing-came", sentence=sentence)])
    book.refuse_closed()
    if filled is not None and any(entry.came == each.came for each in book.standing_entries):
        sentence = "just this is recorded already; take that back with `done --undo` to change it"
        raise InputError([Finding(code="recorded-before", sentence=sentence, file=str(filled))])
    book = book.write(entry)
    for line in entry_lines(entry):
        click.echo(f"recorded: {line}")
    _enter_arrivals(book, rack)
    differences = list(difference_lines(book.plan, tuple(c for e in book.standing_entries for c in e.came)))
    for line in differences:
        click.echo(line)
    if differences:
        click.echo(f"to plan with what came: steelyard replan {path}")


def _enter_arrivals(book: Book, rack: Path | None) -> None:
    """Of a plan that is booked in the rack ledger, enter what came; segments came as one, and are left to the user."""
    file = rack or default_rack()
    if rack is None and not file.exists():
        return
    from nesting.booking import arrive
    from stock.rack.acts import Arrival
    from stock.rack.ledger import Ledger

    came = {
        name: Arrival(id="", length=done.came.length, width=done.came.width or None, heat=done.came.heat)
        for name, done in book.work.progress.items()
        if done.came is not None
    }
    with Ledger(file) as ledger:
        ids = arrive(ledger, book.plan, came)
    if ids:
        click.echo(f"on the rack, to write on what came: {', '.join(ids)}")

"""The command `done`: what was cut, spoiled or measured is recorded beside the plan."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from nesting.booking import finish
from nesting.findings import Finding, InputError, OutputError
from nesting.work.book import Book, open_book
from nesting.work.form import NAME, form_text, read_form
from nesting.work.record import Entry
from nesting.work.said import Saying, entry_lines
from nesting.work.state_words import state_lines
from nesting.write.folder import RECORD
from stock.rack.where import default_rack


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What the command line says, each word as it was typed."""

    marks: tuple[str, ...] = ()
    spoiled: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    need: tuple[str, ...] = ()
    kerf: tuple[str, ...] = ()
    bought: tuple[str, ...] = ()


def record_work(
    path: Path, words: Words, form: bool, filled: Path | None, undo: bool, rack: Path | None
) -> None:
    """Record what is said and show where the work stands; what is wrong is raised, and nothing recorded."""
    book = open_book(path)
    if form:
        _write_form(book)
        return
    if undo:
        book = _undo(book)
    else:
        said = [_said(book, words), *([read_form(book.work, filled)] if filled else [])]
        for entry in said:
            if entry != Entry():
                book.refuse_closed()
                book = book.write(entry)
                for line in entry_lines(entry):
                    click.echo(f"recorded: {line}")
    click.echo(f"{book.plan.job.name}: {_first(book)}")
    for line in list(state_lines(book.work))[1:]:
        click.echo(line)
    _return_offcuts(book, rack)
    if book.work.goes_on:
        click.echo(f"work goes on by {book.work.goes_on}")


def _return_offcuts(book: Book, rack: Path | None) -> None:
    """Of a plan that is booked in the rack ledger, bring back what it keeps of sticks and sheets that are cut.

    What was measured is left to the user; what came back before is passed over.
    """
    file = rack or default_rack()
    if rack is None and not file.exists():
        return
    cut = [
        name
        for name, done in book.work.progress.items()
        if done.cut and done.cut == len(book.work.items[name].marks) and done.left is None
    ]
    if not cut:
        return
    from stock.rack.ledger import Ledger

    with Ledger(file) as ledger:
        ids = finish(ledger, book.plan, cut)
    if ids:
        click.echo(f"back on the rack, to write on the offcuts: {', '.join(ids)}")


def _first(book: Book) -> str:
    return next(state_lines(book.work))


def _said(book: Book, words: Words) -> Entry:
    saying = Saying(book.work)
    for each, take in (
        (words.marks, saying.done),
        (words.spoiled, saying.spoiled),
        (words.left, saying.left),
        (words.need, saying.need),
        (words.kerf, saying.kerf),
        (words.bought, saying.bought),
    ):
        for word in each:
            take(word)
    return saying.entry()


def _undo(book: Book) -> Book:
    last = book.last
    if last is None:
        raise InputError([Finding(code="nothing-done", sentence="nothing is recorded", file=book.name)])
    if last.entry.goes_on and (book.folder.resolve().parent / last.entry.goes_on / RECORD).is_file():
        sentence = f"work by {last.entry.goes_on} is recorded already, so that plan stands; take that work back first"
        raise InputError([Finding(code="goes-on", sentence=sentence, file=book.name)])
    book = book.write(Entry(undo=last.number))
    for line in entry_lines(last.entry):
        click.echo(f"taken back: {line}")
    return book


def _write_form(book: Book) -> None:
    file = book.folder / NAME
    try:
        with file.open("x", encoding="utf-8-sig", newline="") as text:
            text.write(form_text(book.work))
    except FileExistsError:
        raise OutputError(
            f"{file} is there already and may be filled in; read it with --from, or move it away"
        ) from None
    except OSError as error:
        raise OutputError(
            f"{file} cannot be written ({error.strerror or error}); nothing was written"
        ) from error
    click.echo(
        f"made {file}: fill in its columns cut, spoiled and left, then run: steelyard done {book.folder} --from {file}"
    )

"""The command `replan`: what is left of a plan is planned again, as a plan of its own."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap

import click
from rich.console import Console

from nesting.booking import fingerprint
from nesting.cli.display import Display
from nesting.cli.planning import compile_first
from nesting.cli.summary import summary_lines
from nesting.findings import Finding, InputError
from nesting.plan import Settings
from nesting.work.book import Book, open_book
from nesting.work.changes import change_lines
from nesting.work.follow import Follow, follow_text
from nesting.work.record import Entry
from nesting.work.replan import Replan, job_left, letter_of, replan
from nesting.write import refuse_occupied, write_plan


def replan_left(path: Path, out: Path | None, settings: Settings, buying: bool) -> None:
    """Plan what is left, write it and let the record say that work goes on there."""
    book = open_book(path)
    book.refuse_dropped()
    number = book.follow.number + 1
    folder = out if out is not None else next_folder(book.folder, number)
    _refuse_itself(book, folder)
    if book.work.goes_on and book.work.goes_on != folder.resolve().name:
        sentence = f"what is left of it was planned as {book.work.goes_on} already; plan again from there"
        raise InputError([Finding(code="goes-on", sentence=sentence, file=book.name)])
    refuse_occupied(folder)
    with Display(Console(stderr=True)) as display:
        left = job_left(book.work, number)
        compile_first(left.job, display)
        new = replan(left, settings, display, buying=buying)
    changes = list(
        change_lines(book.work, new, letter_of(number - 1), sum(count for _, count in book.follow.made))
    )
    write_plan(new.plan, folder, {
        "changes.txt": ("\n".join(changes) + "\n").encode("utf-8"),
        "follows.json": follow_text(_follow(book, new, number)).encode("utf-8"),
    })  # fmt: skip
    if not book.work.goes_on:
        book.write(Entry(goes_on=folder.resolve().name))
    for line in changes:
        for part in wrap(line, 80, subsequent_indent="  "):
            click.echo(part)
    click.echo("")
    if not new.plan.groups:
        click.echo(f"nothing is left to buy or to cut; written to {folder}")
        return
    for line in summary_lines(new.plan, folder):
        click.echo(line)


def next_folder(folder: Path, number: int) -> Path:
    """Where the next plan goes: "gate.plan" is followed by "gate.2.plan", that by "gate.3.plan"."""
    place = folder.resolve()
    bare = place.name.removesuffix(".plan").removesuffix(f".{number - 1}" if number > 2 else "")
    return place.parent / f"{bare}.{number}.plan"


def _refuse_itself(book: Book, folder: Path) -> None:
    if folder.resolve() == book.folder.resolve():
        sentence = "the new plan cannot take the place of the old one; name another folder with --out"
        raise InputError([Finding(code="same-folder", sentence=sentence, file=book.name)])


def _follow(book: Book, new: Replan, number: int) -> Follow:
    before = dict(book.follow.same)
    made = dict(book.follow.made)
    for mark, count in book.work.made.items():
        drawn = before.get(mark, mark)
        made[drawn] = made.get(drawn, 0) + count
    same = {mark: before.get(drawn, drawn) for mark, drawn in new.same}
    marks = {part.mark for part in new.plan.job.parts}
    same |= {mark: drawn for mark, drawn in before.items() if mark in marks}
    return Follow(
        number=number,
        after=book.name,
        plan=fingerprint(book.plan),
        made=tuple(made.items()),
        same=tuple(same.items()),
    )

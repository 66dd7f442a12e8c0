"""The commands `book` and `unbook`: what a plan cuts leaves the rack, what it orders is awaited."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from textwrap import wrap
from typing import Any

from nesting.booking import fingerprint, uses_of
from nesting.check import check_plan
from nesting.findings import Finding, InputError
from nesting.plan import Plan
from nesting.rules.sources import material_words
from nesting.work.book import open_book
from nesting.write import read_plan
from stock.errors import RackRefused
from stock.rack.booking import Booking, Traced, Use, book, booking_of, traced, unbook
from stock.rack.ledger import Ledger
from stock.rack.record import size_words
from stock.rack.where import default_rack

Told = tuple[dict[str, Any], list[str]]
"""What a command says: to scripts, and to people."""


def book_plan(path: Path, rack: Path | None) -> Told:
    """Book a plan; tells what to fetch and what to write on what comes.

    Raises
    ------
    InputError
        If it is no plan, or one that the checker finds breaches in.
    RackRefused
        As `stock.rack.booking.book`.
    """
    plan = _sound(path)
    uses = uses_of(plan)
    with Ledger(rack or default_rack(), create=rack is None and plan.job.rack_at is None) as ledger:
        booking = book(ledger, fingerprint(plan), plan.job.name, plan.job.rack_at, uses)
    head = f"booked {plan.job.name} as action {booking.action} in {ledger.file}"
    pieces = [
        {
            "kind": use.kind,
            "number": use.number,
            "id": booking.pieces[use.kind, use.number],
            "ordered": not use.takes,
        }
        for use in uses
    ]
    return {"action": booking.action, "pieces": pieces}, [head, *_fetch(uses), *_await(uses, booking)]


def unbook_plan(path: Path, rack: Path | None) -> Told:
    """Take the booking of a plan back. Raises as `stock.rack.booking.unbook`."""
    plan = read_plan(path)
    if any(done.is_touched for done in open_book(path).work.progress.values()):
        raise RackRefused(
            "work on this plan has begun, so what it took is no longer what it was; take back what was said of its "
            "sticks with `done --undo` if nothing was cut"
        )
    with Ledger(rack or default_rack()) as ledger:
        done = unbook(ledger, fingerprint(plan))
    words = (
        f"unbooked {plan.job.name} (action {done.action}): what it took is on hand again, nothing is awaited"
    )
    return {"action": done.action}, [words]


def trace_plan(path: Path, rack: Path | None) -> Told:
    """Which parts of a booked plan come from which piece and heat.

    Raises InputError if the plan is not booked.
    """
    plan = read_plan(path)
    with Ledger(rack or default_rack()) as ledger:
        if booking_of(ledger, fingerprint(plan)) is None:
            sentence = (
                "this plan is not booked, so nothing says which pieces it is cut from; `steelyard book` it"
            )
            raise InputError([Finding(code="not-booked", sentence=sentence, file=str(path))])
        rows = traced(ledger, plan=fingerprint(plan))
    return {"parts": [asdict(row) for row in rows]}, [_trace(row) for row in rows]


def _trace(row: Traced) -> str:
    steel = f"heat {row.heat or 'not known'}" + (
        f", certificate {row.certificate}" if row.certificate else ""
    )
    return f"{row.mark:<10}{row.count:>4} x from {row.kind} {row.number}, {row.piece}: {steel}"


def _sound(path: Path) -> Plan:
    plan = read_plan(path)
    if breaches := check_plan(plan):
        findings = [Finding(code="plan-breach", sentence=breach, file=str(path)) for breach in breaches]
        sentence = "the plan is not sound, so it is not booked; if it was edited, plan again"
        raise InputError([*findings, Finding(code="plan-breach", sentence=sentence, file=str(path))])
    return plan


def _fetch(uses: tuple[Use, ...]) -> Iterator[str]:
    for use in uses:
        if use.takes is not None:
            place = f" from {use.takes.place}" if use.takes.place else ""
            yield f"  fetch {use.takes.id}{place} for {use.kind} {use.number}"


def _await(uses: tuple[Use, ...], booking: Booking) -> Iterator[str]:
    """Which ids belong to what is ordered, of each offer together."""
    groups: dict[str, list[str]] = {}
    for use in uses:
        if (new := use.orders) is not None:
            what = f"{material_words(new.material)}, {size_words(new.length, new.width, new.unit)}"
            groups.setdefault(what, []).append(booking.pieces[use.kind, use.number])
    for what, ids in groups.items():
        head = f"  await {len(ids)} x {what}: write on it {', '.join(ids)}"
        yield from wrap(head, 80, subsequent_indent="    ")

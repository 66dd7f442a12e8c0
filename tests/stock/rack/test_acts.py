"""What happens to single pieces: what passes on to offcuts, what is refused, and that nothing is changed then."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from stock.errors import RackRefused
from stock.length import PER_INCH, PER_MM
from stock.rack.acts import Arrival, Offcut, arrive, move, put, return_offcuts, scrap, take
from stock.rack.booking import Use, book, booking_of, traced, unbook
from stock.rack.counting import Seen, count
from stock.rack.ledger import Ledger
from stock.rack.piece import RackVersion
from stock.rack.undoing import undo
from stock.rack.verify import verify
from tests.stock.rack.pieces import EVERY, FLAT, PLATE, VALUE, bar, known, sheet


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    """A new ledger, which verifies at the end."""
    with Ledger(tmp_path / "rack.sqlite", create=True) as opened:
        yield opened
        assert verify(opened).faults == ()


def test_heat_certificate_and_value_pass_on_to_offcuts(ledger: Ledger) -> None:
    (name,) = put(ledger, [bar(240, heat="H1", certificate="drawer 3", value=VALUE)]).ids
    take(ledger, [name], "gate")
    offcut = Offcut(parent=name, length=80 * PER_INCH, clean_ends=1, place="bay 2", origin="stick 1 of gate")
    (left,) = return_offcuts(ledger, [offcut]).ids
    (held,) = ledger.held()
    assert (held.id, held.parent, held.origin) == (left, name, "stick 1 of gate")
    assert (held.state.heat, held.state.certificate, held.state.clean_ends) == ("H1", "drawer 3", 1)
    # A third of 62.47, to the cent below.
    assert held.state.value == Decimal("20.82")


def test_a_rest_of_a_sheet_has_its_share_by_area_and_fits_on_it(ledger: Ledger) -> None:
    (name,) = put(ledger, [sheet(96, 48, value=Decimal(100))]).ids
    take(ledger, [name])
    return_offcuts(ledger, [Offcut(parent=name, length=40 * PER_INCH, width=90 * PER_INCH)])
    # 40 x 90 of 96 x 48: 3600 / 4608 = 0.78125
    assert ledger.held()[0].state.value == Decimal("78.12")
    with pytest.raises(RackRefused, match="together more than that piece was"):
        return_offcuts(ledger, [Offcut(parent=name, length=48 * PER_INCH, width=22 * PER_INCH)])
    with pytest.raises(RackRefused, match="larger than that piece was"):
        return_offcuts(ledger, [Offcut(parent=name, length=50 * PER_INCH, width=50 * PER_INCH)])


def test_a_strip_ripped_from_a_flat_bar_comes_back_as_plate(ledger: Ledger) -> None:
    (name,) = put(ledger, [bar(120, material=FLAT)]).ids
    take(ledger, [name])
    strip = Offcut(parent=name, length=60 * PER_INCH, width=3 * PER_INCH, material=PLATE)
    return_offcuts(ledger, [strip, Offcut(parent=name, length=60 * PER_INCH)])
    with pytest.raises(RackRefused, match="together more"):
        return_offcuts(
            ledger, [Offcut(parent=name, length=60 * PER_INCH, width=6 * PER_INCH, material=PLATE)]
        )


def test_what_was_ordered_comes_as_it_is_and_its_heat_reaches_the_parts(ledger: Ledger) -> None:
    uses = [Use(kind="stick", number=4, orders=bar(240), marks=(("A1", 3),))]
    booking = book(ledger, "plan", "gate", ledger.version(), uses)
    name = booking.pieces["stick", 4]
    assert ledger.held() == ()
    arrive(ledger, [Arrival(id=name, length=6096 * PER_MM, heat="H9", place="bay 1")])
    (held,) = ledger.held(("reserved",))
    assert (held.state.length, held.state.heat, held.state.job) == (6096 * PER_MM, "H9", "gate")
    (row,) = traced(ledger, plan="plan")
    assert (row.mark, row.count, row.piece, row.heat) == ("A1", 3, name, "H9")
    assert traced(ledger, piece=name) == (row,)
    with pytest.raises(RackRefused, match=f"{name} is reserved for gate; take it for that job"):
        take(ledger, [name], "bench")
    return_offcuts(ledger, [Offcut(parent=name, length=PER_INCH)])
    with pytest.raises(RackRefused, match="cannot be unbooked any more"):
        unbook(ledger, "plan")
    undo(ledger)
    unbook(ledger, "plan")
    assert [piece.id for piece in ledger.held()] == [name]
    assert booking_of(ledger, "plan") is None


def test_a_plan_made_with_another_ledger_is_not_booked_even_if_both_hold_the_same(
    ledger: Ledger, tmp_path: Path
) -> None:
    with Ledger(tmp_path / "other.sqlite", create=True) as other:
        (name,) = put(other, [bar(100)]).ids
        version, shelf = other.shelf()
    put(ledger, [bar(100)])
    assert ledger.shelf()[1] == shelf
    uses = [Use(kind="stick", number=1, takes=known(bar(100), name))]
    for basis in (version, RackVersion(7, version.seal), RackVersion(0, version.seal), None):
        with pytest.raises(RackRefused, match="plan again"):
            book(ledger, "plan", "gate", basis, uses)
    book(ledger, "plan", "gate", ledger.version(), uses)


def test_a_piece_is_not_taken_twice_by_one_plan(ledger: Ledger) -> None:
    (name,) = put(ledger, [bar(100)]).ids
    uses = [Use(kind="stick", number=at, takes=known(bar(100), name)) for at in (1, 2)]
    with pytest.raises(RackRefused, match=f"{name} is taken twice by the plan itself"):
        book(ledger, "plan", "gate", ledger.version(), uses)
    assert [piece.state.standing for piece in ledger.held(EVERY)] == ["on hand"]


def _twice(ledger: Ledger, name: str) -> object:
    return take(ledger, [name, name.lower()])


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (_twice, "3333 stands twice"),
        (lambda led, name: take(led, [name, "3343"]), "the ledger has no piece 3343; near it: 3333"),
        (lambda led, name: scrap(led, [name, "NONE"]), "no piece NONE; `steelyard rack` lists"),
        (lambda led, name: move(led, [name], "x" * 81), "at most 80 signs"),
        (lambda led, name: move(led, [name], "bay\n1"), "can be printed, in one line"),
        (lambda led, name: arrive(led, [Arrival(id=name)]), "3333 is on hand; it cannot be received"),
        (
            lambda led, name: return_offcuts(led, [Offcut(parent=name, length=1)]),
            "3333 is on hand, so nothing can",
        ),
        (lambda led, name: unbook(led, "plan"), "this plan is not booked"),
        (lambda led, name: put(led, []), "there is no piece to put"),
        (lambda led, name: put(led, [bar(1), bar(1, id=name)]), "3333 is the id of another piece already"),
        (lambda led, name: count(led, " ", [Seen(id=name)], booked=True), "needs the place"),
        (lambda led, name: bar(0), "must be above zero"),
        (lambda led, name: bar(10**6), "at most 1 km"),
        (lambda led, name: sheet(10, 10, clean_ends=1), "of a sheet none or both"),
        (lambda led, name: bar(1, value=Decimal(-1)), "zero or more"),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(
    ledger: Ledger, act: Callable[[Ledger, str], object], words: str
) -> None:
    (name,) = put(ledger, [bar(100)]).ids
    before = (ledger.version(), ledger.held(EVERY))
    with pytest.raises(RackRefused, match=words):
        act(ledger, name)
    assert (ledger.version(), ledger.held(EVERY)) == before


def test_a_count_puts_missing_pieces_back_and_leaves_to_people_what_it_cannot_know(ledger: Ledger) -> None:
    a, b, c, d = put(ledger, [bar(100, place="bay 1")] * 4).ids
    take(ledger, [b])
    return_offcuts(ledger, [Offcut(parent=b, length=PER_INCH, place="bay 9")])
    take(ledger, [c], "gate")
    action, found = count(ledger, "bay 1", [Seen(id=name) for name in (b, c)], booked=True)
    assert action is not None
    assert [(one.id, one.state is None) for one in found] == [(b, True), (a, False), (d, False)]
    assert {piece.id: piece.state.standing for piece in ledger.held(EVERY)}[a] == "missing"
    count(ledger, "bay 2", [Seen(id=a)], booked=True)
    (held,) = ledger.find([a])
    assert (held.state.standing, held.state.place) == ("on hand", "bay 2")


def test_a_count_that_agrees_leaves_no_trace(ledger: Ledger) -> None:
    (name,) = put(ledger, [bar(100, place="bay 1")]).ids
    assert count(ledger, "BAY 1", [Seen(id=name, length=100 * PER_INCH)], booked=True) == (None, ())
    assert ledger.version().number == 1

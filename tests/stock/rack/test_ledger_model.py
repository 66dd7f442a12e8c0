"""Whatever is done in whatever order, the ledger stands as a plain model of it does, and verifies."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from stock.errors import RackRefused
from stock.length import PER_INCH
from stock.rack import counting as shelf
from stock.rack.acts import Arrival, Offcut, arrive, move, put, return_offcuts, scrap, take
from stock.rack.booking import Use, book, unbook
from stock.rack.counting import count
from stock.rack.ledger import Ledger
from stock.rack.undoing import undo
from stock.rack.verify import verify
from tests.stock.rack.pieces import EVERY, bar

Seen = tuple[str, int, str, str]
"""Standing, inches, place, job."""


class LedgerMachine(RuleBasedStateMachine):
    """The model: how each piece stands, and what each action that stands changed."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.ledger = Ledger(self.folder / "rack.sqlite", create=True)
        self.now: dict[str, Seen] = {}
        self.parents: dict[str, str] = {}
        self.stack: list[tuple[str, dict[str, Seen | None]]] = []
        self.left: list[dict[str, Seen]] = []
        self.plans = 0
        self.booked: dict[str, tuple[str, ...]] = {}

    def teardown(self) -> None:
        assert verify(self.ledger).faults == ()
        self.ledger.close()
        shutil.rmtree(self.folder)

    def did(self, act: str, after: dict[str, Seen]) -> None:
        """Keep what an action changed."""
        self.stack.append((act, {name: self.now.get(name) for name in after}))
        self.left.append(after)
        self.now |= after

    def attempt(self, may: bool, what: Callable[[], object]) -> bool:
        """Do it if the model allows it, else see it refused."""
        if may:
            what()
            return True
        with pytest.raises(RackRefused):
            what()
        return False

    def standing(self, name: str) -> str:
        return self.now[name][0]

    @rule(inches=st.integers(1, 300), copies=st.integers(1, 3))
    def put(self, inches: int, copies: int) -> None:
        done = put(self.ledger, [bar(inches)] * copies)
        assert len(set(done.ids)) == copies
        assert not set(done.ids) & self.now.keys()
        self.did("put", dict.fromkeys(done.ids, ("on hand", inches, "", "")))

    @precondition(lambda self: self.now)
    @rule(data=st.data(), job=st.sampled_from(["", "gate", "plan 1"]))
    def take(self, data: st.DataObject, job: str) -> None:
        names = data.draw(st.lists(st.sampled_from(sorted(self.now)), min_size=1, max_size=3, unique=True))
        may = all(
            self.standing(name) == "on hand"
            or (self.standing(name) == "reserved" and self.now[name][3] == job)
            for name in names
        )
        if self.attempt(may, lambda: take(self.ledger, names, job)):
            self.did("take", {name: ("taken", *self.now[name][1:3], job) for name in names})

    @precondition(lambda self: self.now)
    @rule(data=st.data(), place=st.sampled_from(["bay 1", "bay 2"]))
    def move(self, data: st.DataObject, place: str) -> None:
        name = data.draw(st.sampled_from(sorted(self.now)))
        standing, inches, _, job = self.now[name]
        if self.attempt(standing in ("on hand", "reserved"), lambda: move(self.ledger, [name], place)):
            self.did("move", {name: (standing, inches, place, job)})

    @precondition(lambda self: self.now)
    @rule(data=st.data())
    def scrap(self, data: st.DataObject) -> None:
        name = data.draw(st.sampled_from(sorted(self.now)))
        may = self.standing(name) in ("on hand", "reserved", "taken", "missing")
        if self.attempt(may, lambda: scrap(self.ledger, [name])):
            self.did("scrap", {name: ("scrapped", *self.now[name][1:])})

    @precondition(lambda self: self.now)
    @rule(data=st.data(), inches=st.integers(1, 300))
    def return_offcut(self, data: st.DataObject, inches: int) -> None:
        name = data.draw(st.sampled_from(sorted(self.now)))
        standing, length, _, _ = self.now[name]
        back = sum(
            self.now[child][1]
            for child, parent in self.parents.items()
            if parent == name and self.standing(child) != "void"
        )
        may = standing in ("taken", "ordered", "reserved") and back + inches <= length
        given: list[str] = []
        offcut = Offcut(parent=name, length=inches * PER_INCH)
        if self.attempt(may, lambda: given.extend(return_offcuts(self.ledger, [offcut]).ids)):
            after: dict[str, Seen] = {given[0]: ("on hand", inches, "", "")}
            if standing != "taken":
                after[name] = ("taken", *self.now[name][1:])
            self.parents[given[0]] = name
            self.did("return", after)

    @precondition(lambda self: self.now)
    @rule(data=st.data(), orders=st.integers(0, 2))
    def book(self, data: st.DataObject, orders: int) -> None:
        names = data.draw(st.lists(st.sampled_from(sorted(self.now)), max_size=3, unique=True))
        version, shelf = self.ledger.shelf()
        pieces = {piece.id: piece for piece in shelf}
        taken = [pieces.get(name) or self.ledger.find([name])[0].as_rack() for name in names]
        uses = [Use(kind="stick", number=at, takes=piece) for at, piece in enumerate(taken, 1)]
        uses += [Use(kind="stick", number=9 + at, orders=bar(99)) for at in range(orders)]
        if not uses:
            return
        plan = f"plan {self.plans + 1}"
        may = all(self.standing(name) == "on hand" for name in names)
        ids: list[str] = []
        if self.attempt(
            may, lambda: ids.extend(book(self.ledger, plan, plan, version, uses).pieces.values())
        ):
            self.plans += 1
            self.booked[plan] = tuple(ids)
            after = {name: ("taken", *self.now[name][1:3], plan) for name in ids[: len(names)]}
            self.did(plan, after | dict.fromkeys(ids[len(names) :], ("ordered", 99, "", plan)))
            with pytest.raises(RackRefused, match="booked already"):
                book(self.ledger, plan, plan, version, uses)

    @precondition(lambda self: any(seen[0] == "ordered" for seen in self.now.values()))
    @rule(data=st.data(), inches=st.integers(90, 99))
    def arrive(self, data: st.DataObject, inches: int) -> None:
        names = sorted(name for name, seen in self.now.items() if seen[0] == "ordered")
        name = data.draw(st.sampled_from(names))
        arrive(self.ledger, [Arrival(id=name, length=inches * PER_INCH)])
        self.did("arrive", {name: ("reserved", inches, *self.now[name][2:])})

    @precondition(lambda self: self.now)
    @rule(data=st.data())
    def count(self, data: st.DataObject) -> None:
        seen = data.draw(st.lists(st.sampled_from(sorted(self.now)), max_size=4, unique=True))
        after: dict[str, Seen] = {}
        for name, (standing, inches, place, job) in self.now.items():
            is_cut = any(p == name and self.standing(child) != "void" for child, p in self.parents.items())
            if name not in seen:
                if place == "bay 1" and standing in ("on hand", "reserved"):
                    after[name] = ("missing", inches, place, job)
            elif standing in ("on hand", "reserved"):
                after[name] = (standing, inches, "bay 1", job)
            elif standing == "missing" and not is_cut:
                after[name] = ("reserved" if job else "on hand", inches, "bay 1", job)
            elif (standing == "scrapped" or (standing == "taken" and not job)) and not is_cut:
                after[name] = ("on hand", inches, "bay 1", "")
        after = {name: now for name, now in after.items() if now != self.now[name]}
        action, _ = count(self.ledger, "bay 1", [shelf.Seen(id=name) for name in seen], booked=True)
        assert (action is not None) == bool(after)
        if after:
            self.did("count", after)

    def is_undoable_booking(self, plan: str) -> bool:
        """Nothing was cut from its pieces, and those it took stand as it left them."""
        at = next(at for at, (act, _) in enumerate(self.stack) if act == plan)
        for name in self.booked[plan]:
            if any(p == name and self.standing(child) != "void" for child, p in self.parents.items()):
                return False
            if self.standing(name) not in ("ordered", "reserved") and self.now[name] != self.left[at][name]:
                return False
        return True

    def forget_booking(self, plan: str) -> None:
        at = next(at for at, (act, _) in enumerate(self.stack) if act == plan)
        _, before = self.stack.pop(at)
        self.left.pop(at)
        for name in self.booked.pop(plan):
            standing, inches, place, job = self.now[name]
            if standing == "ordered":
                self.now[name] = ("void", inches, place, job)
            elif standing == "reserved":
                self.now[name] = ("on hand", inches, place, "")
            else:
                seen = before[name]
                assert seen is not None
                self.now[name] = seen

    @precondition(lambda self: self.booked)
    @rule(data=st.data())
    def unbook(self, data: st.DataObject) -> None:
        plan = data.draw(st.sampled_from(sorted(self.booked)))
        if self.attempt(self.is_undoable_booking(plan), lambda: unbook(self.ledger, plan)):
            self.forget_booking(plan)

    @rule()
    def undo(self) -> None:
        if not self.stack:
            self.attempt(False, lambda: undo(self.ledger))
            return
        act, before = self.stack[-1]
        if act in self.booked:
            if self.attempt(self.is_undoable_booking(act), lambda: undo(self.ledger)):
                self.forget_booking(act)
            return
        may = all(self.now[name] == after for name, after in self.left[-1].items())
        if self.attempt(may, lambda: undo(self.ledger)):
            self.stack.pop()
            self.left.pop()
            self.now |= {
                name: ("void", *self.now[name][1:]) if seen is None else seen for name, seen in before.items()
            }

    @invariant()
    def stands_as_the_model(self) -> None:
        held = self.ledger.held(EVERY)
        seen = {
            piece.id: (
                piece.state.standing,
                piece.state.length // PER_INCH,
                piece.state.place,
                piece.state.job,
            )
            for piece in held
        }
        assert seen == self.now


TestLedgerModel = LedgerMachine.TestCase
TestLedgerModel.settings = settings(max_examples=15, stateful_step_count=20, deadline=None)

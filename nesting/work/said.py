"""What a command line or a filled-in form says about the work, as an entry of the record."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from nesting.findings import Finding, InputError
from nesting.work.items import Item
from nesting.work.record import Cut, Entry, Kind, Left, Name
from nesting.work.standing import Standing
from stock.errors import BadLength
from stock.length import parse_length

_NAME = re.compile(r"(s|sheet|stick)?\s*(\d{1,6})", re.IGNORECASE)
_DASH = re.compile(r"\s*[-–]\s*")
_HOW = 'write 3 (all of stick 3), 3-8, 3:2 (its first two pieces), s2 (sheet 2) or "all"'


class Saying:
    """Collects what is said about the work on a plan.

    Parameters
    ----------
    place
        Where it is said: file, row and column of what cannot be understood.
    """

    def __init__(self, work: Standing, place: Finding | None = None) -> None:
        self.work, self.place = work, place or Finding(code="", sentence="")
        self.cut: dict[Name, int] = {}
        self.spoil: list[tuple[Kind, int, int]] = []
        self.rests: list[Left] = []
        self.needs: list[tuple[str, int]] = []
        self.kerfs: list[tuple[str, int]] = []
        self.yards: list[str] = []
        self.found: list[Finding] = []

    def wrong(self, code: str, sentence: str, column: str = "") -> None:
        self.found.append(replace(self.place, code=code, sentence=sentence, column=column))

    def done(self, word: str) -> None:
        """A stick, several, the first pieces of one, a sheet, or all."""
        if word.strip().lower() == "all":
            self.cut |= {name: len(item.marks) for name, item in self.work.items.items()}
            return
        whole, _, count = word.partition(":")
        names = self._names(whole)
        if not names or (count and (len(names) > 1 or not count.strip().isdigit())):
            self.wrong("unknown-word", f"{word!r} names no stick or sheet; {_HOW}")
            return
        for name in names:
            item = self.work.items.get(name)
            if item is None:
                self._unknown(name)
            else:
                self.cut[name] = int(count) if count else len(item.marks)

    def pieces(self, name: Name, count: int) -> None:
        """So many pieces of a stick or sheet, from its first."""
        self.cut[name] = count

    def spoiled(self, word: str) -> None:
        """A piece that was cut and is no good, "3:2"; it counts as cut."""
        whole, _, number = word.partition(":")
        names = self._names(whole)
        if len(names) != 1 or not number.strip().isdigit():
            self.wrong("unknown-word", f"{word!r} names no piece; write 3:2 for the second piece of stick 3")
        elif names[0] not in self.work.items:
            self._unknown(names[0])
        else:
            self.spoil.append((*names[0], int(number)))
            before = self.cut.get(names[0], self.work.progress[names[0]].cut)
            self.cut[names[0]] = max(before, int(number))

    def left(self, word: str, column: str = "") -> None:
        """What is left of a stick or sheet: "3=41 1/2", "s2=24 x 36 + 10 x 40", "5=0"."""
        whole, sign, sizes = word.partition("=")
        names = self._names(whole)
        if len(names) != 1 or not sign:
            self.wrong(
                "unknown-word", f"{word!r} says no rest; write 3=41-1/2 for what is left of stick 3", column
            )
            return
        if names[0] not in self.work.items:
            self._unknown(names[0])
            return
        measured = self._sizes(self.work.items[names[0]], sizes, column)
        if measured is not None:
            kind, number = names[0]
            self.rests.append(Left(kind=kind, number=number, sizes=measured))

    def need(self, word: str) -> None:
        """More or fewer of a part: "G4=+2", "G4=-1"."""
        mark, _, change = word.rpartition("=")
        if not mark or not re.fullmatch(r"[+-]\d{1,6}", change.strip()) or not int(change):
            self.wrong("unknown-word", f"{word!r} changes no number; write G4=+2 or G4=-1")
            return
        self.needs.append((mark.strip(), int(change)))

    def kerf(self, word: str) -> None:
        """A kerf measured anew: "chop saw=7/64"; the name may be left out where there is one saw."""
        saw, _, length = word.rpartition("=")
        saws = [saw.name for saw in self.work.plan.job.saws]
        if not saw and len(saws) == 1:
            saw = saws[0]
        ticks = self._length(length, "--kerf")
        if not saw:
            self.wrong("unknown-word", f"{word!r} names no saw; write {saws[0] if saws else 'saw'}={length}")
        elif ticks is not None:
            self.kerfs.append((saw.strip(), ticks))

    def bought(self, yard: str) -> None:
        """The order of a yard is on hand; "all": of every yard."""
        every = dict.fromkeys(item.yard for item in self.work.items.values() if item.yard)
        self.yards += every if yard == "all" else [yard]

    def entry(self) -> Entry:
        """All of it; what was recorded before is left out.

        Raises
        ------
        InputError
            With everything that could not be understood.
        """
        if self.found:
            raise InputError(self.found)
        work = self.work
        cut = tuple(
            Cut(kind=name[0], number=name[1], pieces=count, marks=work.items[name].marks)
            for name, count in self.cut.items()
            if count != work.progress[name].cut
        )
        spoiled = tuple(
            each
            for each in dict.fromkeys(self.spoil)
            if each[2] not in work.progress[each[0], each[1]].spoiled
        )
        rests = tuple(each for each in self.rests if not self._is_known(each))
        return Entry(
            cut=cut,
            spoiled=spoiled,
            left=rests,
            need=tuple(self.needs),
            kerf=tuple(self.kerfs),
            bought=tuple(dict.fromkeys(self.yards)),
        )

    def _is_known(self, left: Left) -> bool:
        """Whether just that was measured already, and nothing was cut since."""
        name = (left.kind, left.number)
        before = self.work.progress[name]
        return left.sizes == before.left and self.cut.get(name, before.cut) == before.at

    def _names(self, text: str) -> list[Name]:
        """Sticks or sheets from "3", "3-8", "s2", "s1-2"; none if it is not understood."""
        ends = [_NAME.fullmatch(each.strip()) for each in _DASH.split(text.strip())]
        found = [end for end in ends if end is not None]
        if not found or len(found) != len(ends) or len(found) > 2:
            return []
        kind: Kind = "sheet" if (found[0][1] or "").lower() in ("s", "sheet") else "stick"
        first, last = int(found[0][2]), int(found[-1][2])
        return [(kind, number) for number in range(first, last + 1)] if last - first < 100_000 else []

    def _unknown(self, name: Name) -> None:
        kind, number = name
        numbers = [n for k, n in self.work.items if k == kind]
        there = f"{kind}s {min(numbers)} to {max(numbers)}" if numbers else f"no {kind}s"
        self.wrong("unknown-number", f"there is no {kind} {number}; the plan has {there}")

    def _sizes(self, item: Item, text: str, column: str) -> tuple[tuple[int, int], ...] | None:
        if text.strip() == "0":
            return ()
        sizes = []
        for one in text.split("+"):
            sides = [self._length(side, column) for side in re.split(r"\s*[x×]\s*", one.strip())]
            if any(side is None for side in sides):
                return None
            if len(sides) != (1 if item.kind == "stick" else 2):
                due = "one length" if item.kind == "stick" else "length x width"
                self.wrong("bad-size", f"{one.strip()!r} is not {due}, as {item.words} needs", column)
                return None
            sizes.append((sides[0] or 0, (sides[1] or 0) if len(sides) == 2 else 0))
        if any(size[0] <= 0 or (item.kind == "sheet" and size[1] <= 0) for size in sizes):
            self.wrong(
                "bad-size", f"{text.strip()!r} is nothing; write 0 if nothing is left of {item.words}", column
            )
            return None
        return tuple(sizes)

    def _length(self, text: str, column: str) -> int | None:
        shop = self.work.plan.job.shop
        try:
            ticks = parse_length(text, shop.unit, shop.decimal)
        except BadLength as error:
            self.wrong("bad-length", str(error), column)
            return None
        if ticks < 0:
            self.wrong("bad-length", f"{text!r} is below zero; write a length of 0 or more", column)
            return None
        return ticks


def entry_lines(entry: Entry) -> Iterator[str]:
    """One line for each thing that an entry says."""
    for cut in entry.cut:
        yield f"{cut.kind} {cut.number}: {cut.pieces} of {len(cut.marks)} cut"
    for kind, number, piece in entry.spoiled:
        yield f"{kind} {number}: piece {piece} is no good"
    for left in entry.left:
        yield f"{left.kind} {left.number}: measured"
    for mark, change in entry.need:
        yield f"{mark}: {change:+d}"
    for saw, _ in entry.kerf:
        yield f"kerf of {saw}: measured anew"
    for yard in entry.bought:
        yield f"order of {yard}: on hand"
    for came in entry.came:
        yield f"{came.count} of {came.offer} came"
    if entry.goes_on:
        yield f"work goes on by {entry.goes_on}"
    if entry.undo:
        yield f"entry {entry.undo} taken back"

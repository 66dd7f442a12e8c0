"""Where the work on a plan stands: what its record says, held against the plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

from nesting.findings import Finding, InputError
from nesting.plan import Layout, Plan
from nesting.report.words import counted, length_words
from nesting.work.items import Item, items_of
from nesting.work.record import Came, Cut, Entry, Kept, Left, Name, standing_entries


@dataclass(frozen=True, slots=True)
class Progress:
    """How far one stick or sheet is.

    Parameters
    ----------
    cut
        Pieces cut, good or not; the first ones in cutting order.
    spoiled
        Which of them are no good, from 1.
    left
        (length, width) of what was measured to be left, width 0 for sticks; None: not measured.
    at
        How many pieces were cut then.
    came
        What was received for it; None: as ordered, or not yet.
    """

    cut: int = 0
    spoiled: frozenset[int] = frozenset()
    left: tuple[tuple[int, int], ...] | None = None
    at: int = 0
    came: Came | None = None

    @property
    def is_touched(self) -> bool:
        """Whether anything was said of it: so it is there."""
        return bool(self.cut) or self.left is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where the work on a plan stands.

    Parameters
    ----------
    items, progress
        Every stick and sheet of the plan, and how far it is.
    made
        Good pieces by mark.
    need
        Change of the number wanted, by mark.
    kerf
        Kerfs measured anew, ticks by saw.
    on_hand
        Bought sticks and sheets that are there.
    taken_as_bought
        Yards whose order is taken to be there because something from it is cut or measured.
    extra
        Material that came beyond what was ordered.
    last
        Number of the last entry of the record.
    goes_on
        Name of the plan that was made of what is left; "": none.
    """

    plan: Plan
    items: Mapping[Name, Item]
    progress: Mapping[Name, Progress]
    made: Counter[str]
    need: Mapping[str, int]
    kerf: Mapping[str, int]
    on_hand: frozenset[Name]
    taken_as_bought: tuple[str, ...]
    extra: tuple[Came, ...] = ()
    last: int = 0
    goes_on: str = ""

    def remaining(self) -> dict[str, int]:
        """Copies of each part still to make, in the order of the job."""
        job = self.plan.job
        return {
            part.mark: max(0, job.copies(part) + self.need.get(part.mark, 0) - self.made[part.mark])
            for part in job.parts
        }

    @property
    def is_begun(self) -> bool:
        """Whether anything was recorded."""
        return bool(self.last)


def standing(plan: Plan, kept: Sequence[Kept] = (), more: Entry | None = None) -> Standing:
    """Where the work stands after all entries of a record, and one more that is about to be written.

    Raises
    ------
    InputError
        With everything in them that the plan does not know or that contradicts what was said before.
    """
    work = _Work(plan)
    for each in standing_entries(kept):
        work.take(each.entry)
    if more is not None:
        work.take(more)
    work.close()
    if work.found:
        raise InputError(work.found)
    return work.standing(kept[-1].number if kept else 0)


class _Work:
    """What has been said so far, and what is wrong with it."""

    def __init__(self, plan: Plan) -> None:
        self.plan, self.items = plan, items_of(plan)
        self.progress = dict.fromkeys(self.items, Progress())
        self.need: Counter[str] = Counter()
        self.kerf: dict[str, int] = {}
        self.bought: set[str] = set()
        self.came: list[Came] = []
        self.extra: list[Came] = []
        self.goes_on = ""
        self.found: list[Finding] = []

    def wrong(self, code: str, sentence: str) -> None:
        finding = Finding(code=code, sentence=sentence)
        if finding not in self.found:
            self.found.append(finding)

    def take(self, entry: Entry) -> None:
        """One entry after those before."""
        for cut in entry.cut:
            self._cut(cut)
        for kind, number, piece in entry.spoiled:
            self._spoiled((kind, number), piece)
        for left in entry.left:
            self._left(left)
        for mark, change in entry.need:
            if self._knows(mark, [part.mark for part in self.plan.job.parts], "part"):
                self.need[mark] += change
        for saw, ticks in entry.kerf:
            if self._knows(saw, [saw.name for saw in self.plan.job.saws], "saw"):
                self.kerf[saw] = ticks
        yards = list(dict.fromkeys(item.yard for item in self.items.values() if item.yard))
        for yard in entry.bought:
            if self._knows(yard, yards, "yard bought from"):
                self.bought.add(yard)
        self.came += entry.came
        self.goes_on = entry.goes_on or self.goes_on

    def _cut(self, cut: Cut) -> None:
        item = self._item((cut.kind, cut.number))
        if item is None:
            return
        if cut.marks != item.marks:
            self.wrong(
                "record-foreign",
                f"the record is of another plan: it knows {item.words} with {_listed(cut.marks)}, the plan has "
                f"{_listed(item.marks)} there; keep each plan with its own record",
            )
            return
        before = self.progress[item.name]
        if not 0 <= cut.pieces <= len(item.marks):
            pieces = counted(len(item.marks), "piece")
            self.wrong(
                "too-many-done",
                f"{item.words} has {pieces}, so piece {cut.pieces} of it cannot be done; count the pieces in "
                f"cutting order ({_listed(item.marks)})",
            )
        elif cut.pieces < before.cut:
            self.wrong(
                "done-before",
                f"{counted(before.cut, 'piece')} of {item.words} are recorded as cut, more than the {cut.pieces} said "
                "now; take the earlier entry back with --undo if it was wrong",
            )
        elif cut.pieces > before.cut and before.left == ():
            self.wrong(
                "lost",
                f"{item.words} is recorded as used up, so nothing can be cut from it; take that back with --undo",
            )
        else:
            is_other = cut.pieces > before.cut and item.kind == "sheet"
            self.progress[item.name] = replace(before, cut=cut.pieces, left=None if is_other else before.left)

    def _spoiled(self, name: Name, piece: int) -> None:
        item = self._item(name)
        if item is None:
            return
        before = self.progress[name]
        if not 1 <= piece <= before.cut:
            self.wrong(
                "not-cut",
                f"piece {piece} of {item.words} is not recorded as cut ({before.cut} of {len(item.marks)} are); a "
                "piece that is spoiled is one that was cut",
            )
            return
        self.progress[name] = replace(before, spoiled=before.spoiled | {piece})

    def _left(self, left: Left) -> None:
        item = self._item((left.kind, left.number))
        if item is None:
            return
        before = self.progress[item.name]
        if item.kind == "stick" and any(width for _, width in left.sizes):
            self.wrong("no-sheet", f"{item.words} is no sheet: write the length of what is left of it alone")
        elif item.kind == "sheet" and not all(width for _, width in left.sizes):
            self.wrong("no-stick", f"{item.words} needs length x width for each rectangle that is left of it")
        elif item.kind == "sheet" and not _lies_in(left.sizes, item):
            self.wrong(
                "too-large", f"the rectangles left of {item.words} are larger than it was; measure again"
            )
        else:
            self.progress[item.name] = replace(before, left=left.sizes, at=before.cut)

    def _item(self, name: Name) -> Item | None:
        if name in self.items:
            return self.items[name]
        kind, number = name
        numbers = [n for k, n in self.items if k == kind]
        there = f"{kind}s {min(numbers)} to {max(numbers)}" if numbers else f"no {kind}s"
        self.wrong("unknown-number", f"there is no {kind} {number}; the plan has {there}")
        return None

    def _knows(self, name: str, names: Iterable[str], what: str) -> bool:
        known = list(names)
        if name in known:
            return True
        near = get_close_matches(name, known, n=3, cutoff=0.5)
        meant = f"perhaps {' or '.join(near)} is meant" if near else f"there is {_listed(known) or 'none'}"
        self.wrong("unknown-name", f"no {what} of the plan is called {name!r}; {meant}")
        return False

    def close(self) -> None:
        """What only shows when everything was said: arrivals, and parts that are made beyond what is wanted."""
        lines: dict[tuple[str, int], list[Came]] = {}
        for came in self.came:
            lines.setdefault((came.offer, came.ordered), []).append(came)
        for line, arrived in lines.items():
            self._arrived(line, arrived)
        for item in self.items.values():
            if isinstance(item.layout, Layout):
                self._see_that_it_fits(item, item.layout, self.progress[item.name])
        made = self.made()
        for part in self.plan.job.parts:
            wanted = self.plan.job.copies(part) + self.need[part.mark]
            if self.need[part.mark] and wanted < made[part.mark]:
                self.wrong(
                    "made-already",
                    f"part {part.mark}: {made[part.mark]} are made, so no fewer can be wanted ({wanted}); withdraw "
                    f"{self.plan.job.copies(part) - made[part.mark]} at the most",
                )

    def _see_that_it_fits(self, item: Item, layout: Layout, done: Progress) -> None:
        """What was cut of a stick, and what is left of it, come from the length that really came."""
        shop = self.plan.job.shop
        came = done.came if layout.segment is None else None
        room = layout.length if came is None else came.length
        total = sum(length for length, _ in done.left or ())
        if total > room:
            self.wrong(
                "too-long",
                f"{item.words} is {length_words(room, shop)} long, so {length_words(total, shop)} cannot be left of "
                "it; measure again, or enter what came with `receive`",
            )
        fitting = sum(piece.start + piece.extent <= room for piece in layout.pieces)
        if done.cut > fitting:
            self.wrong(
                "too-short",
                f"{item.words} came {length_words(room, shop)} long, which holds {fitting} of its pieces as they are "
                f"laid out, and {done.cut} are said to be cut; say how many really are, and plan again with `replan`",
            )

    def _arrived(self, line: tuple[str, int], arrived: Sequence[Came]) -> None:
        """Give what came to the sticks of its line, first come to the first number; the rest is extra."""
        names = [name for name, item in self.items.items() if item.yard and line_of(item) == line]
        if not names:
            self.wrong("unknown-line", f"nothing like {line[0]} of {line[1]} ticks was ordered by this plan")
            return
        single = [replace(came, count=1) for came in arrived for _ in range(came.count)]
        for name, came in zip(names, single, strict=False):
            self.progress[name] = replace(self.progress[name], came=came)
        if not self.is_parted(line[0]):
            self.extra += single[len(names) :]
        for name in names[len(single) :]:
            if self.progress[name].cut:
                self.wrong(
                    "cut-before-it-came",
                    f"{self.items[name].words} is recorded as cut, but only {len(single)} came of its size",
                )

    def is_parted(self, offer: str) -> bool:
        """Whether the yard parts the sticks of an offer."""
        return any(parting.offer == offer for group in self.plan.groups for parting in group.partings)

    def made(self) -> Counter[str]:
        made: Counter[str] = Counter()
        for name, item in self.items.items():
            done = self.progress[name]
            made.update(m for at, m in enumerate(item.marks[: done.cut], 1) if at not in done.spoiled)
        return made

    def standing(self, last: int) -> Standing:
        there, assumed = self._on_hand()
        return Standing(
            plan=self.plan,
            items=self.items,
            progress=self.progress,
            made=self.made(),
            need={mark: change for mark, change in self.need.items() if change},
            kerf=self.kerf,
            on_hand=frozenset(there),
            taken_as_bought=assumed,
            extra=tuple(self.extra),
            last=last,
            goes_on=self.goes_on,
        )

    def _on_hand(self) -> tuple[set[Name], tuple[str, ...]]:
        """A yard's order comes as one, unless it was entered piece by piece."""
        bought = {name: item for name, item in self.items.items() if item.yard}
        entered = {item.yard for name, item in bought.items() if self.progress[name].came is not None}
        begun = {item.yard for name, item in bought.items() if self.progress[name].is_touched}
        assumed = [
            y for y in dict.fromkeys(i.yard for i in bought.values()) if y in begun - self.bought - entered
        ]
        whole = (self.bought - entered) | set(assumed)
        there = {
            name
            for name, item in bought.items()
            if item.yard in whole or self.progress[name].came is not None or self.progress[name].is_touched
        }
        return there | self._parted(entered), tuple(assumed)

    def _parted(self, entered: set[str]) -> set[Name]:
        """All segments of a parted stick came, if sticks of its line did."""
        lines = {(c.offer, c.ordered) for c in self.came if self.is_parted(c.offer)}
        return {n for n, i in self.items.items() if i.yard in entered and line_of(i) in lines}


def line_of(item: Item) -> tuple[str, int]:
    """Which line of the order a stick or sheet belongs to: its offer and the length that is ordered."""
    layout = item.layout
    parted = getattr(layout, "segment", None) is not None
    return layout.source, item.source.length if parted else layout.length


def _lies_in(sizes: Iterable[tuple[int, int]], item: Item) -> bool:
    """Whether rectangles could all come from a sheet, by side and by area."""
    length, width = item.layout.length, getattr(item.layout, "width", 0)
    sides = sorted((length, width))
    each = all(sorted(size)[0] <= sides[0] and sorted(size)[1] <= sides[1] for size in sizes)
    return each and sum(a * b for a, b in sizes) <= length * width


def _listed(marks: Iterable[str]) -> str:
    counts = Counter(marks)
    return ", ".join(f"{count} × {mark}" if count > 1 else mark for mark, count in counts.items())

"""Parts still to make, as rows of a job: whole lots stay lots, and what a started stick owes its lot comes from it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from nesting.job import Assembly, Part
from nesting.rules.lots import Lot, lots_of
from nesting.work.record import Name
from nesting.work.standing import Standing
from stock.rack import RackPiece


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsLeft:
    """Parts still to make.

    Parameters
    ----------
    same
        (new mark, mark on the drawing) of parts that had to be split.
    told
        What had to be given up, one sentence each.
    """

    parts: tuple[Part, ...]
    assemblies: tuple[Assembly, ...]
    same: tuple[tuple[str, str], ...]
    told: tuple[str, ...]


def parts_left(work: Standing, rests: Mapping[Name, RackPiece], rack: Sequence[RackPiece]) -> PartsLeft:
    """The parts of a plan that are still to make.

    Parameters
    ----------
    rests
        The rest of each started stick that has one.
    rack
        Everything on hand.
    """
    return _Left(work, rests, rack).all()


class _Left:
    def __init__(self, work: Standing, rests: Mapping[Name, RackPiece], rack: Sequence[RackPiece]) -> None:
        self.work, self.job, self.rests = work, work.plan.job, rests
        self.names = {piece.id for piece in rack} | {piece.heat for piece in rack if piece.heat}
        self.remaining = work.remaining()
        self.marks = {part.mark for part in self.job.parts}
        self.assemblies: dict[str, int] = {}
        self.same: list[tuple[str, str]] = []
        self.told: list[str] = []

    def all(self) -> PartsLeft:
        rows: dict[str, list[Part]] = {}
        lots = lots_of(self.job, self.job.parts)
        for lot in lots:
            for row in self._lot(lot):
                rows.setdefault(self._drawn(row.mark), []).append(row)
        in_lots = {part.mark for lot in lots for part, _ in lot.parts}
        for part in self.job.parts:
            if part.mark not in in_lots and (count := self.remaining[part.mark]):
                rows[part.mark] = [self._row(part, count, part.assembly)]
        ordered = [row for part in self.job.parts for row in rows.get(part.mark, [])]
        return PartsLeft(
            parts=tuple(map(self._named, ordered)),
            assemblies=tuple(Assembly(name=name, qty=qty) for name, qty in self.assemblies.items()),
            same=tuple(self.same),
            told=tuple(self.told),
        )

    def _row(self, part: Part, count: int, assembly: str, qty: int = 1) -> Part:
        if assembly:
            self.assemblies.setdefault(assembly, qty)
        return replace(part, qty=count, assembly=assembly)

    def _named(self, part: Part) -> Part:
        """A part that names a piece or heat which is used up may come from anything."""
        if not part.source or part.source in self.names:
            return part
        self.told.append(f"{part.source} is used up: {part.mark} may come from any material that serves")
        return replace(part, source="")

    def _lot(self, lot: Lot) -> Iterator[Part]:
        """Rows for what is missing of lots with the same word: whole lots, single pieces, what started sticks owe."""
        per = {part.mark: number for part, number in lot.parts}
        free = Counter({mark: self.remaining[mark] for mark in per})
        owed = self._owed(lot, per, free)
        is_one = self._is_untouched(lot, per, free)
        whole = 0 if is_one else min(free[mark] // number for mark, number in per.items())
        for part, number in lot.parts:
            rows: list[tuple[str, Part]] = []
            if is_one and free[part.mark]:
                rows.append(("", self._row(part, free[part.mark], part.assembly)))
            if whole:
                name = self._assembly(part.assembly, whole) if whole > 1 else part.assembly
                rows.append(("", self._row(part, number, name, whole)))
            single = 0 if is_one else free[part.mark] - whole * number
            if single:
                rows.append(("more", replace(self._row(part, single, part.assembly), together="")))
                self.told.append(f"{single} of {part.mark} may come apart from the others of {lot.word!r}")
            for stick, count in owed.get(part.mark, []):
                rest = self.rests[stick].id
                row = replace(self._row(part, count, part.assembly), together="", source=rest)
                rows.append((f"of {rest}", row))
            for place, (what, row) in enumerate(rows):
                yield replace(row, mark=self._split(part.mark, what)) if place else row

    def _is_untouched(self, lot: Lot, per: Mapping[str, int], free: Counter[str]) -> bool:
        """Whether all copies come together as one lot, none is cut, and only their number may have changed."""
        part = lot.parts[0][0]
        return not part.assembly and not any(self.work.made[mark] for mark in per) and any(free.values())

    def _assembly(self, name: str, qty: int) -> str:
        bare = re.sub(r" × \d+$", "", name)
        return f"{bare} × {qty}" if bare else ""

    def _owed(
        self, lot: Lot, per: Mapping[str, int], free: Counter[str]
    ) -> dict[str, list[tuple[Name, int]]]:
        """What started sticks still owe the lots begun on them; taken from `free`."""
        owed: dict[str, list[tuple[Name, int]]] = {}
        for name, item in self.work.items.items():
            due = Counter(mark for mark in item.marks if mark in per)
            done = self.work.progress[name]
            good = Counter(m for at, m in enumerate(item.marks[: done.cut], 1) if at not in done.spoiled)
            if not due or not any(good[mark] for mark in due):
                continue
            missing = Counter({mark: due[mark] - good[mark] for mark in due})
            whole = min(missing[mark] // number for mark, number in per.items())
            rest = self.rests.get(name)
            owes = {mark: min(count - whole * per[mark], free[mark]) for mark, count in missing.items()}
            owes = {mark: count for mark, count in owes.items() if count}
            if rest is None or not self._has_room(rest, lot, owes):
                continue
            for mark, count in owes.items():
                owed.setdefault(mark, []).append((name, count))
                free[mark] -= count
        return owed

    def _has_room(self, rest: RackPiece, lot: Lot, owes: Mapping[str, int]) -> bool:
        """Whether what a stick owes has room on its rest, on any saw that could cut it."""
        widths = [saw.kerf + self.job.shop.kerf_safety for saw in self.job.saws]
        ends = [max(saw.grip, 0 if rest.clean_ends == 2 else saw.trim) for saw in self.job.saws]
        needs = sum(part.extent * owes.get(part.mark, 0) for part, _ in lot.parts)
        return needs + sum(owes.values()) * max(widths) + max(ends) <= rest.length

    def _split(self, mark: str, what: str) -> str:
        name = f"{mark} {what}"
        while name in self.marks:
            name += "'"
        self.marks.add(name)
        self.same.append((name, mark))
        return name

    def _drawn(self, mark: str) -> str:
        return dict(self.same).get(mark, mark)

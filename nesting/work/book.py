"""A plan with its record, as one folder holds them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from nesting.booking import fingerprint
from nesting.findings import Finding, InputError
from nesting.plan import Plan
from nesting.work.follow import Follow, read_follow
from nesting.work.record import Entry, Kept, add_entry, read_record, standing_entries
from nesting.work.standing import Standing, standing
from nesting.write.archive import read_plan
from nesting.write.folder import RECORD


@dataclass(frozen=True, slots=True)
class Book:
    """A plan that is worked by.

    Parameters
    ----------
    folder
        That holds plan.json and the record.
    kept
        Every entry of the record.
    """

    folder: Path
    plan: Plan
    follow: Follow
    kept: tuple[Kept, ...]
    work: Standing

    @property
    def name(self) -> str:
        """Of the folder."""
        return self.folder.resolve().name

    def write(self, entry: Entry) -> Book:
        """Add an entry, once it is known not to contradict what stands.

        Raises
        ------
        InputError
            If it does; nothing is written.
        OutputError
            If it cannot be written.
        """
        if not entry.undo:
            self.refuse_dropped()
        standing(self.plan, self._without(entry.undo), entry)
        add_entry(self.folder, self.plan, entry, self.work.last)
        return open_book(self.folder)

    @property
    def standing_entries(self) -> tuple[Entry, ...]:
        """What was said and not taken back."""
        return tuple(each.entry for each in standing_entries(self.kept))

    def refuse_closed(self) -> None:
        """Refuse to record work on a plan of which the rest was planned again; raises InputError."""
        if self.work.goes_on:
            sentence = (
                f"what is left of this plan was planned again as {self.work.goes_on}: record the work there, or take "
                "that back with --undo"
            )
            raise InputError([Finding(code="goes-on", sentence=sentence, file=self.name)])

    def refuse_dropped(self) -> None:
        """Refuse a plan of what was left if the plan before does not go on by it any more; raises InputError."""
        before = self.folder.resolve().parent / self.follow.after if self.follow.after else None
        if before is None or not (before / RECORD).is_file():
            return
        named = {each.entry.goes_on for each in standing_entries(read_record(before))}
        if not named - {""}:
            sentence = (
                f"{self.follow.after} was taken back to before this plan: go on there, or replan it once more"
            )
            raise InputError([Finding(code="dropped", sentence=sentence, file=self.name)])

    def _without(self, number: int) -> Sequence[Kept]:
        return [each for each in self.kept if each.number != number]

    @property
    def last(self) -> Kept | None:
        """The last entry that was not taken back; None: there is none."""
        found = standing_entries(self.kept)
        return found[-1] if found else None


def open_book(path: Path) -> Book:
    """A plan with its record.

    Parameters
    ----------
    path
        The folder of a plan, or its plan.json.

    Raises
    ------
    InputError
        If there is no such plan, its record is of another one, or it was changed by hand and has breaches.
    """
    plan = read_plan(path)
    folder = path if path.is_dir() else path.parent
    kept = read_record(folder)
    mark = fingerprint(plan)
    if any(each.plan != mark for each in kept) or not kept:
        _see_that_it_is_sound(plan, folder)
    return Book(folder, plan, read_follow(folder), kept, standing(plan, kept))


def _see_that_it_is_sound(plan: Plan, folder: Path) -> None:
    """A plan that was changed by hand is worked by as any other, if the check finds nothing."""
    from nesting.check import (
        check_plan,
    )  # late: its kernels need not load where the plan is as it was written

    if breaches := check_plan(plan):
        more = f" and {len(breaches) - 1} more" if len(breaches) > 1 else ""
        sentence = f"the check found breaches ({breaches[0]}{more}), so no work is recorded by it: make the plan again"
        raise InputError([Finding(code="plan-breaches", sentence=sentence, file=str(folder / "plan.json"))])

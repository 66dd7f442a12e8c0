"""Work on plans to test with: what was cut of them, at random, and what must hold of a plan of the rest."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from hypothesis import strategies as st

from nesting import check_plan
from nesting.job import Job
from nesting.plan import Plan
from nesting.work.record import Cut, Entry, Kept, Left, Name
from nesting.work.replan import Replan
from nesting.work.standing import Standing


def cut(work: Standing, how_many: Callable[[int], int]) -> Entry:
    """Of every stick and sheet so many pieces of those that it has."""
    return Entry(
        cut=tuple(
            Cut(kind=item.kind, number=item.number, pieces=how_many(len(item.marks)), marks=item.marks)
            for item in work.items.values()
        )
    )


def kept(*entries: Entry) -> tuple[Kept, ...]:
    """Entries as a record holds them."""
    return tuple(Kept(number=n, made="", plan="", entry=entry) for n, entry in enumerate(entries, 1))


@st.composite
def entries(draw: st.DrawFn, work: Standing, mishaps: bool = False) -> Entry:
    """Some sticks are cut, some begun; sheets are cut or not. With mishaps some pieces are spoiled, some rests lost."""
    done: dict[Name, int] = {}
    for name, item in work.items.items():
        every = len(item.marks)
        done[name] = draw(st.integers(0, every) if item.kind == "stick" else st.sampled_from([0, every]))
    spoiled, left = [], []
    for name, item in work.items.items() if mishaps else ():
        if done[name] and draw(st.integers(0, 3)) == 0:
            spoiled.append((*name, draw(st.integers(1, done[name]))))
        if draw(st.integers(0, 9)) == 0:
            left.append(Left(kind=item.kind, number=item.number, sizes=()))
    return Entry(
        cut=tuple(
            Cut(kind=kind, number=number, pieces=count, marks=work.items[kind, number].marks)
            for (kind, number), count in done.items()
        ),
        spoiled=tuple(spoiled),
        left=tuple(left),
    )


def laid(plan: Plan) -> Counter[str]:
    """Pieces in the layouts of a plan, by mark."""
    found: Counter[str] = Counter()
    for group in plan.groups:
        for layout in group.layouts:
            found.update(
                {mark: layout.times * n for mark, n in Counter(p.mark for p in layout.pieces).items()}
            )
        for sheet in group.sheets:
            found.update({mark: sheet.times * n for mark, n in Counter(p.mark for p in sheet.pieces).items()})
    return found


def assert_nothing_is_lost_or_doubled(work: Standing, new: Replan) -> None:
    """What is made, what the new plan makes and what cannot be made are together what was wanted; the check agrees."""
    assert check_plan(new.plan) == ()
    drawn, total = dict(new.same), Counter(work.made)
    for mark, count in laid(new.plan).items():
        total[drawn.get(mark, mark)] += count
    for mark, count in new.missing:
        total[drawn.get(mark, mark)] += count
    job = work.plan.job
    wanted = {part.mark: job.copies(part) + work.need.get(part.mark, 0) for part in job.needed}
    assert {mark: total[mark] for mark in wanted} == wanted


def as_asked(job: Job) -> dict[str, int]:
    """Copies of each part that must be made."""
    return {part.mark: job.copies(part) for part in job.needed}

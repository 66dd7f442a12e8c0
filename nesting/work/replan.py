"""What is left of a plan as a job of its own, planned like any other."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from nesting.findings import InputError
from nesting.job import Hole, Job, Part, Saw
from nesting.market import make_plan
from nesting.plan import Plan, Settings
from nesting.progress import Progress
from nesting.read.problems import find_source_problems
from nesting.work.lots_left import parts_left
from nesting.work.on_hand import plan_on_hand
from nesting.work.remains import material_left
from nesting.work.standing import Standing, line_of
from stock.offer import Offer


@dataclass(frozen=True, slots=True, kw_only=True)
class Replan:
    """A plan of what is left.

    Parameters
    ----------
    told
        What had to be given up, one sentence each.
    same
        (new mark, mark on the drawing) of parts that had to be split.
    missing
        (mark, copies) that cannot be made without buying; empty where buying is allowed.
    """

    plan: Plan
    told: tuple[str, ...] = ()
    same: tuple[tuple[str, str], ...] = ()
    missing: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLeft:
    """The job of what is left, with what had to be given up and the parts that had to be split."""

    job: Job
    told: tuple[str, ...]
    same: tuple[tuple[str, str], ...]


def replan(
    left: JobLeft, settings: Settings, progress: Progress | None = None, *, buying: bool = True
) -> Replan:
    """Plan what is left: finished pieces stay finished, material on hand is there at what it is worth now.

    Parameters
    ----------
    buying
        Whether more may be bought; without, as much as material on hand allows is planned.

    Raises
    ------
    InputError
        If parts are left that nothing on hand or on offer can give.
    """
    if not buying:
        plan, missing = plan_on_hand(left.job, settings, progress)
        return Replan(plan=plan, told=left.told, same=left.same, missing=missing)
    if left.job.needed and (problems := find_source_problems(left.job)):
        raise InputError(problems)
    return Replan(plan=make_plan(left.job, settings, progress), told=left.told, same=left.same)


def job_left(work: Standing, number: int = 2) -> JobLeft:
    """The job of what is left of a plan.

    Parameters
    ----------
    number
        Of the plan that answers it; bought material is named by the letter of the plan before.
    """
    job = work.plan.job
    there = material_left(work, letter_of(number - 1))
    left = parts_left(work, there.of_sticks, there.pieces)
    shortest = min([job.shop.keep_length, *(part.extent for part in left.parts)])
    rack = tuple(piece for piece in there.pieces if piece.length >= shortest)
    drawn = dict(left.same)
    new = replace(
        job,
        name=f"{_bare(job.name, number - 1)} {number}",
        parts=left.parts,
        assemblies=left.assemblies,
        holes=_holes(job, left.parts, drawn),
        rack=rack,
        offers=_offers(work),
        saws=tuple(_measured(saw, work.kerf.get(saw.name)) for saw in job.saws),
        notices=(),
        rack_at=None,
    )
    return JobLeft(job=new, told=left.told, same=left.same)


def letter_of(number: int) -> str:
    """The letter of a plan, by its number: A, B ... Z, AA.

    >>> letter_of(1), letter_of(26), letter_of(27)
    ('A', 'Z', 'AA')
    """
    letters = ""
    while number:
        number, at = divmod(number - 1, 26)
        letters = chr(ord("A") + at) + letters
    return letters


def _bare(name: str, number: int) -> str:
    return name.removesuffix(f" {number}") if number > 1 else name


def _holes(job: Job, parts: tuple[Part, ...], drawn: dict[str, str]) -> tuple[Hole, ...]:
    return tuple(
        replace(hole, mark=part.mark)
        for part in parts
        for hole in job.holes
        if hole.mark == drawn.get(part.mark, part.mark)
    )


def _offers(work: Standing) -> tuple[Offer, ...]:
    """What can still be bought: limits fall by what was bought of the size, of which nothing may be left."""
    gone: Counter[tuple[object, ...]] = Counter()
    ids = {offer.id: offer for offer in work.plan.job.offers}
    for group in work.plan.groups:
        for line in group.purchases:
            offer = ids[line.offer]
            names = [n for n in work.on_hand if line_of(work.items[n]) == (line.offer, line.length)]
            if names:
                gone[_size(offer)] += line.count if offer.id in _parted(work) else len(names)
    left = []
    for offer in work.plan.job.offers:
        if offer.available is not None:
            offer = replace(offer, available=max(0, offer.available - gone[_size(offer)]))
        if offer.available != 0:
            left.append(offer)
    return tuple(left)


def _parted(work: Standing) -> set[str]:
    return {parting.offer for group in work.plan.groups for parting in group.partings}


def _size(offer: Offer) -> tuple[object, ...]:
    """Offers of one size share a limit."""
    return offer.yard, offer.material, offer.length, offer.longest, offer.width, offer.clean_ends


def _measured(saw: Saw, kerf: int | None) -> Saw:
    """A saw with its kerf measured anew; what it trims beyond the kerf stays."""
    if kerf is None:
        return saw
    return replace(saw, kerf=kerf, trim=max(kerf, saw.trim + kerf - saw.kerf) if saw.trim else 0)

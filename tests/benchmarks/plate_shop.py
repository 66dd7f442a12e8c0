"""How far from the best the plans of random shop jobs with plates are, in money.

    python -m tests.benchmarks.plate_shop --seeds 10 --kinds 12 --pieces 60 --time 10 [--bed 24] [--saw]

Each seed makes a job in inches: plate parts of one thickness, three sizes of sheet, four flat bars with bar parts of
their own, three sheets on the rack. It goes through the whole market, and its plan is checked.
"""

from __future__ import annotations

import argparse
import random
import time
from decimal import Decimal
from statistics import median

from nesting.check import check_plan
from nesting.job import Job, Part, Saw, Shop
from nesting.market import make_plan
from nesting.plan import GroupPlan, Settings
from stock.length import PER_INCH
from stock.material import Material, parse_material
from stock.offer import Basis, Offer
from stock.rack import RackPiece

_SHEETS = ((96, 48, "245"), (48, 48, "135"), (120, 60, "370"))
_FLATS = ((2, "2.1"), (4, "4.0"), (6, "6.2"), (8, "9.9"))
_WIDTHS = (2, 3, 4, 5, 6, 8, 10, 12)


def random_job(seed: int, kinds: int, pieces: int, bed: int | None, has_saw: bool) -> Job:
    """A job of a seed; its plates are in the first group.

    Parameters
    ----------
    bed
        Side of a square torch bed, inches; None: any size.
    has_saw
        Whether plates are sawn as well.
    """
    chance = random.Random(seed)
    plate = parse_material("plate 1/4", unit="in")
    flats = {wide: parse_material(f"flat 1/4 x {wide}", unit="in") for wide, _ in _FLATS}
    longest = 30 if bed is None else bed - 2
    parts = [
        Part(
            mark=f"P{n}",
            qty=max(1, round(pieces / kinds * chance.uniform(0.3, 1.7))),
            material=plate,
            length=chance.randint(3, longest) * PER_INCH - chance.choice([0, PER_INCH // 2, PER_INCH // 4]),
            width=chance.choice(_WIDTHS) * PER_INCH,
            turn=chance.choice(["none", "quarter", "quarter"]),
        )
        for n in range(kinds)
    ]
    parts += [
        Part(
            mark=f"B{wide}", qty=chance.randint(1, 8), material=flat, length=chance.randint(8, 60) * PER_INCH
        )
        for wide, flat in flats.items()
    ]
    offers = [_offer(n, plate, *size) for n, size in enumerate(_SHEETS)]
    offers += [_offer(9 + n, flats[wide], 240, None, price) for n, (wide, price) in enumerate(_FLATS)]
    rack = tuple(
        RackPiece(
            id=f"R{n}",
            material=plate,
            length=chance.randint(15, 50) * PER_INCH,
            width=chance.randint(12, 30) * PER_INCH,
            value=Decimal(chance.randint(0, 25)),
        )
        for n in range(3)
    )
    return Job(
        name=f"seed {seed}",
        parts=tuple(parts),
        offers=tuple(offers),
        rack=rack,
        saws=(Saw(name="saw", kerf=PER_INCH // 8, trim=PER_INCH // 4),),
        shop=Shop(
            bed=None if bed is None else (bed * PER_INCH, bed * PER_INCH),
            processes=("torch", "saw") if has_saw else ("torch",),
        ),
    )


def _offer(number: int, material: Material, length: int, width: int | None, price: str) -> Offer:
    return Offer(
        id=f"offer {number}",
        yard="yard",
        material=material,
        length=length * PER_INCH,
        longest=length * PER_INCH,
        width=None if width is None else width * PER_INCH,
        price=Decimal(price),
        per=Basis.EACH if width is not None else Basis.FOOT,
    )


def planned(job: Job, seconds: float) -> tuple[GroupPlan, float]:
    """The plan of the group of a job's plates, and how long the job took; all of it checked."""
    start = time.monotonic()
    plan = make_plan(job, Settings(time_s=seconds))
    taken = time.monotonic() - start
    if breaches := check_plan(plan):
        raise AssertionError(f"{job.name}: {breaches}")
    return plan.groups[0], taken


def main(arguments: list[str] | None = None) -> None:
    """Print a row for each seed, and the gaps of all."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--kinds", type=int, default=12)
    parser.add_argument("--pieces", type=int, default=60)
    parser.add_argument("--time", type=float, default=10.0)
    parser.add_argument("--bed", type=int, default=None)
    parser.add_argument("--saw", action="store_true")
    asked = parser.parse_args(arguments)
    print("  seed        cost       bound      gap  seconds  sticks  sheets")
    gaps = []
    for seed in range(asked.first, asked.first + asked.seeds):
        job = random_job(seed, asked.kinds, asked.pieces, asked.bed, asked.saw)
        group, taken = planned(job, asked.time)
        gaps.append(group.gap)
        sticks, sheets = (sum(x.times for x in laid) for laid in (group.layouts, group.sheets))
        print(
            f"{seed:6d} {group.cost:11.2f} {group.bound.value:11.2f} {group.gap:8.2%} {taken:8.2f} {sticks:7d}"
            f" {sheets:7d}  {group.stopped}",
            flush=True,
        )
    proved = sum(gap == 0.0 for gap in gaps)
    print(f"gap median {median(gaps):.2%}, worst {max(gaps):.2%}; proved {proved} of {len(gaps)}")


if __name__ == "__main__":
    main()

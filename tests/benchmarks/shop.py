"""How far from the best the plans of random shop jobs are, in money, with five priced stick lengths.

    python -m tests.benchmarks.shop --seeds 20 --lengths 100 --pieces 2000 --rack 0 --time 10 [--unit mm] [--mitres]
        [--haul] [--offcuts] [--fees] [--compare]

Each seed makes a job in real units (1/16 in or 1 mm), which goes through the whole market; its plan is checked.
Beside it stands how much dearer first fit decreasing is: rack pieces first, then sticks of one length only, that of the
five with which it comes cheapest. With --mitres most parts have mitred ends, and beside it stands how much dearer the
same job is, planned as well, where each part is laid square at its longest points (not with the options that follow).
With --haul sticks are parted by the yard, with --offcuts rests earn, with --fees there are three yards that charge;
first fit knows nothing of these. With --compare also how much dearer the best is that a plain assignment model finds
in the same time (nothing, where it finds none).
"""

from __future__ import annotations

import argparse
import time
from dataclasses import dataclass, replace
from decimal import Decimal
from statistics import median

import numpy as np

from nesting.check import check_plan
from nesting.job import Job, Part, Saw, Shop
from nesting.market import make_plan
from nesting.plan import Settings
from nesting.rules.stick_ways import usable_length
from stock.length import PER_INCH, PER_MM
from stock.material import parse_material
from stock.money import Cost
from stock.offer import Basis, Offer, Yard
from stock.rack import RackPiece
from tests.benchmarks.assignment import assignment_cost
from tests.benchmarks.burdened import with_haul_limit, with_offcut_value
from tests.benchmarks.mitred import laid_square, with_mitres
from tests.benchmarks.three_yards import with_fees

FEET = (12, 16, 20, 24, 40)
METRES = ("3", "4", "6", "7.5", "12")
_UNKNOWN: Cost = 2**60


@dataclass(frozen=True)
class Grid:
    """Lengths of one unit: ticks of a step, of the sticks, of kerf and trim, and the range of parts in steps."""

    step: int
    sticks: tuple[int, ...]
    kerf: int
    trim: int
    shortest: int
    longest: int
    rack: tuple[int, int]


INCHES = Grid(
    PER_INCH // 16,
    tuple(f * 12 * PER_INCH for f in FEET),
    PER_INCH // 8,
    PER_INCH // 4,
    64,
    1_920,
    (384, 3_200),
)
MILLIMETRES = Grid(
    PER_MM,
    tuple(int(Decimal(m) * 1000) * PER_MM for m in METRES),
    3 * PER_MM,
    6 * PER_MM,
    100,
    2_900,
    (600, 5_000),
)


def random_job(seed: int, lengths: int, pieces: int, rack: int, unit: str) -> Job:
    """A job of one section: lengths drawn evenly, copies unevenly, prices per foot within 8 % of each other."""
    rng = np.random.default_rng(seed)
    grid = INCHES if unit == "in" else MILLIMETRES
    material = parse_material("tube 2 x 2 x 1/8", unit="in")
    base = float(rng.uniform(2, 5))
    offers = []
    for n, length in enumerate(grid.sticks, 1):
        per_foot = base * float(rng.uniform(0.92, 1.08))
        price = Decimal(f"{per_foot * length / (12 * PER_INCH):.2f}")
        offers.append(
            Offer(
                id=f"offer {n}",
                yard="Yard",
                material=material,
                length=length,
                longest=length,
                price=price,
                per=Basis.EACH,
            )
        )
    drawn = np.sort(rng.choice(np.arange(grid.shortest, grid.longest), lengths, replace=False))[::-1]
    shares = rng.dirichlet(np.full(lengths, 1.5))
    parts = tuple(
        Part(
            mark=f"P{n}", qty=max(1, round(share * pieces)), material=material, length=int(steps) * grid.step
        )
        for n, (steps, share) in enumerate(zip(drawn, shares, strict=True), 1)
    )
    on_hand = tuple(
        RackPiece(id=f"R{n}", material=material, length=int(rng.integers(*grid.rack)) * grid.step)
        for n in range(1, rack + 1)
    )
    return Job(
        name=f"shop {seed}",
        parts=parts,
        offers=tuple(offers),
        rack=on_hand,
        saws=(Saw(name="saw", kerf=grid.kerf, trim=grid.trim),),
        yards=(Yard(name="Yard"),),
        shop=Shop(unit="in" if unit == "in" else "mm"),
    )


def first_fit_cost(job: Job) -> Decimal:
    """Money of first fit decreasing: rack first, then sticks of the one length for which it comes cheapest."""
    (saw,) = job.saws
    longest_first = sorted((p.extent for p in job.parts for _ in range(job.copies(p))), reverse=True)
    costs = []
    for offer in job.offers:
        room = usable_length(job, offer.length, offer.clean_ends, saw)
        if longest_first[0] + saw.kerf > room:
            continue
        left = [usable_length(job, r.length, r.clean_ends, saw) for r in job.rack]
        for extent in longest_first:
            need = extent + saw.kerf
            at = next((i for i, space in enumerate(left) if space >= need), None)
            if at is None:
                left.append(room - need)
            else:
                left[at] -= need
        steel = (len(left) - len(job.rack)) * offer.unit_price()
        yard = next(y for y in job.yards if y.name == offer.yard)
        costs.append(max(steel, yard.minimum_order) + (yard.delivery or 0))
    return min(costs)


class FirstPlan:
    """Progress that notes when the first whole plan was there."""

    def __init__(self) -> None:
        self.start = time.perf_counter()
        self.seconds: float | None = None

    def begin(self, group: str, number: int, of: int, priced: bool) -> None:
        """Nothing to note."""

    def report(self, doing: str, cost: Cost | None, bound: Cost | None) -> None:
        """Note the first time that a cost is known."""
        if self.seconds is None and cost is not None and cost < _UNKNOWN:
            self.seconds = time.perf_counter() - self.start

    def interrupted(self) -> bool:
        """Never."""
        return False


@dataclass(frozen=True)
class Run:
    """One job, planned and checked."""

    seed: int
    cost: Decimal
    gap: float
    stopped: str
    seconds: float
    first: float
    greedy: Decimal
    square: Decimal | None = None
    assigned: Decimal | None = None

    def __str__(self) -> str:
        above = float(self.greedy / self.cost - 1) if self.cost else 0.0
        return (
            f"{self.seed:>6}{self.cost:>12}{self.gap:>10.4%}{self.seconds:>9.2f}{self.first:>9.2f}"
            f"{above:>12.2%}  {self.stopped}"
            + ("" if self.assigned is None else f"; assigned {float(self.assigned / self.cost - 1):+.2%}")
            + ("" if self.square is None else f"; laid square {float(self.square / self.cost - 1):+.2%}")
        )


HEADER = f"{'seed':>6}{'cost':>12}{'gap':>10}{'seconds':>9}{'first':>9}{'first fit':>12}"


def run(job: Job, seed: int, seconds: float) -> Run:
    """Plan a job and check the plan; raises ValueError if it is not sound."""
    progress = FirstPlan()
    plan = make_plan(job, Settings(time_s=seconds), progress)
    took = time.perf_counter() - progress.start
    breaches = check_plan(plan)
    if breaches:
        raise ValueError(f"seed {seed}: {'; '.join(breaches)}")
    (group,) = plan.groups
    assert plan.bound is not None
    first = took if progress.seconds is None else progress.seconds
    cost = group.cost + sum((fee for *_, fee in plan.fees), Decimal(0))
    gap = float((cost - plan.bound) / plan.bound) if plan.bound else 0.0
    return Run(seed, cost, gap, group.stopped, took, first, first_fit_cost(job))


def peak_memory_mb() -> float | None:
    """Most memory this process has used, MB; None where the system does not tell."""
    try:
        import resource
    except ImportError:  # Windows
        return None
    import sys

    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1024 * 1024 if sys.platform == "darwin" else 1024)


def summary(runs: list[Run]) -> str:
    """Median and worst gap, slowest first plan, how many are proved, peak memory."""
    gaps = [r.gap for r in runs]
    counts = {why: sum(r.stopped == why for r in runs) for why in ("proved", "finished")}
    memory = peak_memory_mb()
    return (
        f"gap median {median(gaps):.4%}, worst {max(gaps):.4%}; proved {counts['proved']} of {len(runs)}"
        f" (and {counts['finished']} but for rounding to the cent);"
        f" first plan after {max(r.first for r in runs):.2f} s at most"
        + ("" if memory is None else f"; peak memory {memory:.0f} MB")
    )


def main(arguments: list[str] | None = None) -> None:
    """Plan the jobs and print a line for each and a summary."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks.shop", description=__doc__.splitlines()[0]
    )
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--first", type=int, default=0, help="number of the first seed")
    parser.add_argument("--lengths", type=int, default=100)
    parser.add_argument("--pieces", type=int, default=2000)
    parser.add_argument("--rack", type=int, default=0)
    parser.add_argument("--time", type=float, default=10.0, help="seconds for each job")
    parser.add_argument("--unit", choices=("in", "mm"), default="in")
    parser.add_argument(
        "--mitres", action="store_true", help="parts with mitred ends, against square-cut allowances"
    )
    parser.add_argument(
        "--fees", action="store_true", help="three yards that charge for delivery and small orders"
    )
    parser.add_argument(
        "--haul", action="store_true", help="a haul limit, and yard cuts that are charged for"
    )
    parser.add_argument("--offcuts", action="store_true", help="offcuts worth keeping earn half their price")
    parser.add_argument("--compare", action="store_true", help="with a plain assignment model as well")
    asked = parser.parse_args(arguments)
    run(random_job(0, 5, 20, 1, "in"), 0, 30.0)  # compiles the kernels
    print(HEADER, flush=True)
    runs = []
    for seed in range(asked.first, asked.first + asked.seeds):
        job = random_job(seed, asked.lengths, asked.pieces, asked.rack, asked.unit)
        if asked.mitres:
            job = with_mitres(job, seed)
        if asked.fees:
            job = with_fees(job, seed)
        if asked.haul:
            job = with_haul_limit(job)
        if asked.offcuts:
            job = with_offcut_value(job)
        done = run(job, seed, asked.time)
        if asked.mitres and not (asked.fees or asked.haul or asked.offcuts):
            done = replace(done, square=run(laid_square(job), seed, asked.time).cost)
        if asked.compare:
            done = replace(done, assigned=assignment_cost(job, asked.time, done.greedy))
        runs.append(done)
        print(runs[-1], flush=True)
    print(summary(runs))


if __name__ == "__main__":
    main()

"""How the one-dimensional solver copes with many lengths and very many pieces.

    python -m tests.benchmarks.scale --lengths 1000 --pieces 100000 --time 20 [--hard] [--seeds 3]

Each seed makes an instance of its own on sticks of 12 m in whole millimetres, with copies drawn unevenly. The easy set
has lengths from 0.3 to 8 m; the hard one from 3 to 6 m only, so that three or fewer go into a stick, and first fit
decreasing wastes more than a hundredth. Every solution is verified. Told: sticks above the bound, how much more first
fit decreasing takes, seconds, and the most memory used.
"""

from __future__ import annotations

import argparse
from bisect import bisect_left, insort
from typing import Any

import numpy as np

from tests.benchmarks.bars import run
from tests.benchmarks.shop import peak_memory_mb

STICK_MM = 12_000
EASY = (300, 8_000)
HARD = (3_000, 6_000)


def random_instance(seed: int, lengths: int, pieces: int, hard: bool) -> dict[str, Any]:
    """An instance in the form that `tests.benchmarks.bars` takes."""
    rng = np.random.default_rng(seed)
    shortest, longest = HARD if hard else EASY
    drawn = rng.choice(np.arange(shortest, longest), lengths, replace=False)
    shares = rng.dirichlet(np.full(lengths, 1.5))
    copies = np.maximum(1, np.rint(shares * pieces)).astype(int)
    items = [[int(length), int(n)] for length, n in sorted(zip(drawn, copies, strict=True), reverse=True)]
    return {"name": f"scale {seed}", "capacity": STICK_MM, "items": items}


def first_fit_decreasing(instance: dict[str, Any]) -> int:
    """Sticks that first fit decreasing takes; of sticks equally full it does not matter which is the first."""
    room: dict[int, int] = {}
    free: list[int] = []
    opened = 0
    for length, demand in instance["items"]:
        left = demand
        while left:
            # best fit is first fit here but for order, and as good: both are what a person does with a list
            at = bisect_left(free, length)
            space, count = (free[at], room[free[at]]) if at < len(free) else (instance["capacity"], left)
            each = space // length
            times = min(count, max(1, left // each))
            each = min(each, left)
            if at < len(free):
                room[space] -= times
                if not room[space]:
                    del room[space]
                    free.pop(at)
            else:
                opened += times
            rest = space - each * length
            if rest not in room:
                insort(free, rest)
            room[rest] = room.get(rest, 0) + times
            left -= each * times
    return opened


def main(arguments: list[str] | None = None) -> None:
    """Solve the instances and print a line for each."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks.scale", description=__doc__.splitlines()[0]
    )
    parser.add_argument("--lengths", type=int, default=1000)
    parser.add_argument("--pieces", type=int, default=100_000)
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--hard", action="store_true")
    parser.add_argument("--time", type=float, default=20.0, help="seconds for each instance")
    asked = parser.parse_args(arguments)
    run({"name": "warm-up", "capacity": 10, "items": [[4, 3], [3, 5]]}, 60.0, 0)  # compiles the kernels
    print(f"{'seed':>6}{'sticks':>9}{'above':>7}{'first fit':>11}{'seconds':>9}{'MB':>7}")
    for seed in range(asked.seeds):
        instance = random_instance(seed, asked.lengths, asked.pieces, asked.hard)
        done = run(instance, asked.time, 0)
        greedy = first_fit_decreasing(instance) / done.count - 1.0
        memory = peak_memory_mb() or 0.0
        print(
            f"{seed:>6}{done.count:>9}{done.gap:>7}{greedy:>11.2%}{done.seconds:>9.1f}{memory:>7.0f}",
            flush=True,
        )


if __name__ == "__main__":
    main()

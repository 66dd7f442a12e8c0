"""How many sticks the one-dimensional solver needs on open instances, and how often it proves it.

    python -m tests.benchmarks.bars FILE... --time S --seed N --solutions OUT.json

A file is a list of {"name", "capacity", "items": [[length, demand], ...], "lb", "ub"}; lb and ub are the best
published bounds on the number of sticks. Every solution is verified here, by arithmetic of its own.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from statistics import mean
from typing import Any

from nesting.bars.problem import Item, Problem, Source, Stock
from nesting.bars.solve import Answer, solve
from nesting.progress import Budget, Silent

STICK = 10_000
"""Cost of a stick, ten-thousandths."""


@dataclass(frozen=True)
class Run:
    """One instance, solved and verified.

    Parameters
    ----------
    published
        Best published lower bound, or None.
    layouts
        (times, ((length, count), ...)).
    """

    name: str
    published: int | None
    bound: int
    count: int
    seconds: float
    layouts: list[tuple[int, list[tuple[int, int]]]]

    @property
    def is_proved(self) -> bool:
        """Whether the bound is reached."""
        return self.count <= self.bound

    @property
    def gap(self) -> int:
        """Sticks above the better of the own and the published bound."""
        return self.count - max(self.bound, self.published or 0)

    def plain(self) -> dict[str, Any]:
        """For the file of solutions."""
        return {
            "name": self.name,
            "bound": self.bound,
            "count": self.count,
            "proved": self.is_proved,
            "seconds": round(self.seconds, 3),
            "layouts": [{"times": times, "pieces": pieces} for times, pieces in self.layouts],
        }


def run(instance: dict[str, Any], seconds: float, seed: int) -> Run:
    """Solve an instance and verify what comes back; raises ValueError if it is wrong."""
    problem = _problem(instance)
    start = time.perf_counter()
    answer = solve(problem, Budget(seconds, None, Silent()), seed)
    took = time.perf_counter() - start
    layouts = _layouts(problem, answer)
    done = Run(
        instance["name"],
        instance.get("lb"),
        -(-answer.searched // STICK),
        sum(times for times, _ in layouts),
        took,
        layouts,
    )
    wrong = wrongs(instance, done)
    if wrong:
        raise ValueError(f"{instance['name']}: {'; '.join(wrong)}")
    return done


def wrongs(instance: dict[str, Any], done: Run) -> list[str]:
    """What is wrong with a solution of an instance, from its plain numbers alone; empty if nothing is."""
    found = []
    made: Counter[int] = Counter()
    for times, pieces in done.layouts:
        used = sum(length * count for length, count in pieces)
        if times < 1 or used > instance["capacity"]:
            found.append(f"a stick cut {times} times holds {used} of {instance['capacity']}")
        for length, count in pieces:
            made[length] += times * count
    asked: Counter[int] = Counter()
    for length, demand in instance["items"]:
        asked[length] += demand
    if made != asked:
        found.append("the pieces made are not the pieces asked for")
    if done.count != sum(times for times, _ in done.layouts):
        found.append("the count is not that of the layouts")
    if done.bound > done.count:
        found.append(f"the bound {done.bound} is above the count {done.count}")
    for key, is_wrong in (
        ("lb", done.count < (done.published or 0)),
        ("ub", done.bound > instance.get("ub", done.bound)),
    ):
        if is_wrong:
            found.append(
                f"count {done.count} and bound {done.bound} contradict the published {key} {instance[key]}"
            )
    return found


def _problem(instance: dict[str, Any]) -> Problem:
    demands: Counter[int] = Counter()
    for length, demand in instance["items"]:
        demands[length] += demand
    items = tuple(Item(length=w, demand=d) for w, d in sorted(demands.items(), reverse=True))
    room = instance["capacity"]
    stock = Stock(source=0, length=room, kerf=0, capacity=room, cost=STICK, items=tuple(range(len(items))))
    return Problem(items, (Source(),), (stock,))


def _layouts(problem: Problem, answer: Answer) -> list[tuple[int, list[tuple[int, int]]]]:
    return [
        (times, [(problem.items[i].length, n) for i, n in pattern.counts])
        for pattern, times in sorted(answer.solution.items())
    ]


def table(classes: dict[str, list[Run]]) -> str:
    """One line a class: instances, proved, mean seconds, worst gap in sticks."""
    lines = [f"{'class':<20}{'instances':>10}{'proved':>8}{'seconds':>9}{'worst gap':>11}"]
    for name, runs in classes.items():
        proved, gap = sum(r.is_proved for r in runs), max(r.gap for r in runs)
        lines.append(f"{name:<20}{len(runs):>10}{proved:>8}{mean(r.seconds for r in runs):>9.2f}{gap:>11}")
    return "\n".join(lines)


def main(arguments: list[str] | None = None) -> None:
    """Run the files and print the table."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks.bars", description=__doc__.splitlines()[0]
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument("--time", type=float, default=10.0, help="seconds for each instance")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--solutions", type=Path, metavar="OUT.json")
    parser.add_argument("--most", type=int, help="only so many instances of each file")
    asked = parser.parse_args(arguments)
    run({"name": "warm-up", "capacity": 10, "items": [[4, 3], [3, 5]]}, 60.0, 0)  # compiles the kernels
    classes: dict[str, list[Run]] = {}
    for file in asked.files:
        instances = json.loads(file.read_text(encoding="utf-8"))[: asked.most]
        classes[file.stem] = [run(i, asked.time, asked.seed) for i in instances]
    print(table(classes))
    if asked.solutions:
        plain = [r.plain() for runs in classes.values() for r in runs]
        asked.solutions.write_text(json.dumps(plain), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

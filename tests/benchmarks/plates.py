"""What the two-dimensional solver pays on open instances, how far that is from its bound, and how high strips get.

    python -m tests.benchmarks.plates FILE... --turn none|quarter --cut free|guillotine --time S --seed N
        --solutions OUT.json

A file is a list of one of three forms: {"name", "bins": [{"w", "h", "cost", "limit"}], "items": [[w, h, demand]]},
least cost of sheets; {"name", "W", "items": [[w, h, demand]]}, least height of a strip; {"name", "W", "H", "items":
[[w, h, limit, value]]}, most value from one sheet. Every layout is verified here, by arithmetic of its own.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from statistics import mean
from typing import Any

from nesting.plates.problem import Cutting, RectItem, RectProblem, SheetKind, Turn
from nesting.plates.solve import solve
from nesting.progress import Budget, Silent
from tests.benchmarks.plates_one_sheet import least_height, most_value
from tests.benchmarks.plates_verify import Lying, miscounted, wrongs


@dataclass(frozen=True)
class Rules:
    """How pieces may lie and be cut."""

    turn: bool = False
    straight: bool = False

    @property
    def cutting(self) -> Cutting:
        """For the solver."""
        return Cutting.GUILLOTINE if self.straight else Cutting.FREE


@dataclass(frozen=True)
class Run:
    """One instance, solved and verified.

    Parameters
    ----------
    cost
        Of all sheets; of a strip its height, of one sheet its value.
    bound
        No plan costs less; None for the value of one sheet.
    known
        The best published figure of a strip or of one sheet, if there is one.
    sheets
        (bin, pieces).
    """

    name: str
    cost: int
    bound: int | None
    seconds: float
    known: int | None = None
    sheets: list[tuple[int, list[Lying]]] = field(default_factory=list)

    @property
    def gap(self) -> float:
        """Per cent above the bound, or above the published height if there is one; 0 where neither is."""
        least = self.known or self.bound
        return 100.0 * (self.cost / least - 1.0) if least else 0.0

    def plain(self) -> dict[str, Any]:
        """For the file of solutions."""
        return {
            "name": self.name,
            "cost": self.cost,
            "bound": self.bound,
            "seconds": round(self.seconds, 3),
            "sheets": [{"bin": kind, "pieces": pieces} for kind, pieces in self.sheets],
        }


def run(instance: dict[str, Any], rules: Rules, seconds: float, seed: int) -> Run:
    """Solve an instance and verify what comes back; raises ValueError if it is wrong."""
    start = time.perf_counter()
    budget = Budget(seconds, None, Silent())
    if "bins" in instance:
        cost, bound, sheets = _bins(instance, rules, budget, seed)
        sizes, known = [(b["w"], b["h"]) for b in instance["bins"]], None
    elif "H" in instance:
        cost, bound, sheets = _value(instance, rules, budget, seed)
        sizes, known = [(instance["W"], instance["H"])], None
    else:
        cost, bound, sheets = _strip(instance, rules, budget, seed)
        sizes, known = [(instance["W"], cost)], instance.get("opt")
    took = time.perf_counter() - start
    done = Run(instance["name"], cost, bound, took, known, sheets)
    wrong = _wrongs(instance, done, rules, sizes)
    if wrong:
        raise ValueError(f"{instance['name']}: {'; '.join(wrong)}")
    return done


def _wrongs(instance: dict[str, Any], done: Run, rules: Rules, sizes: list[tuple[int, int]]) -> list[str]:
    items = [(i[0], i[1]) for i in instance["items"]]
    found = []
    for kind, pieces in done.sheets:
        found += wrongs(sizes[kind], items, pieces, rules.turn, rules.straight)
    made = Counter(p[0] for _, pieces in done.sheets for p in pieces)
    if "H" in instance:
        value = sum(made[i] * item[3] for i, item in enumerate(instance["items"]))
        if value != done.cost:
            found.append(f"the pieces are worth {value}, not {done.cost}")
        found += [
            f"item {i} is cut {made[i]} times"
            for i, item in enumerate(instance["items"])
            if item[2] is not None and made[i] > item[2]
        ]
        return found
    found += miscounted(made, instance["items"])
    if done.bound is not None and done.bound > done.cost:
        found.append(f"the bound {done.bound} is above the cost {done.cost}")
    if "bins" in instance:
        used = Counter(kind for kind, _ in done.sheets)
        if sum(n * instance["bins"][k]["cost"] for k, n in used.items()) != done.cost:
            found.append("the cost is not that of the sheets")
        for kind, number in used.items():
            limit = instance["bins"][kind]["limit"]
            if limit is not None and number > limit:
                found.append(f"{number} sheets of size {kind}, {limit} there are")
    return found


Result = tuple[int, int | None, list[tuple[int, list[Lying]]]]


def _bins(instance: dict[str, Any], rules: Rules, budget: Budget, seed: int) -> Result:
    turn = Turn.QUARTER if rules.turn else Turn.NONE
    items = tuple(RectItem(width=w, height=h, demand=d, turn=turn) for w, h, d in instance["items"])
    every = tuple(range(len(items)))
    kinds = tuple(
        SheetKind(
            width=b["w"],
            height=b["h"],
            cost=b["cost"],
            source=n,
            cutting=rules.cutting,
            items=every,
        )
        for n, b in enumerate(instance["bins"])
    )
    limits = tuple(b["limit"] for b in instance["bins"])
    answer = solve(RectProblem(items, kinds, limits), budget, seed)
    sheets = [(s.kind, [(p.item, p.x, p.y, p.width, p.height) for p in s.pieces]) for s in answer.layouts]
    return answer.cost, answer.bound, sheets


def _strip(instance: dict[str, Any], rules: Rules, budget: Budget, seed: int) -> Result:
    items = [(w, h, d) for w, h, d in instance["items"]]
    height, bound, pieces = least_height(instance["W"], items, rules.turn, rules.cutting, budget, seed)
    return height, bound, [(0, pieces)]


def _value(instance: dict[str, Any], rules: Rules, budget: Budget, seed: int) -> Result:
    items = [(w, h, limit, value) for w, h, limit, value in instance["items"]]
    size = instance["W"], instance["H"]
    value, pieces = most_value(size, items, rules.turn, rules.cutting, budget, seed)
    return value, None, [(0, pieces)]


def table(classes: dict[str, list[Run]]) -> str:
    """One line a file: instances, sum of costs and bounds, proved, mean gap and seconds."""
    lines = [f"{'file':<14}{'instances':>10}{'cost':>12}{'bound':>12}{'proved':>8}{'gap %':>8}{'seconds':>9}"]
    for name, runs in classes.items():
        cost, bound = sum(r.cost for r in runs), sum(r.bound or 0 for r in runs)
        proved = sum(r.cost == r.bound for r in runs)
        gap, seconds = mean(r.gap for r in runs), mean(r.seconds for r in runs)
        lines.append(f"{name:<14}{len(runs):>10}{cost:>12}{bound:>12}{proved:>8}{gap:>8.2f}{seconds:>9.2f}")
    return "\n".join(lines)


def main(arguments: list[str] | None = None) -> None:
    """Run the files and print the table."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks.plates", description=__doc__.splitlines()[0]
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
    parser.add_argument("--turn", choices=("none", "quarter"), default="none")
    parser.add_argument("--cut", choices=("free", "guillotine"), default="free")
    parser.add_argument("--time", type=float, default=2.0, help="seconds for each instance")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--solutions", type=Path, metavar="OUT.json")
    parser.add_argument("--every", type=int, default=1, help="only every so many-th instance of each file")
    asked = parser.parse_args(arguments)
    rules = Rules(asked.turn == "quarter", asked.cut == "guillotine")
    # compiles the kernels
    sheet = {"w": 10, "h": 10, "cost": 1, "limit": None}
    warm = {"name": "warm-up", "items": [[6, 6, 3], [5, 3, 4]], "bins": [sheet, sheet | {"h": 9}]}
    run(warm, rules, 5.0, 0)
    classes: dict[str, list[Run]] = {}
    for file in asked.files:
        instances = json.loads(file.read_text(encoding="utf-8"))[:: asked.every]
        classes[file.stem] = [run(i, rules, asked.time, asked.seed) for i in instances]
    print(table(classes))
    if asked.solutions:
        plain = [r.plain() for runs in classes.values() for r in runs]
        asked.solutions.write_text(json.dumps(plain), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

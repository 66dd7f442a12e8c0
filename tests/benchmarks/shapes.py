"""How densely the solver of irregular outlines fills open strips.

    python -m tests.benchmarks.shapes FILE... --time S --seed N --solutions OUT.json

A file is {"name", "strip_height", "items": [{"demand", "allowed_rotations": [degrees], "polygon": [[x, y], ...]}]}:
least length of a strip of that height. Density is the area of all items over that of the strip. Layouts are verified
here with a general geometry library (shapely): no two items share more than a millionth of the smaller one, none leaves
the strip.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shapely import STRtree
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

from nesting.irregular.strip import Kind, Placed, Strip
from nesting.progress import Budget, Silent

_SHARED = 1e-6
"""The share of the smaller item that two may have in common: what doubles leave of a touch."""


@dataclass(frozen=True)
class Run:
    """One strip, filled and verified."""

    name: str
    length: float
    density: float
    seconds: float
    pieces: list[Placed]

    def plain(self) -> dict[str, Any]:
        """For the file of solutions."""
        return {
            "name": self.name,
            "length": self.length,
            "density": self.density,
            "seconds": round(self.seconds, 3),
            "pieces": [[p.kind, p.degrees, p.x, p.y] for p in self.pieces],
        }


def run(instance: dict[str, Any], seconds: float, seed: int) -> Run:
    """Fill a strip and verify it; raises ValueError if the layout is wrong."""
    start = time.perf_counter()
    kinds = [
        Kind(tuple((x, y) for x, y in item["polygon"]), item["demand"], tuple(item["allowed_rotations"]))
        for item in instance["items"]
    ]
    strip = Strip(kinds, instance["strip_height"])
    length, pieces = strip.solve(Budget(seconds, None, Silent()), seed)
    took = time.perf_counter() - start
    if wrong := wrongs(instance, length, pieces):
        raise ValueError(f"{instance['name']}: {'; '.join(wrong)}")
    return Run(instance["name"], length, strip.area / (length * strip.height), took, pieces)


def wrongs(instance: dict[str, Any], length: float, pieces: list[Placed]) -> list[str]:
    """What is wrong with a layout, a sentence each."""
    found = []
    made = Counter(piece.kind for piece in pieces)
    for number, item in enumerate(instance["items"]):
        if made[number] != item["demand"]:
            found.append(f"item {number} lies there {made[number]} times, not {item['demand']}")
    lying = []
    for piece in pieces:
        item = instance["items"][piece.kind]
        if piece.degrees not in item["allowed_rotations"]:
            found.append(f"item {piece.kind} is turned by {piece.degrees}")
        turned = rotate(Polygon(item["polygon"]), piece.degrees, origin=(0, 0))
        lying.append(translate(turned, piece.x, piece.y))
    room = 1e-9 * max(length, instance["strip_height"])
    for piece, solid in zip(pieces, lying, strict=True):
        x0, y0, x1, y1 = solid.bounds
        if min(x0, y0) < -room or x1 > length + room or y1 > instance["strip_height"] + room:
            found.append(f"item {piece.kind} leaves the strip")
    for a, b in STRtree(lying).query(lying).T:
        if a < b:
            shared = lying[a].intersection(lying[b]).area
            if shared > _SHARED * min(lying[a].area, lying[b].area):
                found.append(f"items {pieces[a].kind} and {pieces[b].kind} share {shared:g}")
    return found


def main(arguments: list[str] | None = None) -> None:
    """Fill every strip of the files and print a line each."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--time", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--solutions", type=Path)
    asked = parser.parse_args(arguments)
    print(f"{'strip':<12}{'items':>6}{'length':>14}{'density':>10}{'seconds':>9}")
    runs = []
    for file in asked.files:
        read = json.loads(file.read_text(encoding="utf-8"))
        for instance in read if isinstance(read, list) else [read]:
            done = run(instance, asked.time, asked.seed)
            runs.append(done)
            print(
                f"{done.name:<12}{len(done.pieces):>6}{done.length:>14.4f}{done.density:>10.2%}{done.seconds:>9.1f}",
                flush=True,
            )
    if asked.solutions:
        asked.solutions.write_text(json.dumps([done.plain() for done in runs]), encoding="utf-8")


if __name__ == "__main__":
    main()

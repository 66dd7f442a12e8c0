"""Many commands at once: a worker that books, returns and unbooks for a while, and the sums over all of them.

python -m tests.stock.rack.crowd LEDGER SECONDS SEED      # one worker; prints what it did
"""

from __future__ import annotations

import json
import random
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

from stock.errors import RackRefused
from stock.length import PER_INCH
from stock.rack.acts import Offcut, put, return_offcuts
from stock.rack.booking import Use, book, traced, unbook
from stock.rack.ledger import Ledger
from stock.rack.verify import verify
from tests.stock.rack.pieces import EVERY, bar, standings

LENGTH = 200
"""Inches of every bar, so that all are equally wanted."""


def work(file: Path, seconds: float, seed: int) -> dict[str, Any]:
    """Book two bars and an ordered one, again and again; then unbook them, or give back half of a bar each.

    Returns
    -------
    dict[str, Any]
        How each piece that this worker had to do with must stand; how often another one was faster.
    """
    chance, end = random.Random(seed), time.monotonic() + seconds
    stands: dict[str, str] = {}
    booked = late = 0
    with Ledger(file, wait_s=60) as ledger:
        while time.monotonic() < end:
            version, pieces_here = ledger.shelf()
            shelf = [piece for piece in pieces_here if piece.length >= PER_INCH]
            if not shelf:
                put(ledger, [bar(LENGTH)] * 4)
                continue
            chosen = chance.sample(shelf, min(2, len(shelf)))
            uses = [
                Use(kind="stick", number=at, takes=piece, marks=(("A", 1),))
                for at, piece in enumerate(chosen)
            ]
            uses.append(Use(kind="stick", number=9, orders=bar(LENGTH), marks=(("B", 1),)))
            plan = f"{seed}-{booked}-{late}"
            try:
                pieces = book(ledger, plan, plan, version, uses).pieces
            except RackRefused:
                late += 1
                continue
            booked += 1
            if chance.random() < 0.4:
                unbook(ledger, plan)
                stands[pieces["stick", 9]] = "void"
                continue
            halves = [Offcut(parent=piece.id, length=piece.length // 2) for piece in chosen]
            return_offcuts(ledger, halves)
            stands |= dict.fromkeys((piece.id for piece in chosen), "taken") | {pieces["stick", 9]: "ordered"}
    return {"stands": stands, "booked": booked, "late": late}


def crowd(file: Path, workers: int, seconds: float) -> Counter[str]:
    """Let workers loose on a new ledger and hold what is left against what they did.

    Returns
    -------
    Counter[str]
        Bookings, refusals, pieces.
    """
    with Ledger(file, create=True) as ledger:
        put(ledger, [bar(LENGTH)] * 40)
    command = [sys.executable, "-m", "tests.stock.rack.crowd", str(file), str(seconds)]
    running = [
        subprocess.Popen([*command, str(seed)], stdout=subprocess.PIPE, text=True, encoding="utf-8")
        for seed in range(workers)
    ]
    said = [process.communicate(timeout=seconds + 60)[0] for process in running]
    assert [process.returncode for process in running] == [0] * workers
    done = [json.loads(text) for text in said]
    with Ledger(file) as ledger:
        held = ledger.held(EVERY)
        found = standings(held)
        assert verify(ledger).faults == ()
        cut = [row.piece for row in traced(ledger)]
    must: dict[str, str] = {}
    for one in done:
        assert must.keys() & one["stands"].keys() == set(), "a piece was used by two"
        must |= one["stands"]
    assert {name: found[name] for name in must} == must
    assert {name for name in found if name not in must and found[name] != "on hand"} == set()
    assert sorted(cut) == sorted(name for name, stands in must.items() if stands in ("taken", "ordered"))
    halves = [piece for piece in held if piece.parent]
    assert len(halves) == sum(stands == "taken" for stands in must.values())
    assert all(2 * piece.state.length <= LENGTH * PER_INCH for piece in halves)
    return Counter(
        booked=sum(one["booked"] for one in done), late=sum(one["late"] for one in done), pieces=len(held)
    )


if __name__ == "__main__":
    print(json.dumps(work(Path(sys.argv[1]), float(sys.argv[2]), int(sys.argv[3]))))

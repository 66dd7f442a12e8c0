"""The rack ledger at length: commands killed on the way, many at once, and 100,000 events.

    python -m tests.benchmarks.rack --points --kills 1100 --seed 0 --seconds 60 --events 100000

--points: killed, and on a full disk, at every point at which every command writes. --kills: workers that book and
return at the same time are killed at random moments and begun again, so many times; every command that said it was
done must be there, and none half.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import signal
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from stock.errors import RackRefused
from stock.length import PER_INCH
from stock.material import parse_material
from stock.rack.acts import Offcut, put, return_offcuts, take
from stock.rack.booking import Use, book
from stock.rack.ledger import Ledger
from stock.rack.record import NewPiece
from stock.rack.verify import verify
from tests.stock.rack.crowd import crowd
from tests.stock.rack.kills import Trials, every
from tests.stock.rack.pieces import EVERY, bar, standings


def main() -> None:
    """Run what is asked for and print what was measured."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--points", action="store_true")
    parser.add_argument("--kills", type=int, default=0)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--seconds", type=float, default=0)
    parser.add_argument("--events", type=int, default=0)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        if asked.points:
            killed_everywhere(place)
        if asked.kills:
            print(
                "at random moments:",
                killed_under_load(place / "load.sqlite", asked.kills, asked.seed),
                flush=True,
            )
        if asked.seconds:
            print("eight at once:", dict(crowd(place / "crowd.sqlite", 8, asked.seconds)), flush=True)
        if asked.events:
            large(place / "large.sqlite", asked.events)


def killed_everywhere(folder: Path) -> None:
    """Kill, and fill the disk, at each write point of each command."""
    trials = Trials(folder)
    for name, at in every(trials):
        trials.kill(name, at)
        trials.fill(name, at)
    print(f"each point of each command: {trials.counts}", flush=True)


def killed_under_load(file: Path, kills: int, seed: int) -> dict[str, int]:
    """Four workers at a time; one of them is killed every few hundredths of a second and begun again."""
    chance, reports = random.Random(seed), file.with_name("reports")
    reports.mkdir()
    with Ledger(file, create=True) as ledger:
        put(ledger, [bar(200)] * 40)
    running = [_worker(file, reports / str(number), number) for number in range(4)]
    for number in range(4, kills + 4):
        time.sleep(chance.uniform(0, 0.06))
        victim = running.pop(chance.randrange(4))
        os.kill(victim, signal.SIGKILL)
        os.waitpid(victim, 0)
        running.append(_worker(file, reports / str(number), number))
        if number % 200 == 0:
            with Ledger(file) as ledger:
                assert verify(ledger).faults == ()
    for victim in running:
        os.kill(victim, signal.SIGKILL)
        os.waitpid(victim, 0)
    with Ledger(file) as ledger:
        found = verify(ledger)
        stands = standings(ledger.held(EVERY))
    assert found.faults == ()
    said = [json.loads(line) for path in reports.iterdir() for line in path.read_text("utf-8").splitlines()]
    for name, standing in (item for line in said for item in line.items()):
        assert stands[name] == standing, f"{name} was said to be {standing} and is {stands[name]}"
    return {"kills": kills, "said": len(said), "actions": found.actions, "pieces": found.pieces}


def _worker(file: Path, report: Path, number: int) -> int:
    """A process that takes, gives back and tells each command once it is done; returns its process number."""
    child = os.fork()
    if child:
        return child
    chance, parent = random.Random(number), os.getppid()
    with report.open("w", encoding="utf-8", newline="\n", buffering=1) as told:
        while os.getppid() == parent:
            try:
                with Ledger(file, wait_s=60) as ledger:
                    _one_round(ledger, chance, f"{number}-{time.monotonic_ns()}", told)
            except RackRefused:  # another worker was faster
                continue
            except BaseException as error:
                print(f"worker {number}: {error!r}", flush=True)
                os._exit(1)
    os._exit(0)


def _one_round(ledger: Ledger, chance: random.Random, plan: str, told: Any) -> None:
    version, here = ledger.shelf()
    shelf = [piece for piece in here if piece.length > PER_INCH]
    if len(shelf) < 8:
        put(ledger, [bar(200)] * 8)
        return
    piece = chance.choice(shelf)
    uses = [Use(kind="stick", number=1, takes=piece), Use(kind="stick", number=2, orders=bar(100))]
    ordered = book(ledger, plan, plan, version, uses).pieces["stick", 2]
    told.write(json.dumps({piece.id: "taken", ordered: "ordered"}) + "\n")
    return_offcuts(ledger, [Offcut(parent=piece.id, length=piece.length // 2)])


def large(file: Path, events: int) -> None:
    """A ledger of many events, a fifth as many pieces: how long reading, booking and verifying take."""
    sections = [parse_material(f"tube {n} x {n} x 1/8", unit="in", grade="A500") for n in (1, 2, 3, 4)]
    with Ledger(file, create=True) as ledger:
        begin = time.perf_counter()
        pieces = events // 5
        for at in range(0, pieces, 1000):
            new = [
                NewPiece(
                    material=sections[n % 4], unit="in", length=(24 + n % 200) * PER_INCH, heat=f"H{n % 97}"
                )
                for n in range(at, at + 1000)
            ]
            ids = put(ledger, new).ids
            for turn in range(4):
                _move(ledger, ids, f"bay {turn}")
        print(f"built in {time.perf_counter() - begin:.1f} s: {verify_counts(ledger)}", flush=True)

    def opened(act: Callable[[Ledger], object]) -> object:
        with Ledger(file) as ledger:
            return act(ledger)

    _timed("list", lambda: opened(lambda ledger: ledger.held()))
    _timed("what a plan reads", lambda: opened(lambda ledger: ledger.shelf()))
    version, shelf = opened(lambda ledger: ledger.shelf())  # type: ignore[misc]
    uses = [Use(kind="stick", number=n, takes=shelf[n * 7], marks=(("A", 2), ("B", 1))) for n in range(50)]
    uses += [Use(kind="stick", number=50 + n, orders=bar(240), marks=(("A", 3),)) for n in range(50)]
    opened(lambda ledger: take(ledger, [shelf[-1].id]))  # the copy of the day is made
    _timed("book 50 taken, 50 ordered", lambda: opened(lambda ledger: book(ledger, "p", "p", version, uses)))
    _timed("verify", lambda: opened(verify))


def _move(ledger: Ledger, ids: tuple[str, ...], place: str) -> None:
    from stock.rack.acts import move

    move(ledger, ids, place)


def verify_counts(ledger: Ledger) -> str:
    """How many actions, events and pieces there are, all of them sound."""
    found = verify(ledger)
    assert found.faults == ()
    return f"{found.actions} actions, {found.events} events, {found.pieces} pieces"


def _timed(what: str, act: Callable[[], object]) -> None:
    clock, cpu = time.perf_counter(), time.process_time()
    act()
    print(
        f"{what}: {time.perf_counter() - clock:.3f} s, {time.process_time() - cpu:.3f} s of CPU", flush=True
    )


if __name__ == "__main__":
    main()

"""Commands killed, or met by a full disk, at every point where they write: run as a program of its own.

    python -m tests.stock.rack.kills SAMPLE SEED

Each trial is a process that is forked, does one command on a fresh copy of a ledger, and dies on the way. What is left
must verify, and must be as before the command or as after it, nothing in between. SAMPLE 0: every point of every
command.
"""

from __future__ import annotations

import os
import random
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import nullcontext
from pathlib import Path

from stock.errors import RackTrouble
from stock.rack.ledger import Ledger
from stock.rack.verify import verify
from tests.stock.rack import faults
from tests.stock.rack.scenes import ACTS, carry_out, is_renewed, newer, prepare, whole_state

NAMES = ("begin", "restore", "renew", *ACTS)
_REFUSED = 7


class Trials:
    """Trials on copies of one prepared ledger."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.counts = {"killed": 0, "full": 0}
        self.before: dict[str, object] = {}
        self.after: dict[str, object] = {}
        self.points: dict[str, int] = {}
        (folder / "base").mkdir()
        prepare(folder / "base" / "rack.sqlite")
        for name in NAMES:
            self._rehearse(name)

    def kill(self, name: str, at: int) -> None:
        """One command killed at a point."""
        file = self._fresh(name)
        status = _forked(lambda: (faults.kill_at(at), carry_out(name, file)))
        assert os.WIFSIGNALED(status), f"{name} was not killed at point {at}"
        self.counts["killed"] += 1
        self._judge(name, at, file)

    def fill(self, name: str, at: int) -> None:
        """One command on a disk that is full from a point on."""
        file = self._fresh(name)
        status = _forked(lambda: (faults.full_from(at), _expecting_trouble(name, file)))
        assert os.WIFEXITED(status), f"{name} did not end by itself on a disk full from point {at}"
        assert os.WEXITSTATUS(status) in (0, _REFUSED), f"{name} broke on a disk full from point {at}"
        self.counts["full"] += 1
        self._judge(name, at, file)

    def _rehearse(self, name: str) -> None:
        """What a command leaves when nothing goes wrong, and at how many points it writes."""
        file = self._fresh(name)
        self.before[name] = whole_state(file)
        told = self.folder / "points"

        def act() -> None:
            points = faults.kill_at(0)
            carry_out(name, file)
            count = points()
            told.write_text(str(count), encoding="utf-8", newline="\n")

        assert os.waitstatus_to_exitcode(_forked(act)) == 0, f"{name} fails even undisturbed"
        self.points[name] = int(told.read_text(encoding="utf-8"))
        with newer() if name == "renew" else nullcontext():
            self.after[name] = whole_state(file)

    def _fresh(self, name: str) -> Path:
        place = self.folder / "trial"
        shutil.rmtree(place, ignore_errors=True)
        if name == "begin":
            return place / "rack.sqlite"
        shutil.copytree(self.folder / "base", place)
        if name == "restore":
            with Ledger(place / "rack.sqlite") as ledger:
                ACTS["move"](ledger)  # the first command of the day makes a copy of what was before
        return place / "rack.sqlite"

    def _judge(self, name: str, at: int, file: Path) -> None:
        with newer() if name == "renew" and is_renewed(file) else nullcontext():
            self._compare(name, at, file)

    def _compare(self, name: str, at: int, file: Path) -> None:
        state = whole_state(file)
        assert state in (self.before[name], self.after[name]), (
            f"{name} at point {at} left something in between"
        )
        if state is not None:
            with Ledger(file) as ledger:
                assert verify(ledger).faults == (), f"{name} at point {at}"


def _expecting_trouble(name: str, file: Path) -> None:
    try:
        carry_out(name, file)
    except RackTrouble:
        os._exit(_REFUSED)


def _forked(act: Callable[[], object]) -> int:
    """The wait status of a process that does this and nothing else."""
    child = os.fork()
    if child:
        return os.waitpid(child, 0)[1]
    try:
        act()
    except BaseException as error:
        print(f"{type(error).__name__}: {error}", file=sys.stderr, flush=True)
        os._exit(1)
    os._exit(0)


def every(trials: Trials) -> Iterator[tuple[str, int]]:
    """Every point of every command."""
    return ((name, at) for name in NAMES for at in range(1, trials.points[name] + 1))


def main(sample: int, seed: int) -> None:
    """Do the trials and print how many there were; an assertion that fails ends it."""
    with tempfile.TemporaryDirectory() as folder:
        trials = Trials(Path(folder))
        chosen = list(every(trials))
        if sample:
            chosen = random.Random(seed).sample(chosen, sample)
        for name, at in chosen:
            trials.kill(name, at)
        for name, at in chosen if not sample else chosen[: sample // 2]:
            trials.fill(name, at)
        print(f"{trials.counts['killed']} killed, {trials.counts['full']} on a full disk, of {trials.points}")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))

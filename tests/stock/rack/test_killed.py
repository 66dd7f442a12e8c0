"""Commands that are killed leave all of themselves or nothing; many commands at once use no piece twice."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

import pytest

from tests.stock.rack.crowd import crowd
from tests.stock.rack.faults import can_fail

ROOT = Path(__file__).parents[3]


@pytest.mark.skipif(not can_fail(), reason="this SQLite hides its calls to the system")
def test_a_command_killed_at_any_write_or_on_a_full_disk_is_whole_or_not_there() -> None:
    words = [sys.executable, "-m", "tests.stock.rack.kills", "20", str(random.randrange(10**6))]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False)
    assert (done.returncode, done.stderr) == (0, ""), (words, done.stderr)
    assert done.stdout.startswith("20 killed, 10 on a full disk")


def test_eight_commands_at_once_lose_nothing_and_use_no_piece_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    done = crowd(tmp_path / "rack.sqlite", workers=8, seconds=5)
    assert done["booked"] > 0

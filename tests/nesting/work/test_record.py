"""The record of work: entries are added whole, never changed, and two commands at once lose nothing."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from nesting.findings import OutputError
from nesting.work.record import Entry, add_entry, read_record
from nesting.write.folder import RECORD
from tests.nesting.made import inch_plan


def test_entries_come_back_as_they_were_written(tmp_path: Path) -> None:
    first, second = Entry(need=(("A1", 2),)), Entry(bought=("North Yard",), kerf=(("chop saw", 2**50),))
    add_entry(tmp_path, inch_plan(), first, 0)
    add_entry(tmp_path, inch_plan(), second, 1)
    assert [(each.number, each.entry) for each in read_record(tmp_path)] == [(1, first), (2, second)]


def test_an_entry_that_does_not_know_the_last_one_is_not_written(tmp_path: Path) -> None:
    """Two commands read the record, and both write: the second is told to look again."""
    add_entry(tmp_path, inch_plan(), Entry(need=(("A1", 1),)), 0)
    with pytest.raises(OutputError, match="written by another command meanwhile"):
        add_entry(tmp_path, inch_plan(), Entry(need=(("A1", 1),)), 0)
    assert len(read_record(tmp_path)) == 1


@pytest.mark.parametrize("change", ["UPDATE entry SET body = '{}'", "DELETE FROM entry"])
def test_entries_are_never_changed(tmp_path: Path, change: str) -> None:
    add_entry(tmp_path, inch_plan(), Entry(need=(("A1", 1),)), 0)
    record = sqlite3.connect(tmp_path / RECORD)
    with pytest.raises(sqlite3.IntegrityError, match="only added"):
        record.execute(change)
    record.close()


@pytest.mark.skipif(sys.platform == "win32", reason="kills by a signal of POSIX")
def test_a_killed_command_leaves_all_or_nothing_of_its_entry(tmp_path: Path) -> None:
    """One process adds entries as fast as it can and is killed at some moment: what stands is whole, and goes on."""
    program = (
        "import sys, pathlib\n"
        "from nesting.work.record import Entry, add_entry, read_record\n"
        "from tests.nesting.made import inch_plan\n"
        "plan, folder = inch_plan(), pathlib.Path(sys.argv[1])\n"
        "print('ready', flush=True)\n"
        "while True: add_entry(folder, plan, Entry(need=(('A1', 1),)), len(read_record(folder)))\n"
    )
    for moment in (0.0, 0.05):
        child = subprocess.Popen([sys.executable, "-c", program, str(tmp_path)], stdout=subprocess.PIPE)
        assert child.stdout is not None
        assert child.stdout.readline() == b"ready\n"
        time.sleep(moment)
        os.kill(child.pid, signal.SIGKILL)
        child.wait()
        child.stdout.close()
        kept = read_record(tmp_path)
        assert [each.number for each in kept] == list(range(1, len(kept) + 1))
        add_entry(tmp_path, inch_plan(), Entry(need=(("A1", 1),)), len(kept))
        assert len(read_record(tmp_path)) == len(kept) + 1

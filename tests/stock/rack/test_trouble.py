"""A ledger file in trouble: damaged, busy, read-only, of another program, of another version, edited by hand."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from stock.errors import RackAbsent, RackBroken, RackBusy, RackRefused, RackTrouble
from stock.length import PER_INCH
from stock.rack import backup, schema, where
from stock.rack.acts import Offcut, move, put, return_offcuts, take
from stock.rack.backup import copies_of
from stock.rack.ledger import Ledger
from stock.rack.restoring import restore
from stock.rack.verify import verify
from stock.rack.where import kind_at
from tests.stock.rack.faults import can_fail
from tests.stock.rack.pieces import EVERY, bar
from tests.stock.rack.scenes import newer


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A ledger of three pieces, one of them an offcut, with a copy of the day."""
    place = tmp_path / "data" / "rack.sqlite"
    with Ledger(place, create=True) as ledger:
        (name, _) = put(ledger, [bar(100, place="bay 1", heat="H1")] * 2).ids
        take(ledger, [name])
        return_offcuts(ledger, [Offcut(parent=name, length=40 * PER_INCH)])
    return place


def by_hand(file: Path, *statements: str) -> None:
    """Change a ledger as only somebody with other tools does: past its triggers."""
    connection = sqlite3.connect(file, isolation_level=None)
    for row in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {row[0]}")
    for statement in statements:
        connection.execute(statement)
    connection.close()


@pytest.mark.skipif(os.name != "posix", reason="permissions of Unix")
def test_file_folder_and_copies_are_for_the_user_alone(file: Path) -> None:
    (copy,) = copies_of(file)
    for path, mode in ((file, 0o600), (file.parent, 0o700), (copy, 0o600), (copy.parent, 0o700)):
        assert path.stat().st_mode & 0o777 == mode


def test_the_database_itself_refuses_to_change_or_to_remove_what_was_written(file: Path) -> None:
    connection = sqlite3.connect(file)
    for table in ("action", "material", "piece", "event"):
        for statement in (
            f"DELETE FROM {table}",
            f"UPDATE {table} SET rowid = 99" if table != "piece" else "",
        ):
            if statement:
                with pytest.raises(sqlite3.IntegrityError, match="only added to"):
                    connection.execute(statement)
    connection.close()


@pytest.mark.parametrize(
    ("statement", "fault"),
    [
        ("UPDATE event SET length = length + 1 WHERE number = 1", "action 1 is not as it was written"),
        ("UPDATE action SET note = 'x' WHERE number = 2", "action 2 is not as it was written"),
        ("UPDATE piece SET origin = 'x'", "action 1 is not as it was written"),
        (
            "UPDATE event SET standing = 'scrapped' WHERE number = 3",
            "cannot be taken from on hand to scrapped",
        ),
        ("UPDATE event SET heat = 'H2' WHERE number = 4", "has another heat or certificate than 3333"),
        ("UPDATE event SET length = 99 * length WHERE number = 4", "it is larger than that piece was"),
        ("UPDATE state SET standing = 'on hand'", "3333 stands otherwise than its events say"),
        (
            "UPDATE state SET event = 99 WHERE piece = '3333'",
            "names something that the table event does not have",
        ),
        ("DELETE FROM event WHERE number = 2", "event 2 is not there"),
        ("DELETE FROM action WHERE number = 2", "action 2 is not there"),
        ("UPDATE event SET step = 3 WHERE number = 3", "3333 goes from step 1 to step 3"),
        ("UPDATE action SET undoes = 1 WHERE number = 3", "says wrongly what it undoes"),
        ("DELETE FROM state WHERE piece = '3333'", "3333 stands otherwise than its events say"),
        ("UPDATE piece SET parent = NULL WHERE parent = '3333'", "is an offcut of nothing"),
    ],
)
def test_verify_finds_what_was_changed_by_hand(file: Path, statement: str, fault: str) -> None:
    by_hand(file, "PRAGMA foreign_keys = OFF", statement)
    with Ledger(file) as ledger:
        faults = verify(ledger).faults
    assert any(fault in found for found in faults), faults


def test_a_busy_ledger_is_waited_for_and_then_told(file: Path) -> None:
    other = sqlite3.connect(file, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    with pytest.raises(RackBusy, match="busy: another command holds it; try again"), Ledger(file, wait_s=0.2):
        raise AssertionError("it opened all the same")
    other.execute("ROLLBACK")
    with Ledger(file, wait_s=0.2) as ledger:
        other.execute("BEGIN IMMEDIATE")
        assert len(ledger.held()) == 2
        with pytest.raises(RackBusy):
            put(ledger, [bar(10)])
        other.execute("ROLLBACK")
        put(ledger, [bar(10)])
    other.close()


@pytest.mark.parametrize("damage", ["head", "pages", "cut"])
def test_a_damaged_file_is_told_with_its_last_copy_which_is_put_back(file: Path, damage: str) -> None:
    with Ledger(file) as ledger:
        put(ledger, [bar(1)] * 50)
    shutil.copy2(file, copies_of(file)[0])
    with Ledger(file) as ledger:
        before = ledger.held(EVERY)
    content = bytearray(file.read_bytes())
    if damage == "head":
        content[:64] = b"x" * 64
    elif damage == "pages":
        content[4096:] = b"x" * len(content[4096:])
    else:
        del content[len(content) // 2 :]
    file.write_bytes(content)
    (copy,) = copies_of(file)
    with pytest.raises(RackBroken) as told, Ledger(file) as ledger:
        ledger.held(EVERY)
    assert f"the last copy is {copy.name}: `steelyard rack restore` puts it back" in str(told.value)
    back, kept = restore(file)
    assert back == copy
    assert kept is not None
    assert kept.exists()
    with Ledger(file) as ledger:
        assert ledger.held(EVERY) == before
        assert verify(ledger).faults == ()


def test_a_copy_is_put_back_over_a_sound_file_and_what_stood_there_is_kept(file: Path) -> None:
    with Ledger(file) as ledger:
        put(ledger, [bar(1)])
        now = ledger.held(EVERY)
    (copy,) = copies_of(file)
    _, kept = restore(file, copy.name)
    with Ledger(file) as ledger:
        assert len(ledger.held(EVERY)) < len(now)
    assert kept is not None
    restore(file, kept.name)
    with Ledger(file) as ledger:
        assert ledger.held(EVERY) == now
    with pytest.raises(RackRefused, match="is not a copy of"):
        restore(file, "../rack.sqlite")


def test_a_copy_is_put_back_where_the_ledger_was_lost_for_the_user_alone(file: Path) -> None:
    (copy,) = copies_of(file)
    file.unlink()
    assert restore(file) == (copy, None)
    with Ledger(file) as ledger:
        assert verify(ledger).faults == ()
    if os.name == "posix":
        assert file.stat().st_mode & 0o777 == 0o600


def test_a_damaged_copy_is_not_put_back(file: Path) -> None:
    (copy,) = copies_of(file)
    copy.write_bytes(copy.read_bytes()[:5000])
    with pytest.raises(RackBroken, match="is damaged itself"):
        restore(file)
    with Ledger(file) as ledger:
        assert verify(ledger).faults == ()


def test_thirty_daily_copies_are_kept_and_all_others(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (today,) = copies_of(file)
    for day in range(1, 40):
        old = today.with_name(f"2001-01-{day:02}.sqlite")
        shutil.copy2(today, old)
        os.utime(old, (day, day))
    shutil.copy2(today, today.with_name("before-version-9-x.sqlite"))
    today.unlink()
    with Ledger(file) as ledger:
        move(ledger, ["334W"], "bay 2")
    names = [path.name for path in copies_of(file)]
    assert len([name for name in names if name[:2].isdigit()]) == backup.KEPT_DAYS
    assert today.name in names
    assert "before-version-9-x.sqlite" in names


def test_a_file_of_an_older_form_is_copied_and_brought_up_to_date(file: Path) -> None:
    with Ledger(file) as ledger:
        before = ledger.held(EVERY)
    with newer():
        with Ledger(file) as ledger:
            assert ledger.held(EVERY) == before
            assert verify(ledger).faults == ()
        assert any(copy.name.startswith("before-version-") for copy in copies_of(file))
    with pytest.raises(RackRefused, match="written by a newer version of this program"), Ledger(file):
        raise AssertionError("it opened all the same")


def test_a_change_of_form_that_fails_leaves_the_file_as_it_was(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as later:
        script = "CREATE TABLE later (x INTEGER) STRICT;\nCREATE TABLE later (x INTEGER) STRICT;\n"
        later.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, script))
        later.setattr(schema, "VERSION", schema.VERSION + 1)
        with pytest.raises(sqlite3.OperationalError, match="already exists"), Ledger(file):
            raise AssertionError("it opened all the same")
    with Ledger(file) as ledger:
        assert verify(ledger).faults == ()


def test_files_of_others_and_no_files_are_told_apart(tmp_path: Path) -> None:
    text, database, empty = tmp_path / "notes.txt", tmp_path / "other.sqlite", tmp_path / "empty"
    text.write_text("Dear diary, " * 500, encoding="utf-8", newline="\n")
    connection = sqlite3.connect(database)
    connection.execute("CREATE TABLE t (x)")
    connection.close()
    empty.touch()
    for place, kind, words in (
        (text, RackBroken, "is damaged"),
        (database, RackRefused, "is a database, but not a rack ledger"),
        (empty, RackAbsent, "is an empty file"),
        (tmp_path / "none", RackAbsent, "there is no rack ledger at"),
        (tmp_path, RackAbsent, "there is no rack ledger at"),
    ):
        with pytest.raises(kind, match=words), Ledger(place):
            raise AssertionError("it opened all the same")
    with pytest.raises(RackRefused, match="not a rack ledger"), Ledger(database, create=True):
        raise AssertionError("it opened all the same")
    with Ledger(empty, create=True) as ledger:
        assert ledger.held(EVERY) == ()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with (
        pytest.raises(RackTrouble, match="cannot be made"),
        Ledger(tmp_path / "file" / "rack.sqlite", create=True),
    ):
        raise AssertionError("it opened all the same")


_READ_ONLY = """
import sys
from pathlib import Path
from stock.errors import RackTrouble
from stock.rack.acts import move
from stock.rack.ledger import Ledger
from tests.stock.rack.faults import read_only
read_only()
with Ledger(Path(sys.argv[1])) as ledger:
    assert len(ledger.held()) == 2
    try:
        move(ledger, ["334W"], "bay 9")
    except RackTrouble as error:
        print(error)
"""


@pytest.mark.skipif(not can_fail(), reason="this SQLite hides its calls to the system")
def test_on_a_read_only_disk_the_rack_is_read_and_writing_is_told(file: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", _READ_ONLY, str(file)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
        cwd=Path(__file__).parents[3],
    )
    assert re.search("cannot be written: the file, its folder or its disk is read-only", done.stdout)


def test_a_network_file_system_is_refused_with_the_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(where, "network_kind", lambda file: "nfs4")
    with (
        pytest.raises(
            RackRefused, match=r"network file system \(nfs4\), where two computers could use one piece"
        ),
        Ledger(tmp_path / "rack.sqlite", create=True),
    ):
        raise AssertionError("it opened all the same")
    assert not (tmp_path / "rack.sqlite").exists()


def test_the_deepest_mount_counts() -> None:
    share = "/mnt/my\\040share"
    linux = f"/dev/sda / ext4 rw 0 0\nsrv:/x {share} nfs4 rw 0 0\n/dev/b {share}/local ext4 rw 0 0\n"
    mounts = list(where._linux_mounts(linux))
    assert kind_at(Path("/mnt/my share/rack"), mounts) == "nfs4"
    assert kind_at(Path("/mnt/my share/local/rack"), mounts) == ""
    assert kind_at(Path("/mnt/my shared/rack"), mounts) == ""
    bsd = "/dev/disk1 on / (apfs, local)\n//ann@srv/x on /Volumes/My Share (smbfs, nodev, nosuid)\n"
    assert kind_at(Path("/Volumes/My Share/a"), list(where._bsd_mounts(bsd))) == "smbfs"
    assert kind_at(Path("/Users/ann"), list(where._bsd_mounts(bsd))) == ""

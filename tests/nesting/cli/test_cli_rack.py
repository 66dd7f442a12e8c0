"""The commands of the rack: what they say, what they refuse, and a plan that is booked and unbooked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from stock.rack.where import VARIABLE
from tests.nesting.cli.console import OFFERS, PARTS, SAWS, SHOP, Console, write_tables

RACK = "ID,MATERIAL,LENGTH,heat\nR1,tube 2 x 2 x 1/8,60,H1\n"


@pytest.fixture
def own_rack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A ledger of this test's own, where the user's would be; not there yet."""
    file = tmp_path / "data" / "rack.sqlite"
    monkeypatch.setenv(VARIABLE, str(file))
    return file


def put(console: Console, *words: str) -> list[str]:
    """Put pieces of tube and tell their ids."""
    said = console("rack", "put", "tube 2 x 2 x 1/8", *words, "--json")
    assert said.code == 0, said.err
    return list(json.loads(said.out[0])["ids"])


def standing(console: Console) -> dict[str, str]:
    """How each piece stands."""
    pieces = json.loads(console("rack", "list", "--all", "--json").out[0])["pieces"]
    return {piece["id"]: piece["standing"] for piece in pieces}


def bench(tmp_path: Path, **tables: str) -> Path:
    """A job of tube, without a rack table unless one is given."""
    return write_tables(tmp_path / "bench", parts=PARTS, offers=OFFERS, saws=SAWS, shop=SHOP, **tables)


def test_a_piece_is_put_listed_moved_taken_and_told_of(own_rack: Path, console: Console) -> None:
    said = console(
        "rack", "put", "tube 2 x 2 x 1/8", "12' 6", "--grade", "A500", "--heat", "H7", "--place", "bay 3"
    )
    assert (said.code, said.out) == (0, ["put tube 2 x 2 x 1/8, 12' 6\": write on it 3333"])
    assert console("rack", "move", "3333", "--to", "bay 4").out == ["at bay 4: 3333"]
    # 12.5 ft at 3.05 lb/ft (AISC table, published) are 38 lb.
    assert console("rack").out == [
        "tube 2 x 2 x 1/8, A500",
        "  3333    12' 6\"                bay 4, heat H7",
        "1 piece, 38 lb; version 2 of the ledger",
    ]
    assert console("rack", "take", "3333", "--job", "gate").code == 0
    assert console("rack").out == ["0 pieces, 0 lb; version 3 of the ledger"]
    told = console("rack", "history", "3333").out
    assert [line.split()[3] for line in told[1:]] == ["received", "moved", "taken"]
    log = [" ".join(line.split()[2:]) for line in console("rack", "log").out]
    assert log == ["take: gate", "move: bay 4", "put: tube 2 x 2 x 1/8, 12' 6\""]
    assert told[-1].endswith("taken for gate, 12' 6\", bay 4, heat H7")


def test_what_is_left_of_a_piece_comes_back_with_its_heat(own_rack: Path, console: Console) -> None:
    (name,) = put(console, "20 ft", "--heat", "H7")
    assert (
        console("rack", "return", name, "30").err[0].startswith(f"{name} is on hand, so nothing can be left")
    )
    assert console("rack", "take", name).code == 0
    assert console("rack", "return", name, "30", "--place", "bay 2").out == [
        f"back from {name}: write on it 334W"
    ]
    assert console("rack").out[1] == "  334W    2' 6\"                 bay 2, heat H7, clean ends: one"
    assert (
        console("rack", "return", name, "18 ft").err[0].startswith(f"the offcuts of {name} are together more")
    )
    assert console("rack", "history", "334W").out[1] == f"  offcut of {name}"


def test_filters_leave_what_is_asked_for(own_rack: Path, console: Console) -> None:
    (short,), (long,) = (
        put(console, "20", "--place", "bay 1"),
        put(console, "40", "--grade", "A500", "--heat", "H2"),
    )

    def listed(*words: str) -> list[str]:
        data = json.loads(console("rack", "list", "--json", *words).out[0])
        return [piece["id"] for piece in data["pieces"]]

    assert listed("--at-least", "30") == [long]
    assert listed("--place", "BAY 1") == [short]
    assert listed("--heat", "h2") == [long]
    assert sorted(listed("--material", "HSS2X2X1/8")) == sorted([short, long])
    assert listed("--heat", "none") == []


def test_bad_words_are_refused_with_a_way_on(own_rack: Path, console: Console) -> None:
    assert (
        console("rack")
        .err[0]
        .startswith(f"there is no rack ledger at {own_rack}; `steelyard rack put` begins")
    )
    (name,) = put(console, "20")
    for words, start in (
        (("take", "3343"), "the ledger has no piece 3343; near it: 3333"),
        (("take", name, name), "3333 stands twice"),
        (("take", "../x"), "'../x' cannot be the id of a piece"),
        (("put", "tube 2 x 2 x 1/8", "0"), "tube 2 x 2 x 1/8: a length or width must be above zero"),
        (("put", "plate 3/8", "20"), "plate 3/8: plate 3/8 comes in sheets"),
        (("put", "tube 2 x 2 x 1/8", "20", "--id", name), "3333 is the id of another piece already"),
        (("put", "tube 2 x 2 x 1/8", "20", "--value", "x"), "--value 'x' is not an amount"),
        (("restore", "../rack.sqlite"), "'../rack.sqlite' is not a copy of"),
        (
            ("export", str(own_rack.with_name("x.txt"))),
            f"{own_rack.with_name('x.txt')}: the rack is written as",
        ),
    ):
        said = console("rack", *words)
        assert (said.code, said.out) == (2, [])
        assert said.err[0].startswith(start)
    assert standing(console) == {name: "on hand"}


def test_a_plan_cuts_from_the_ledger_is_booked_once_and_unbooked(
    own_rack: Path, tmp_path: Path, console: Console
) -> None:
    used, short = *put(console, "130", "--heat", "H1", "--certificate", "C1"), *put(console, "10")
    job = bench(tmp_path)
    said = console("plan", job, "--work", "50")
    # Two 20 ft tubes are needed without the rack (see bench_job); the rest of one and 130 in hold six of 24 in.
    assert any(line.startswith(f"  {used}") for line in said.out)
    plan = tmp_path / "bench.plan"
    document = json.loads((plan / "plan.json").read_text(encoding="utf-8"))["plan"]["job"]
    assert document["rack_at"]["number"] == 2
    assert [piece["id"] for piece in document["rack"]] == [used]

    assert console("book", plan).code == 0
    now = standing(console)
    assert (now.pop(used), now.pop(short)) == ("taken", "on hand")
    assert list(now.values()) == ["ordered"]
    again = console("book", plan)
    assert again.code == 2
    assert again.err[0].startswith("this plan is booked already (action 3)")
    cut = [line for line in console("heats", plan).out if used in line]
    assert cut
    assert all(line.endswith("heat H1, certificate C1") for line in cut)

    assert console("unbook", plan).code == 0
    assert standing(console) == {used: "on hand", short: "on hand"}
    assert console("book", plan).code == 0
    assert console("rack", "undo").code == 0
    assert standing(console) == {used: "on hand", short: "on hand"}
    assert console("rack", "verify").code == 0


def test_what_came_of_a_booked_order_stands_in_the_ledger_with_its_heat(
    own_rack: Path, tmp_path: Path, console: Console
) -> None:
    plan = tmp_path / "bench.plan"
    assert console("plan", bench(tmp_path), "--work", "50").code == 0
    assert console("book", plan).code == 0
    said = console("receive", plan, "--came", "1=1 of 19' 11, heat H91", "--came", "1=1, heat H92")
    assert said.code == 0, said.err
    assert any(line.startswith("on the rack, to write on what came: 3333, 334W") for line in said.out)
    pieces = json.loads(console("rack", "list", "--all", "--json").out[0])["pieces"]
    assert {(piece["size"], piece["heat"], piece["standing"]) for piece in pieces} == {
        ("19' 11\"", "H91", "reserved"),
        ("20'", "H92", "reserved"),
    }
    assert all("heat H9" in line for line in console("heats", plan).out)


def test_a_plan_by_which_work_has_begun_is_not_unbooked(
    own_rack: Path, tmp_path: Path, console: Console
) -> None:
    put(console, "130")
    assert console("plan", bench(tmp_path), "--work", "50").code == 0
    plan = tmp_path / "bench.plan"
    assert console("book", plan).code == 0
    assert console("done", plan, "1:1").code == 0
    begun = console("unbook", plan)
    assert begun.code == 2
    assert begun.err[0].startswith("work on this plan has begun")
    assert console("done", plan, "--undo").code == 0
    assert console("unbook", plan).code == 0


def test_a_plan_is_not_booked_once_what_it_relies_on_has_changed(
    own_rack: Path, tmp_path: Path, console: Console
) -> None:
    (used,) = put(console, "120", "--place", "bay 1")
    plan = tmp_path / "bench.plan"
    assert console("plan", bench(tmp_path), "--work", "50").code == 0
    assert console("rack", "count", "bay 1", f"{used}=119", "--book").code == 0
    said = console("book", plan)
    assert said.code == 2
    assert said.err[0] == f"{used} has another length now than when it was planned"
    assert console("rack", "undo").code == 0
    assert console("rack", "move", used, "--to", "bay 2").code == 0
    assert console("book", plan).code == 0


def test_a_rack_table_replaces_the_ledger_and_is_not_booked(
    own_rack: Path, tmp_path: Path, console: Console
) -> None:
    put(console, "120")
    said = console("plan", bench(tmp_path, rack=RACK), "--work", "50")
    assert "the plan cannot be booked" in " ".join(" ".join(said.err).split())
    assert any(line.startswith("  R1") for line in said.out)
    said = console("book", tmp_path / "bench.plan")
    assert said.code == 2
    assert said.err[0].startswith(
        "the plan takes from a rack table of its own, or from what an earlier plan left"
    )


def test_without_a_ledger_a_job_is_planned_as_ever_and_a_named_one_must_be_there(
    own_rack: Path, tmp_path: Path, console: Console
) -> None:
    job = bench(tmp_path)
    assert console("plan", job, "--work", "50").code == 0
    assert not own_rack.exists()
    said = console("plan", job, "--rack", tmp_path / "other.sqlite")
    assert said.code == 2
    assert said.err[0].startswith(f"there is no rack ledger at {tmp_path / 'other.sqlite'}")


def test_an_edited_plan_is_booked_if_it_is_sound_and_not_if_it_has_breaches(
    own_rack: Path, tmp_path: Path, console: Console
) -> None:
    assert console("plan", bench(tmp_path), "--work", "50").code == 0
    file = tmp_path / "bench.plan" / "plan.json"
    text = file.read_text(encoding="utf-8")
    document = json.loads(text)
    document["plan"]["groups"][0]["layouts"][0]["pieces"].pop()
    file.write_text(json.dumps(document), encoding="utf-8", newline="\n")
    said = console("book", file)
    assert said.code == 2
    assert "the plan is not sound, so it is not booked" in said.err[-1]
    assert not own_rack.exists()
    file.write_text(json.dumps(json.loads(text)), encoding="utf-8", newline="\n")
    assert console("book", file).code == 0


@pytest.mark.parametrize("name", ["shelf.xlsx", "shelf.csv"])
def test_what_is_exported_is_imported_again_as_it_was(
    own_rack: Path, tmp_path: Path, console: Console, name: str
) -> None:
    put(
        console,
        "12' 6-1/32",
        "--grade",
        "A500",
        "--heat",
        "0071",
        "--place",
        "=bay",
        "--value",
        "12.5",
        "--clean",
        "one",
    )
    put(console, "1/1024")
    assert console("rack", "put", "stainless sheet 16 ga", "600 mm", "401.5 mm", "--unit", "mm").code == 0
    file, other = tmp_path / name, tmp_path / "other.sqlite"
    assert console("rack", "export", file).code == 0
    assert console("rack", "export", file).code == 2
    assert console("rack", "import", file, "--rack", other).code == 0
    one, two = (
        json.loads(console("rack", "list", "--json", "--rack", r).out[0])["pieces"] for r in (own_rack, other)
    )
    keys = ("id", "grade", "finish", "length", "width", "clean_ends", "place", "heat", "value", "origin")
    assert [[piece[key] for key in keys] for piece in one] == [[piece[key] for key in keys] for piece in two]
    said = console("rack", "import", file, "--rack", other)
    assert said.code == 2
    assert "is the id of another piece already" in said.err[0]


def test_every_slip_of_an_import_is_told_at_once_and_nothing_is_put(
    own_rack: Path, tmp_path: Path, console: Console
) -> None:
    file = tmp_path / "shelf.csv"
    rows = "ID,MATERIAL,LENGTH\na/b,round 1/2,20\nR2,round 1/2,nothing\nR3,rond,20\nR4,round 1/2,20\nr4,round 1/2,20\n"
    file.write_text(rows, encoding="utf-8", newline="\n")
    said = console("rack", "import", file)
    assert said.code == 2
    assert [line.split(", row ")[1][:1] for line in said.err] == ["2", "3", "4", "6"]
    assert console("rack").out == ["0 pieces, 0 lb; version 0 of the ledger"]


def test_a_shelf_count_shows_and_books_what_is_different(own_rack: Path, console: Console) -> None:
    a, b, c = put(console, "20", "--times", "3", "--place", "bay 1")
    (d,) = put(console, "30", "--place", "bay 2")
    words = ("rack", "count", "Bay 1", a, f"{b}=19-1/2", d)
    shown = [f"  {b:<8}1' 7 1/2\" long, not 1' 8\"", f"  {d:<8}not at bay 2", f"  {c:<8}not found"]
    assert console(*words).out == [*shown, "nothing is booked; run it again with --book to enter this"]
    assert console(*words, "--book").out == [*shown, "booked as action 3"]
    assert standing(console) == {a: "on hand", b: "on hand", c: "missing", d: "on hand"}
    assert console("rack", "count", "bay 1", a, b, d).out == ["all is as the ledger says"]
    assert (
        console("rack", "count", "bay 2", c, "--book").out[0] == f"  {c:<8}here, though missing, not at bay 1"
    )
    assert standing(console)[c] == "on hand"

"""The commands done and replan as a shop uses them, from the first mark to the last."""

from __future__ import annotations

import json
from pathlib import Path

from nesting.check import check_plan
from nesting.plan import Plan
from nesting.write import read_plan
from tests.nesting.cli.console import Console, bench_job

WORK = ("--work", "100")


def planned(console: Console, folder: Path) -> Path:
    """The plan of the bench: two sticks of five pieces each."""
    job = bench_job(folder / "bench")
    assert console("plan", job, *WORK).code == 0
    return folder / "bench.plan"


def pieces_of(plan: Plan) -> int:
    """How many pieces it makes."""
    return sum(layout.times * len(layout.pieces) for group in plan.groups for layout in group.layouts)


def test_work_is_recorded_and_what_is_left_is_planned_until_all_is_made(
    console: Console, tmp_path: Path
) -> None:
    """Three pieces cut and one of them spoiled, then a new plan, all of it cut, and nothing is left."""
    plan = planned(console, tmp_path)
    assert "0 of 10 pieces made" in console("done", plan).out[0]
    said = console("done", plan, "1:3", "--spoiled", "1:2")
    assert said.code == 0
    assert "bench: 2 of 10 pieces made" in said.out
    said = console("replan", plan, *WORK)
    assert said.code == 0
    assert said.out[0] == "2 pieces made so far, 8 to make by this plan"
    second = tmp_path / "bench.2.plan"
    new = read_plan(second)
    assert (check_plan(new), pieces_of(new)) == ((), 8)
    assert (second / "changes.txt").read_text(encoding="utf-8").startswith("2 pieces made so far")
    assert json.loads((second / "follows.json").read_text(encoding="utf-8"))["after"] == "bench.plan"
    assert "work goes on by bench.2.plan" in console("done", plan).out
    assert console("done", plan, "2").code == 2
    assert console("done", second, "all").code == 0
    said = console("replan", second, *WORK)
    assert said.out[0] == "10 pieces made so far, 0 to make by this plan"
    assert "nothing is left to buy or to cut" in said.out[-1]
    assert console("check", tmp_path / "bench.3.plan").code == 0


def test_a_plan_by_which_work_has_begun_is_not_replaced(console: Console, tmp_path: Path) -> None:
    plan = planned(console, tmp_path)
    assert console("done", plan, "1").code == 0
    before = (plan / "plan.json").read_bytes()
    said = console("plan", tmp_path / "bench", *WORK)
    assert said.code != 0
    assert "work on the plan" in said.err[-1]
    assert (plan / "plan.json").read_bytes() == before


def test_the_last_entry_can_be_taken_back(console: Console, tmp_path: Path) -> None:
    plan = planned(console, tmp_path)
    console("done", plan, "1:3")
    console("done", plan, "1:4")
    assert "bench: 3 of 10 pieces made" in console("done", plan, "--undo").out
    assert "bench: 0 of 10 pieces made" in console("done", plan, "--undo").out
    said = console("done", plan, "--undo")
    assert (said.code, said.err) == (2, ["bench.plan: nothing is recorded"])


def test_a_form_is_written_filled_in_and_read_once_however_often(console: Console, tmp_path: Path) -> None:
    """Stick 1 all cut, piece 2 spoiled; three of stick 2, 120 in measured. Read again it says nothing new."""
    plan = planned(console, tmp_path)
    assert console("done", plan, "--form").code == 0
    form = plan / "done.csv"
    assert console("done", plan, "--form").code == 1
    lines = form.read_text(encoding="utf-8-sig").splitlines()
    lines[1] = lines[1].rstrip(",") + ",yes,2,"
    lines[2] = lines[2].rstrip(",") + ",3,,120"
    form.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    said = console("done", plan, "--from", form)
    assert "bench: 7 of 10 pieces made" in said.out
    again = console("done", plan, "--from", form)
    assert not any(line.startswith("recorded") for line in again.out)
    assert again.out == [line for line in said.out if not line.startswith("recorded")]


def test_slips_in_a_form_are_told_with_their_place_and_nothing_is_recorded(
    console: Console, tmp_path: Path
) -> None:
    plan = planned(console, tmp_path)
    form = tmp_path / "form.csv"
    rows = "stick or sheet,cut,spoiled,left\nstick 1,many,,\nstick 7,1,,\nstick 2,,,long\n"
    form.write_text(rows, encoding="utf-8", newline="\n")
    said = console("done", plan, "--from", form)
    assert said.code == 2
    places = [line.split(": ")[0].removeprefix(f"{form}, ") for line in said.err]
    assert places == ["row 2, column cut", "row 3, column stick or sheet", "row 4, column left"]
    assert not (plan / "work.record").exists()


def test_without_buying_the_plan_says_what_cannot_be_made(console: Console, tmp_path: Path) -> None:
    """Both sticks came, one is lost: the other holds 239 5/8 of the 337 1/4 that are needed."""
    plan = planned(console, tmp_path)
    assert console("done", plan, "--bought", "all", "--left", "2=0").code == 0
    said = console("replan", plan, "--no-buying", *WORK)
    assert said.code == 0
    assert any(line.startswith("cannot be made without buying") for line in said.out)
    new = read_plan(tmp_path / "bench.2.plan")
    assert (new.total, check_plan(new)) == (0, ())


def test_a_plan_that_was_changed_by_hand_is_worked_by_if_it_is_sound(
    console: Console, tmp_path: Path
) -> None:
    """A kerf that is not cut breaches the plan; another name of the job does not."""
    plan = planned(console, tmp_path)
    file = plan / "plan.json"
    console("done", plan, "1:1")
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('"name": "bench"', '"name": "stool"'), encoding="utf-8", newline="\n")
    assert "stool: 1 of 10 pieces made" in console("done", plan).out
    file.write_text(text.replace('"kerf": 10160000', '"kerf": 20320000'), encoding="utf-8", newline="\n")
    said = console("done", plan, "1:2")
    assert (said.code, "the check found breaches" in said.err[0]) == (2, True)


def test_a_file_that_is_no_record_is_told(console: Console, tmp_path: Path) -> None:
    plan = planned(console, tmp_path)
    (plan / "work.record").write_text(
        "not a record, though it is long enough to be read as one" * 20, encoding="utf-8"
    )
    said = console("done", plan)
    assert (said.code, "this is not a whole record of work" in said.err[0]) == (2, True)


def test_offcuts_of_a_booked_plan_come_back_to_the_rack_once(console: Console, tmp_path: Path) -> None:
    """Stick 1 leaves 23 1/8, worth keeping from 12 up; said again, nothing more comes back."""
    plan, ledger = planned(console, tmp_path), tmp_path / "rack.sqlite"
    assert console("rack", "put", "tube 2 x 2 x 1/8", "20 ft", "--rack", ledger).code == 0
    assert console("plan", tmp_path / "bench", "--rack", ledger, *WORK).code == 0
    assert console("book", plan, "--rack", ledger).code == 0
    back = console("done", plan, "all", "--rack", ledger)
    assert any(line.startswith("back on the rack") for line in back.out)
    assert not any(
        line.startswith("back on the rack") for line in console("done", plan, "--rack", ledger).out
    )

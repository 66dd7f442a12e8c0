"""The commands `plan` and `check`."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from nesting.findings import PlanBroken
from tests.nesting.cli.console import PARTS, Console, bench_job

_SUMMARY = [
    "buy from North yard",
    "     2 x tube 2 x 2 x 1/8, 20'                              $124.94",
    "",
    "$124.94 for 2 sticks bought, 122 lb; 2 sticks to cut",
    "tube 2 x 2 x 1/8: proved: no plan of these rules is cheaper",
]


def test_plan_tells_what_to_buy_and_writes_beside_the_job(tmp_path: Path, console: Console) -> None:
    job = bench_job(tmp_path / "bench")
    said = console("plan", job)
    folder = tmp_path / "bench.plan"
    assert said.code == 0
    assert [line for line in said.out if not line.startswith("  improved")] == [
        *_SUMMARY,
        f"written to {folder.resolve()}",
    ]
    assert said.err[-1].startswith("group 1 of 1: tube 2 x 2 x 1/8, 124.94 (bound 124.94), ")
    assert {"plan.html", "plan.xlsx", "plan.json"} <= {file.name for file in folder.iterdir()}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bench", "bench.plan"]


def test_the_same_work_and_seed_give_the_same_plan(tmp_path: Path, console: Console) -> None:
    job = bench_job(tmp_path / "bench")
    plans = []
    for name in ("one", "two"):
        assert console("plan", job, "--work", "50", "--seed", "7", "--out", tmp_path / name).code == 0
        plans.append((tmp_path / name / "plan.json").read_bytes())
    assert plans[0] == plans[1]


def test_no_time_at_all_still_gives_a_plan(tmp_path: Path, console: Console) -> None:
    said = console("plan", bench_job(tmp_path / "bench"), "--time", "0")
    assert said.code == 0
    assert console("check", tmp_path / "bench.plan").code == 0


def test_bad_input_leaves_earlier_results_as_they_are(tmp_path: Path, console: Console) -> None:
    job = bench_job(tmp_path / "bench")
    assert console("plan", job).code == 0
    folder = tmp_path / "bench.plan"
    before = {file.name: file.read_bytes() for file in folder.iterdir()}
    (job / "parts.csv").write_text(PARTS.replace("48", "4800"), encoding="utf-8", newline="\n")
    said = console("plan", job)
    assert (said.code, said.out) == (2, [])
    assert "part A1" in said.err[0]
    assert {file.name: file.read_bytes() for file in folder.iterdir()} == before


def test_a_folder_that_is_no_plan_is_never_replaced(tmp_path: Path, console: Console) -> None:
    """It is refused before anything is planned: that sentence is all that is said."""
    other = tmp_path / "drawings"
    other.mkdir()
    (other / "gate.txt").write_text("mine", encoding="utf-8")
    said = console("plan", bench_job(tmp_path / "bench"), "--out", other)
    assert (said.code, said.out) == (2, [])
    assert said.err == [
        f"{other.resolve()} exists and is not the folder of an earlier plan (it holds no plan.json), so it is left "
        "alone; move it away or name another folder."
    ]
    assert [file.name for file in other.iterdir()] == ["gate.txt"]


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="every folder is writable for this user"
)
def test_a_folder_that_cannot_be_written_is_told_in_a_sentence(tmp_path: Path, console: Console) -> None:
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o555)
    said = console("plan", bench_job(tmp_path / "bench"), "--out", locked / "bench.plan")
    assert (said.code, said.out) == (1, [])
    assert "could not be written" in said.err[-1]
    assert list(locked.iterdir()) == []


def test_a_missing_job_is_never_exit_code_zero(tmp_path: Path, console: Console) -> None:
    said = console("plan", tmp_path / "nowhere")
    assert (said.code, said.out) == (2, [])
    assert said.err == [
        f"{tmp_path / 'nowhere'}: there is no file or folder of this name; check the path "
        "(a job is an .xlsx workbook or a folder of .csv files)"
    ]
    assert list(tmp_path.iterdir()) == []


def test_check_finds_a_plan_sound_by_folder_and_by_file(tmp_path: Path, console: Console) -> None:
    console("plan", bench_job(tmp_path / "bench"))
    for path in (tmp_path / "bench.plan", tmp_path / "bench.plan" / "plan.json"):
        said = console("check", path)
        assert (said.code, said.err) == (0, [])
        assert said.out == [
            "tube 2 x 2 x 1/8: The bound 124.9400 was verified from its prices by the check's own pricing.",
            "the plan is sound",
        ]


def test_check_refuses_a_plan_that_was_changed_by_hand(tmp_path: Path, console: Console) -> None:
    console("plan", bench_job(tmp_path / "bench"))
    file = tmp_path / "bench.plan" / "plan.json"
    document = json.loads(file.read_text(encoding="utf-8"))
    document["plan"]["groups"][0]["layouts"][0]["pieces"].pop()
    file.write_text(json.dumps(document), encoding="utf-8")
    said = console("check", file)
    assert said.code == 1
    assert any(line.startswith("breach: ") for line in said.out)
    assert said.out[-1].endswith("breaches: do not cut by this plan")


def test_check_says_what_a_file_is_not(tmp_path: Path, console: Console) -> None:
    page = tmp_path / "plan.html"
    page.write_text("<html>", encoding="utf-8")
    said = console("check", page)
    assert (said.code, said.out) == (2, [])
    assert said.err[0].startswith(f"{page}: is not whole JSON (")
    assert console("check", tmp_path / "nothing").code == 2


def test_a_breach_of_its_own_is_the_programs_fault_and_nothing_is_written(
    tmp_path: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise PlanBroken(["stick 1: a piece lies beyond its end"])

    monkeypatch.setattr("nesting.write.write_plan", broken)
    said = console("plan", bench_job(tmp_path / "bench"))
    assert (said.code, said.out) == (1, [])
    log = _log_named_in(said.err[-1])
    assert "stick 1: a piece lies beyond its end" in log
    assert not (tmp_path / "bench.plan").exists()


def test_what_should_not_happen_is_told_without_a_traceback(
    tmp_path: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("a wheel came off")

    monkeypatch.setattr("nesting.cli.planning.read_job", broken)
    said = console("plan", tmp_path / "bench")
    assert (said.code, said.out) == (1, [])
    assert len(said.err) == 1
    assert "This is the program's own fault; please send " in said.err[0]
    assert "RuntimeError: a wheel came off" in _log_named_in(said.err[0])


def _log_named_in(sentence: str) -> str:
    """The text of the log that a sentence names; the file is taken away."""
    file = Path(sentence.partition("please send ")[2].removesuffix(" and the job."))
    text = file.read_text(encoding="utf-8")
    file.unlink()
    return text


def test_a_plan_that_is_made_again_replaces_the_earlier_and_keeps_what_was_added(
    tmp_path: Path, console: Console
) -> None:
    job = bench_job(tmp_path / "bench")
    console("plan", job)
    folder = tmp_path / "bench.plan"
    (folder / "my notes.txt").write_text("sharpen the blade", encoding="utf-8")
    shutil.copy(folder / "plan.json", tmp_path / "before.json")
    (job / "parts.csv").write_text(PARTS.replace("A2,6", "A2,1"), encoding="utf-8", newline="\n")
    assert console("plan", job).code == 0
    assert (folder / "my notes.txt").read_text(encoding="utf-8") == "sharpen the blade"
    assert (folder / "plan.json").read_bytes() != (tmp_path / "before.json").read_bytes()

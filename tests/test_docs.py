"""The manual tells what the program does: help texts, commands, tables, the example's output, the schema."""

from __future__ import annotations

import os
import re
import subprocess
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner

from nesting import Settings, make_plan, read_job
from nesting.cli.commands import steelyard
from nesting.cli.summary import summary_lines
from nesting.read.schema import SETTINGS, TABLES
from nesting.version import VERSION
from nesting.write import archive

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def blocks(text: str, heading: str = "") -> list[str]:
    """The fenced blocks of a text, or of the part of it under one heading."""
    if heading:
        text = re.split(rf"^## {heading}\n", text, flags=re.MULTILINE)[1]
        text = re.split(r"^## ", text, flags=re.MULTILINE)[0]
    return re.findall(r"^```\w*\n(.*?)^```$", text, flags=re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("heading", ["Quick start", "Tests"])
def test_setting_up_is_one_line(heading: str) -> None:
    first = blocks(README, heading)[0]
    assert first.count("\n") == 1
    assert first.startswith("python3 -m venv .venv && .venv/bin/python -m pip install ")


def test_the_quick_start_plans_an_example_that_is_there() -> None:
    job = blocks(README, "Quick start")[0].split()[-1]
    assert read_job(ROOT / job).parts


def test_the_manual_names_every_command_and_holds_its_real_help() -> None:
    shown = blocks(README, "Commands")
    for words in ([], *([name] for name in sorted(steelyard.commands))):
        asked = [*words, "--help"]
        real = CliRunner().invoke(steelyard, asked, prog_name="steelyard", terminal_width=80).output
        assert f"$ steelyard {' '.join(asked)}\n{real}" in shown


def test_the_manual_shows_the_real_summary_of_the_example() -> None:
    plan = make_plan(read_job(ROOT / "jobs" / "garden-gate"), Settings(work=400))
    real = "\n".join(summary_lines(plan, Path("jobs/garden-gate.plan")))
    shown = [block for block in blocks(README) if block.startswith("buy from ")]
    assert [re.sub(r"\\", "/", real) + "\n"] == shown


def test_the_manual_quotes_the_example_as_it_stands() -> None:
    quoted = next(block for block in blocks(README) if block.startswith("MARK,"))
    assert (ROOT / "jobs" / "garden-gate" / "parts.csv").read_text(encoding="utf-8").startswith(quoted)


def test_the_manual_lists_every_table_with_its_columns_and_every_setting() -> None:
    rows = dict(re.findall(r"^\| (\w+) \| .* \| (.*) \|$", README, flags=re.MULTILINE))
    for table in TABLES:
        if table.name != "shop":
            for column in table.columns:
                of_plates = "plates are not planned" in column.explanation
                assert (column.name in rows[table.name].split(", ")) == (
                    column.kind not in ("unused", "refused") and not of_plates
                )
    assert all((setting.name in rows["shop"]) == setting.used for setting in SETTINGS)


def test_every_link_of_the_manual_leads_somewhere() -> None:
    targets = [target for text in (README, DEVELOPERS) for target in re.findall(r"\]\(([^)#]+)\)", text)]
    assert len(targets) >= 6
    assert [target for target in targets if "://" not in target and not (ROOT / target).exists()] == []


def test_the_developers_notes_hold_the_schema_of_the_plan_as_the_code_has_it() -> None:
    schema = (archive.__doc__ or "").partition("-\n")[2].rstrip()
    assert len(schema) > 500
    assert schema in DEVELOPERS


def test_the_developers_notes_give_a_reason_for_every_dependency() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = {re.split(r"[<>=]", dependency)[0] for dependency in project["dependencies"]}
    table = DEVELOPERS.partition("## Dependencies")[2].partition("| --- | --- |")[2]
    given = set(re.findall(r"^\| ([\w-]+) \| \S", table, flags=re.MULTILINE))
    assert len(names) >= 10
    assert names - given == set()


def test_every_file_that_the_developers_notes_name_is_there() -> None:
    named = set(re.findall(r"`((?:nesting|stock|tests|jobs)/[\w/.]*\w\.py)`", DEVELOPERS))
    assert len(named) >= 12
    assert [path for path in sorted(named) if not (ROOT / path).is_file()] == []


def test_the_code_in_the_developers_notes_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    code = next(block for block in blocks(DEVELOPERS) if block.startswith("from nesting import"))
    names: dict[str, object] = {}
    exec(code, names)
    assert "plan" in names


def test_the_changes_begin_with_this_version() -> None:
    changes = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert re.findall(r"^## (\S+)", changes, flags=re.MULTILINE)[0] == VERSION


@pytest.mark.skipif(os.name == "nt", reason="the script is for bash")
def test_the_check_script_takes_its_test_command_from_the_manual() -> None:
    script = ROOT / ".ci" / "run"
    assert os.access(script, os.X_OK)
    taken = re.search(r"^tests=\$\((awk .*)\)$", script.read_text(encoding="utf-8"), flags=re.MULTILINE)
    assert taken is not None
    done = subprocess.run(
        ["bash", "-c", taken[1]], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=True
    )
    assert done.stdout == blocks(README, "Tests")[0]
    assert subprocess.run(["bash", "-n", str(script)], check=False).returncode == 0

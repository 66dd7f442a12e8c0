"""The runners of the benchmarks: they verify what they print, and their verification can fail."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from nesting.check import check_plan
from nesting.market import make_plan
from nesting.plan import Settings
from tests.benchmarks import bars, plate_shop, shop

TRAP: dict[str, Any] = {
    "name": "trap",
    "capacity": 400,
    "items": [[201, 6], [102, 6], [101, 6], [98, 12]],
    "lb": 9,
    "ub": 9,
}
"""Johnson's first-fit example, scaled (derived): 9 sticks."""


def test_an_instance_is_solved_and_written_as_promised(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, out = tmp_path / "traps.json", tmp_path / "solutions.json"
    file.write_text(json.dumps([TRAP]), encoding="utf-8")
    bars.main([str(file), "--time", "5", "--seed", "1", "--solutions", str(out)])
    (solution,) = json.loads(out.read_text(encoding="utf-8"))
    assert (solution["name"], solution["bound"], solution["count"], solution["proved"]) == (
        "trap",
        9,
        9,
        True,
    )
    made = {
        w: sum(x["times"] * n for x in solution["layouts"] for v, n in x["pieces"] if v == w)
        for w, _ in TRAP["items"]
    }
    assert made == dict(TRAP["items"])
    assert capsys.readouterr().out.splitlines()[1].split()[:3] == ["traps", "1", "1"]


def test_wrong_solutions_of_an_instance_are_told() -> None:
    """Too long a stick, a piece too few, a bound above the count, a count below the published bound."""
    good = bars.run(TRAP, 5.0, 0)
    assert bars.wrongs(TRAP, good) == []
    assert bars.wrongs(TRAP | {"capacity": 390}, good)
    assert bars.wrongs(TRAP, replace(good, layouts=good.layouts[1:]))
    assert bars.wrongs(TRAP, replace(good, bound=10))
    assert bars.wrongs(TRAP, replace(good, published=10)) == [
        "count 9 and bound 9 contradict the published lb 9"
    ]


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_a_shop_job_is_the_same_for_a_seed_and_its_plan_beats_first_fit(unit: str) -> None:
    job = shop.random_job(3, 12, 60, 2, unit)
    assert job == shop.random_job(3, 12, 60, 2, unit)
    assert job != shop.random_job(4, 12, 60, 2, unit)
    plan = make_plan(job, Settings(time_s=None, work=300))
    assert check_plan(plan) == ()
    assert plan.groups[0].cost <= shop.first_fit_cost(job)


def test_a_run_tells_gap_and_first_plan() -> None:
    run = shop.run(shop.random_job(1, 6, 20, 0, "in"), 1, 5.0)
    assert 0.0 <= run.gap < 0.05
    assert 0.0 < run.first <= run.seconds
    assert run.greedy >= run.cost
    assert shop.summary([run]).startswith("gap median")


def test_jobs_with_plates_are_planned_checked_and_told(capsys: pytest.CaptureFixture[str]) -> None:
    plate_shop.main(["--seeds", "1", "--kinds", "3", "--pieces", "9", "--time", "2", "--saw"])
    told = capsys.readouterr().out.splitlines()
    assert len(told) == 3
    assert told[-1].startswith("gap median")

"""The short summary: what to buy, what to cut, and where it stands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from nesting.cli.summary import summary_lines
from nesting.plan import Plan
from nesting.write.drawings import drawings_of
from stock.length import PER_MM
from tests.nesting.made import inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan


def lines(plan: Plan) -> list[str]:
    """The summary of a plan whose results stand in jobs/x.plan."""
    return list(summary_lines(plan, Path("jobs/x.plan")))


def test_sheets_are_told_by_length_and_width_and_counted_apart_from_sticks() -> None:
    """Two bars and three sheets are bought; one bar is sawn to length, one ripped, and a sheet comes from the rack."""
    said = lines(plate_plan())
    assert any(line.startswith('     1 x plate 1/4, 24" × 24" ') and line.endswith("$58.00") for line in said)
    assert any(line.startswith("     1 x flat 1/4 x 4, 20' ") for line in said)
    assert '  R 3     sheet 14 ga, 30" × 24"' in said
    assert "$219.10 for 2 sticks, 3 sheets bought, 222 lb; 1 stick, 5 sheets to cut" in said


def test_sheets_that_stay_whole_are_bought_and_not_cut() -> None:
    """Three cut alike count as three, a whole one as none."""
    plan = plate_plan()
    alike = replace(plan.groups[1].sheets[0], times=3)
    whole = replace(plan.groups[1].sheets[1], pieces=())
    said = lines(replace(plan, groups=(replace(plan.groups[1], sheets=(alike, whole)),)))
    assert any(line.endswith("; 3 sheets to cut") for line in said)


def test_drawings_are_counted_where_there_are_some() -> None:
    """As many as are written."""
    plan = plate_plan()
    count = sum(name.endswith(".dxf") for name in drawings_of(plan))
    assert lines(plan)[-1] == f"with {count} drawings of sheets in drawings/"
    assert lines(inch_plan())[-1] == f"written to {Path('jobs/x.plan')}"


@pytest.mark.parametrize("plan", [inch_plan(), metric_plan(), mixed_plan(), plate_plan()])
def test_a_terminal_of_80_columns_is_wide_enough(plan: Plan) -> None:
    """Metric sizes are the longest."""
    shop = replace(plan.job.shop, unit="mm", keep_length=300 * PER_MM)
    metric = replace(plan, job=replace(plan.job, shop=shop))
    assert max(map(len, lines(plan) + lines(metric))) <= 80

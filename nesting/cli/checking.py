"""The command `check`: the independent checker on a plan that was written."""

from __future__ import annotations

from pathlib import Path

import click

from nesting.check import check_report
from nesting.write import read_plan


def check_file(path: Path) -> int:
    """Print what the checker says; 1 if the plan has breaches."""
    file = path / "plan.json" if path.is_dir() else path
    report = check_report(read_plan(file))
    for breach in report.breaches:
        click.echo(f"breach: {breach}")
    for group in report.groups:
        click.echo(f"{group.group}: {group.words}")
    if report.job:
        click.echo(f"all: {report.job}")
    click.echo(
        "the plan is sound" if report.sound else f"{len(report.breaches)} breaches: do not cut by this plan"
    )
    return 0 if report.sound else 1

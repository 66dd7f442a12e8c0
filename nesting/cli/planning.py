"""The command `plan`: read, lay out, check, write, and a short summary."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from textwrap import wrap

import click
from rich.console import Console

from nesting.cli.display import Display
from nesting.cli.summary import summary_lines
from nesting.job import Job
from nesting.plan import Settings
from nesting.read import Shelf, read_job
from nesting.report.price_age import age_words
from stock.errors import RackAbsent


def plan_job(
    path: Path, out: Path | None, rack: Path | None, time_s: float, work: int | None, seed: int
) -> None:
    """Plan a job and write the results; raises as `read_job`, `make_plan` and `write_plan` do.

    Whether the results may go where they should is asked before anything is planned.
    """
    folder = out if out is not None else result_folder(path)
    job = read_job(path, shelf_of(rack))
    from nesting.write import refuse_occupied, write_plan

    refuse_occupied(folder)
    console = Console(stderr=True)
    with Display(console) as display:
        for notice in job.notices:
            display.note(f"note: {notice}")
        compile_first(job, display)
        from nesting.market import make_plan

        plan = make_plan(job, Settings(time_s=None if work else time_s, work=work, seed=seed), display)
    write_plan(plan, folder)
    for line in summary_lines(plan, folder):
        click.echo(line)
    # by work alone nothing depends on the clock
    for line in wrap(age_words(plan, None if work else date.today()), 80, subsequent_indent="  "):
        click.echo(line)
    if plan.job.rack_at is not None:
        click.echo(
            f"planned with version {plan.job.rack_at.number} of the rack ledger; steelyard book takes what it uses"
        )


def shelf_of(rack: Path | None) -> Shelf | None:
    """What the rack ledger has on hand; None if the user has no ledger.

    Raises
    ------
    RackRefused, RackTrouble
        If the ledger that is named is not there, or it cannot be read.
    """
    from stock.rack.where import default_rack

    file = rack or default_rack()
    if rack is None and not file.exists():
        return None
    from stock.rack.ledger import Ledger

    try:
        with Ledger(file) as ledger:
            return ledger.shelf()
    except RackAbsent:
        if rack is not None:
            raise
        return None


def compile_first(job: Job, display: Display) -> None:
    """Compile what a job takes, and say so, if it is the first of its kind on this machine."""
    from nesting.market.warm import compile_for, needs_compiling

    if needs_compiling(job):
        display.note("first run on this machine: compiling the solver, about half a minute more, once")
        compile_for(job)


def result_folder(job: Path) -> Path:
    """Where results go: beside the job, by its name."""
    path = job.resolve()
    name = path.stem if path.suffix.lower() == ".xlsx" else path.name
    return path.parent / f"{name}.plan"

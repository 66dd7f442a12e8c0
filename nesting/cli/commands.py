"""The commands and their options."""

from __future__ import annotations

from pathlib import Path

import click

from nesting.cli.options import budget_options
from nesting.cli.rack import rack
from nesting.cli.rack_options import ledger_option, rack_options, tell
from nesting.cli.work_commands import done, order, prices, receive, replan
from nesting.version import VERSION

_JOB = click.argument("job", type=click.Path(path_type=Path))
_PLAN = click.argument("plan", type=click.Path(path_type=Path))


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(VERSION, prog_name="steelyard")
def steelyard() -> None:
    """From a part list to what to buy, how to cut it and what it costs."""


@steelyard.command()
@_JOB
@click.option(
    "--as",
    "form",
    type=click.Choice(["workbook", "csv"]),
    default="workbook",
    show_default=True,
    help="One workbook with a sheet a table, or a folder of .csv files.",
)
def start(job: Path, form: str) -> None:
    """Make a job to fill in: tables with every column explained and example rows to overwrite."""
    from nesting.read import start_job

    made = start_job(job, "csv" if form == "csv" else "workbook")
    click.echo(f"made {made}: overwrite the example rows, then run: steelyard plan {made}")


@steelyard.command()
@_JOB
@ledger_option
def look(job: Path, rack: Path | None) -> int:
    """Read and check the tables only, and show what was understood."""
    from nesting.cli.looking import show_job

    return show_job(job, rack)


@steelyard.command()
@_JOB
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="Folder for the results; JOB.plan beside the job if left out.",
)
@budget_options
@ledger_option
def plan(job: Path, out: Path | None, time_s: float, work: int | None, seed: int, rack: Path | None) -> None:
    """Lay out a job, check the plan and write it: workbook, printable page, plan.json.

    Ctrl-C ends early with the best plan so far.
    """
    from nesting.cli.planning import plan_job

    plan_job(job, out, rack, time_s, work, seed)


@steelyard.command()
@_PLAN
def check(plan: Path) -> int:
    """Check a plan (its folder or plan.json) by the program's independent checker."""
    from nesting.cli.checking import check_file

    return check_file(plan)


@steelyard.command()
@_PLAN
@rack_options
def book(plan: Path, rack: Path | None, as_json: bool) -> None:
    """Take what a plan cuts off the rack ledger, and await what it orders."""
    from nesting.cli.booking import book_plan

    tell(as_json, *book_plan(plan, rack))


@steelyard.command()
@_PLAN
@rack_options
def unbook(plan: Path, rack: Path | None, as_json: bool) -> None:
    """Take the booking of a plan back, whole."""
    from nesting.cli.booking import unbook_plan

    tell(as_json, *unbook_plan(plan, rack))


@steelyard.command()
@_PLAN
@rack_options
def heats(plan: Path, rack: Path | None, as_json: bool) -> None:
    """List the parts of a booked plan with piece, heat and certificate."""
    from nesting.cli.booking import trace_plan

    tell(as_json, *trace_plan(plan, rack))


@steelyard.command()
@click.argument("material")
@click.argument("length", required=False)
@click.argument("width", required=False)
@click.option(
    "--unit", type=click.Choice(["in", "mm"]), default="in", show_default=True, help="Unit of bare numbers."
)
@click.option("--grade", default="", help="Grade, for its density (304, 6061, S235JR ...).")
def weigh(material: str, length: str | None, width: str | None, unit: str, grade: str) -> None:
    """Area, weight and surface of MATERIAL, and of a piece of it; plate and sheet take a length and a width.

    For example: steelyard weigh "tube 2 x 2 x 1/8" "12' 6-1/2\\""
    """
    from nesting.cli.weighing import weigh_material

    for line in weigh_material(material, length, width, "mm" if unit == "mm" else "in", grade):
        click.echo(line)


for command in (rack, done, replan, order, receive, prices):
    steelyard.add_command(command)

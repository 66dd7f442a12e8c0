"""The commands for the days after a plan was made: `done`, `replan`, `order`, `receive` and `prices`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from nesting.cli.options import Command, budget_options
from nesting.cli.rack_options import ledger_option

_PLAN = click.argument("plan", type=click.Path(path_type=Path))


def _words(*names: str, metavar: str, text: str) -> Callable[[Command], Command]:
    """An option that may be given several times."""
    return click.option(*names, multiple=True, metavar=metavar, help=text)


@click.command()
@_PLAN
@click.argument("marks", nargs=-1)
@_words("--spoiled", metavar="STICK:PIECE", text="A piece that was cut and is no good: 3:2.")
@_words(
    "--left", metavar="STICK=LENGTH", text="What is left of a stick or sheet, measured: 3=41-1/2, s2=24x36."
)
@_words("--need", metavar="MARK=+N", text="More of a part are wanted, or fewer: G4=+2, G4=-1.")
@_words("--kerf", metavar="SAW=LENGTH", text="The kerf of a saw, measured anew.")
@_words("--bought", metavar="YARD", text="The order of a yard is on hand; all: of every yard.")
@click.option(
    "--form", is_flag=True, help="Write done.csv in the folder of the plan, a form to fill in at the saw."
)
@click.option("--from", "filled", type=click.Path(path_type=Path), help="Read a form that was filled in.")
@click.option("--undo", is_flag=True, help="Take back what was recorded last.")
@ledger_option
def done(
    plan: Path,
    marks: tuple[str, ...],
    spoiled: tuple[str, ...],
    left: tuple[str, ...],
    need: tuple[str, ...],
    kerf: tuple[str, ...],
    bought: tuple[str, ...],
    form: bool,
    filled: Path | None,
    undo: bool,
    rack: Path | None,
) -> None:
    """Record what is cut by a plan; without words, show where the work stands.

    MARKS are sticks and sheets by their numbers on the papers: 3 (all of stick 3 is cut), 3-8, 3:2 (the first two
    pieces of stick 3), s2 (sheet 2), all.
    """
    from nesting.cli.working import Words, record_work

    words = Words(marks=marks, spoiled=spoiled, left=left, need=need, kerf=kerf, bought=bought)
    record_work(plan, words, form, filled, undo, rack)


@click.command()
@_PLAN
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="Folder for the new plan; JOB.2.plan, JOB.3.plan ... if left out.",
)
@click.option(
    "--no-buying", is_flag=True, help="Plan with what is there, and say which parts cannot be made."
)
@budget_options
def replan(plan: Path, out: Path | None, no_buying: bool, time_s: float, work: int | None, seed: int) -> None:
    """Plan what is left of a plan, by what `done` recorded: a new plan with its papers.

    Finished pieces stay finished, begun sticks count as what is left of them, and what was bought is used first.
    """
    from nesting.cli.replanning import replan_left
    from nesting.plan import Settings

    settings = Settings(time_s=None if work else time_s, work=work, seed=seed)
    replan_left(plan, out, settings, not no_buying)


@click.command()
@_PLAN
def order(plan: Path) -> None:
    """Write what a plan orders, a workbook and a PDF for each yard, in its folder."""
    from nesting.cli.ordering import write_orders

    write_orders(plan)


@click.command()
@_PLAN
@click.argument("filled", required=False, type=click.Path(path_type=Path))
@_words("--came", metavar="LINE=COUNT", text="What came of a line: 1=3, or 1=2 of 19' 6, at 61.20, heat H91.")
@ledger_option
def receive(plan: Path, filled: Path | None, came: tuple[str, ...], rack: Path | None) -> None:
    """Record what came of an order, from its FILLED in workbook or in words, and tell what differs."""
    from nesting.cli.ordering import receive_order

    receive_order(plan, filled, came, rack)


@click.command()
@_PLAN
@budget_options
def prices(plan: Path, time_s: float, work: int | None, seed: int) -> None:
    """Say how far the price of each material may rise before another plan is cheaper, by planning again.

    The budget is that of each plan that is made.
    """
    from nesting.cli.pricing import show_limits
    from nesting.plan import Settings

    show_limits(plan, Settings(time_s=None if work else time_s, work=work, seed=seed))

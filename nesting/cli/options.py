"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable

import click

Command = Callable[..., object]

_BUDGET = (
    click.option(
        "--time",
        "time_s",
        type=click.FloatRange(min=0.0),
        default=10.0,
        show_default=True,
        help="Seconds for the whole job, if it is not proved earlier.",
    ),
    click.option(
        "--work",
        type=click.IntRange(min=1),
        help="Steps for each group instead of seconds: the same plan on any machine.",
    ),
    click.option(
        "--seed", type=click.IntRange(min=0), default=0, show_default=True, help="Seed of all random choices."
    ),
)


def budget_options(command: Command) -> Command:
    """Add how long a plan may take, and the seed."""
    for option in reversed(_BUDGET):
        command = option(command)
    return command

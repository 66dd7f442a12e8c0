"""Errors in front of a user: plain sentences and exit codes, never a traceback.

Exit codes: 0 done, 1 failed (nothing written, or the program's own fault), 2 bad input or misuse.
"""

from __future__ import annotations

import tempfile
import traceback
from pathlib import Path

import click

from nesting.findings import InputError, OccupiedError, OutputError, PlanBroken
from nesting.version import VERSION
from stock.errors import BadValue, RackTrouble

_MOST_LINES = 60


def run(command: click.Command, args: list[str] | None = None) -> int:
    """Run a command; returns the exit code after telling the user what went wrong, if anything."""
    try:
        result = command.main(args=args, prog_name="steelyard", standalone_mode=False)
        return result if isinstance(result, int) else 0
    except click.exceptions.Abort:
        return _say(["stopped before there was anything to hand over"], 1)
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except InputError as error:
        return _say(_first_of([str(f) for f in error.findings]), 2)
    except (BadValue, OccupiedError) as error:
        return _say([str(error)], 2)
    except (OutputError, RackTrouble) as error:
        return _say([str(error)], 1)
    except PlanBroken as error:
        return _own_fault("the check found breaches in the plan, so nothing is written", list(error.breaches))
    except Exception:
        return _own_fault("something went wrong that should not", traceback.format_exc().splitlines())


def _first_of(lines: list[str]) -> list[str]:
    """As many lines as one reads; the rest counted."""
    more = len(lines) - _MOST_LINES
    return [*lines[:_MOST_LINES], f"and {more} more"] if more > 0 else lines


def _say(lines: list[str], code: int) -> int:
    for line in lines:
        click.echo(line, err=True)
    return code


def _own_fault(what: str, details: list[str]) -> int:
    """Keep the details in a file and name it."""
    head = [f"steelyard {VERSION}", what, *details]
    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="steelyard-", suffix=".log", delete=False, encoding="utf-8", newline="\n"
        ) as log:
            log.write("\n".join(head) + "\n")
        where = f"; please send {Path(log.name)} and the job"
    except OSError:
        where = "; please send the job"
    return _say([f"{what}. This is the program's own fault{where}."], 1)

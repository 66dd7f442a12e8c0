"""The command line: it calls the chain read, plan, check, write, and prints.

Heavy libraries are loaded inside the commands, so that help and version answer at once.
"""

from __future__ import annotations

import sys

from nesting.cli.commands import steelyard
from nesting.cli.failures import run


def main() -> None:
    """Entry point of the `steelyard` command."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a console that lacks a sign shows a stand-in
    sys.exit(run(steelyard))


__all__ = ["main", "steelyard"]

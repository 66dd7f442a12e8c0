"""Tables of standard sizes, gauges, pipe schedules and grades; each row names its source.

`published` means read in the named source, `derived` worked out from a published value, `from memory`
that the source was not at hand. A size that is in no table is fine wherever a formula exists.
"""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of a table, by column name: "angles", "channels", "gauges", "grades" or "pipes"."""
    text = (files(__name__) / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))

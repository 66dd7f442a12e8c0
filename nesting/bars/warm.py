"""Whether the compiled kernels are at hand, so that a first run can say what it waits for."""

from __future__ import annotations

from pathlib import Path

from nesting.bars import knapsack


def is_compiled() -> bool:
    """Whether an earlier run left compiled kernels in numba's cache."""
    folder = knapsack.tables.stats.cache_path
    return folder is not None and any(Path(folder).glob("knapsack.tables-*.nbi"))

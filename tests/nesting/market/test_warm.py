"""The first plan of a machine waits for the compiler before its clock runs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from numba import config

from nesting.market.warm import compile_for, needs_compiling
from nesting.plan import Plan
from tests.nesting.made import inch_plan
from tests.nesting.made_sheets import plate_plan


@pytest.mark.parametrize("make", [inch_plan, plate_plan])
def test_once_compiled_for_a_job_nothing_is_left_to_compile(make: Callable[[], Plan]) -> None:
    job = make().job
    compile_for(job)
    assert not needs_compiling(job)


def test_a_folder_without_compiled_kernels_is_noticed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from nesting.bars import rolled

    monkeypatch.setattr(type(rolled.roll.stats), "cache_path", str(tmp_path), raising=False)
    assert config.CACHE_DIR
    assert needs_compiling(inch_plan().job)

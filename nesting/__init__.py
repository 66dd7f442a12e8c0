"""Steelyard: from a metal shop's part list to what to buy, how to cut it and what it costs.

The whole program in four calls::

    job = read_job("my-job")                     # a folder of .csv files or a workbook
    plan = make_plan(job, Settings(time_s=20))
    breaches = check_plan(plan)                  # empty: the plan is sound
    write_plan(plan, "my-job.plan")              # workbook, page, plan.json

Names are loaded when first used, so that importing the package stays quick.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from nesting.check import check_plan
    from nesting.findings import Finding, InputError, OutputError, PlanBroken
    from nesting.job import Job
    from nesting.market import make_plan
    from nesting.plan import Plan, Settings
    from nesting.read import read_job, start_job
    from nesting.write import read_plan, write_plan

__all__ = [
    "Finding",
    "InputError",
    "Job",
    "OutputError",
    "Plan",
    "PlanBroken",
    "Settings",
    "check_plan",
    "make_plan",
    "read_job",
    "read_plan",
    "start_job",
    "write_plan",
]

_HOMES = {
    "Finding": "findings",
    "InputError": "findings",
    "Job": "job",
    "OutputError": "findings",
    "Plan": "plan",
    "PlanBroken": "findings",
    "Settings": "plan",
    "check_plan": "check",
    "make_plan": "market",
    "read_job": "read",
    "read_plan": "write",
    "start_job": "read",
    "write_plan": "write",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)

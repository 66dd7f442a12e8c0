"""Hands the plan over: page, papers, workbook, drawings, plan.json, and an inquiry for what has no price."""

from nesting.write.archive import read_plan
from nesting.write.deliver import write_plan
from nesting.write.folder import refuse_occupied

__all__ = ["read_plan", "refuse_occupied", "write_plan"]

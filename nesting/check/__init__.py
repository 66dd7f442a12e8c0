"""The independent check: reads a plan and says every breach of the rules, and what its proofs are worth.

It shares `stock` and the immutable job and plan with the solvers, and nothing else: geometry, stock keeping,
money and the pricing behind the bounds are its own.
"""

from nesting.check.report import COVERS, GroupCheck, Report, check_plan, check_report
from nesting.check.rounding import rounded_bound

__all__ = ["COVERS", "GroupCheck", "Report", "check_plan", "check_report", "rounded_bound"]

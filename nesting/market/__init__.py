"""The market: builds the groups' problems, has them solved, and puts the answers together into one plan."""

from __future__ import annotations

from nesting.market.make import make_plan

__all__ = ["make_plan"]

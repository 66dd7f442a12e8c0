"""What a job costs to make: material, hours and supplies, each line with how it came about."""

from nesting.estimate.line import Estimate, Line
from nesting.estimate.make import estimate_of
from nesting.estimate.rates import Rates, rates_of

__all__ = ["Estimate", "Line", "Rates", "estimate_of", "rates_of"]

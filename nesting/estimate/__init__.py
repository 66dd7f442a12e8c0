"""What a job costs to make: material, hours and supplies, each line with how it came about."""

from nesting.estimate.line import Estimate, Line
from nesting.estimate.make import estimate_of
from nesting.estimate.rates import Rates, rates_of
from nesting.estimate.torch import TorchWork, torch_holes, torch_work

__all__ = ["Estimate", "Line", "Rates", "TorchWork", "estimate_of", "rates_of", "torch_holes", "torch_work"]

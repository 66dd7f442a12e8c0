"""Prices from the middle of all optimal ones: a pattern that no optimal relaxation uses is dear at them.

A corner of the optimal prices, as the simplex method gives it, leaves many patterns without reduced cost that no
cheap solution can hold. At the centre they all have some, so that the list of what a solution at the bound can be
made of gets short, often by orders of magnitude.

Source: Goldman and Tucker 1956 (strictly complementary solutions); interior point methods without crossover end near
the analytic centre of the optimal face (Güler and Ye 1993).
"""

from __future__ import annotations

from nesting.bars.bound import SafeBound, safe_bound
from nesting.bars.columns import worthwhile
from nesting.bars.master import Master
from nesting.bars.pricing import Pricer
from nesting.bars.types import Ints
from nesting.progress import Budget

_ROUNDS = 60


def central_bound(master: Master, pricer: Pricer, demands: Ints, budget: Budget) -> SafeBound | None:
    """The bound of central prices, with its certificate; None if they were not found within the budget.

    Parameters
    ----------
    master
        With the patterns of an optimal relaxation; what is worth more than it costs at central prices is added.
    """
    for _ in range(_ROUNDS):
        if budget.over():
            return None
        budget.spend()
        central = master.central_duals()
        if central is None:
            return None
        duals, source_duals = central
        patterns, _ = worthwhile(master, pricer, duals, duals, source_duals, demands)
        if not master.add(patterns):
            return safe_bound(pricer, duals, source_duals)
    return None

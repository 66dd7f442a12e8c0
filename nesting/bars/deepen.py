"""Proof from below: search ever wider bands above the bound, until a solution turns up or nothing is left.

A solution that costs at most bound + g uses only patterns whose reduced cost is at most g. So the patterns of a
band are listed and combined exactly: a solution found is the best there is, none found lifts the bound.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nesting.bars.bound import SafeBound
from nesting.bars.enumerate import list_patterns
from nesting.bars.mip import combine
from nesting.bars.pricing import Pricer
from nesting.bars.problem import Pattern
from nesting.bars.solution import Solution, cost_of
from nesting.progress import Budget
from stock.money import Cost

_FIRST_LIST = 150
_LONGEST_LIST = 150_000


@dataclass(slots=True)
class Deepening:
    """Where the proof stands.

    Parameters
    ----------
    pricer, start
        The problem and the bound to start from.
    bound
        Proved so far.
    """

    pricer: Pricer
    start: SafeBound
    bound: Cost
    most: int = _FIRST_LIST
    seconds: float = 1.0
    finished: bool = False

    def step(self, best: Cost, budget: Budget) -> Solution | None:
        """Search the next band below the best cost known; returns a cheaper solution if there is one.

        `bound` is lifted where the search was complete; `finished` says that no further step can help.
        """
        step = self.pricer.problem.cost_step
        band = self._widest_band(best - step)
        if band is None:
            self._widen()
            return None
        top, patterns = band
        demands = np.array(self.pricer.problem.demands, np.int64)
        answer = combine(
            self.pricer.problem, patterns, demands, {}, top + step, budget, self.seconds, nodes=2_000
        )
        if answer.solution is not None:
            if answer.complete:
                self.bound = max(self.bound, cost_of(self.pricer.problem, answer.solution))
            return answer.solution
        if answer.complete:
            self.bound = max(self.bound, top + step)
            self._widen()
            return None
        self.seconds *= 2.0
        if budget.counted or self.seconds > 64.0:
            self.finished = True
        return None

    def _widen(self) -> None:
        if self.most >= _LONGEST_LIST:
            self.finished = True
        self.most *= 2

    def _widest_band(self, highest: Cost) -> tuple[Cost, list[Pattern]] | None:
        """The highest cost, up to `highest`, whose list of patterns is not too long, and the list."""
        step = self.pricer.problem.cost_step
        low, high = self.bound - step, highest
        patterns = self._list(high)
        if patterns is not None:
            return high, patterns
        best: tuple[Cost, list[Pattern]] | None = None
        while high - low > step:
            middle = low + (high - low) // (2 * step) * step
            patterns = self._list(middle)
            if patterns is None:
                high = middle
            else:
                low, best = middle, (middle, patterns)
                if len(patterns) > self.most // 2:
                    break
        return best

    def _list(self, top: Cost) -> list[Pattern] | None:
        step = self.pricer.problem.cost_step
        return list_patterns(self.pricer, self.start.certificate, top + step, self.most)

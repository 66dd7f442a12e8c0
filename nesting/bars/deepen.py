"""Proof from below: search ever wider bands above the bound, until a solution turns up or nothing is left.

A solution that costs at most bound + g uses only patterns whose reduced cost is at most g. So the patterns of a
band are listed and combined exactly: a solution found is the best there is, none found lifts the bound. As long as it
goes, the corner relaxation does this in no time; then whole-number masters do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nesting.bars.bound import SafeBound
from nesting.bars.corner import Corner
from nesting.bars.enumerate import Listed, dual_value, spare_copies, widest_band
from nesting.bars.mip import combine
from nesting.bars.pricing import Pricer
from nesting.bars.solution import Solution, cost_of
from nesting.progress import Budget
from stock.money import Cost

_FIRST_LIST = 150
_LONGEST_LIST = 150_000
_FIRST_CORNER = 2_000
_LONGEST_CORNER = 600_000
_FIRST_SECONDS = 1.0
_LONGEST_SECONDS = 64.0


@dataclass(slots=True)
class Deepening:
    """Where the proof stands.

    Parameters
    ----------
    pricer, start
        The problem and the bound to start from.
    corner
        The lattice of the last basis of the relaxation; None if there is none to use.
    bound
        Proved so far.
    """

    pricer: Pricer
    start: SafeBound
    corner: Corner | None
    bound: Cost
    rng: np.random.Generator
    most: int = _FIRST_LIST
    corner_most: int = _FIRST_CORNER
    seconds: float = _FIRST_SECONDS
    finished: bool = False

    def step(self, best: Cost, budget: Budget) -> Solution | None:
        """Search the next band below the best cost known; returns a cheaper solution if there is one.

        `bound` is lifted where the search was complete; `finished` says that no further step can help.
        """
        budget.spend()
        if self.corner is not None:
            return self._step_corner(self.corner, best, budget)
        return self._step_masters(best, budget)

    def _step_corner(self, corner: Corner, best: Cost, budget: Budget) -> Solution | None:
        """One band by the corner relaxation; once that has met its own optimum it has nothing more to say."""
        problem, certificate = self.pricer.problem, self.start.certificate
        band = self._widest_band(best - problem.cost_step, self.corner_most, budget)
        if band is None:
            self._widen_corner()
            return None
        rounded = corner.round(band[1], band[0], best, budget, self.rng)
        if rounded is None:
            self.corner = None
            return None
        least = -(-(dual_value(problem, certificate) + rounded.least) // certificate.scale)
        self.bound = max(self.bound, min(best, -(-least // problem.cost_step) * problem.cost_step))
        if rounded.met:
            self.corner = None
        else:
            self._widen_corner()
        return rounded.solution

    def _widen_corner(self) -> None:
        self.corner_most *= 4
        if self.corner_most > _LONGEST_CORNER:
            self.corner = None

    def _step_masters(self, best: Cost, budget: Budget) -> Solution | None:
        """One band by a whole-number master."""
        problem = self.pricer.problem
        band = self._widest_band(best - problem.cost_step, self.most, budget)
        if band is None:
            self._widen()
            return None
        top, listed = band
        patterns = [p for part in listed for p in part.patterns()]
        demands = np.array(problem.demands, np.int64)
        spare = spare_copies(problem, self.start.certificate, top)
        answer = combine(
            problem, patterns, demands, {}, top + problem.cost_step, budget, self.seconds, 2_000, spare
        )
        if answer.solution is not None:
            if answer.complete:
                self.bound = max(self.bound, cost_of(problem, answer.solution))
        elif answer.complete:
            self.bound = max(self.bound, top + problem.cost_step)
            self._widen()
        else:
            self.seconds *= 2.0
            self.finished = budget.counted or self.seconds > _LONGEST_SECONDS
        return answer.solution

    def _widen(self) -> None:
        self.finished = self.most >= _LONGEST_LIST
        self.most *= 2

    def _widest_band(self, highest: Cost, most: int, budget: Budget) -> tuple[Cost, list[Listed]] | None:
        return widest_band(self.pricer, self.start.certificate, self.bound, highest, most, budget)

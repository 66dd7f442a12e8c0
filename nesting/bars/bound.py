"""A bound that is safe against rounding: integer dual prices, exact pricing, exact rounding up.

Source: Farley 1990, *A note on bounding a class of linear programming problems* (scaling prices down until no
pattern is worth more than it costs); the rest is integer arithmetic.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from nesting.bars.pricing import Priced, Pricer
from nesting.bars.problem import Certificate, Problem
from nesting.bars.types import Floats, Ints
from stock.money import Cost


@dataclass(frozen=True, slots=True)
class SafeBound:
    """No plan costs less than `value`; `certificate` says why."""

    value: Cost
    certificate: Certificate


def whole_prices(duals: Floats, scale: int) -> Ints:
    """Dual prices as whole multiples of 1/scale, rounded down."""
    whole: Ints = np.floor(np.maximum(duals, 0.0) * scale).astype(np.int64)
    return whole


def safe_bound(
    pricer: Pricer, duals: Floats, source_duals: dict[int, float], knows_forms: bool = False
) -> SafeBound:
    """Turn the prices of a linear relaxation into a proved bound.

    Parameters
    ----------
    duals
        Price of each item, ten-thousandths.
    source_duals
        Price of each limited source; negative where its limit binds.
    knows_forms
        Whether sticks with a form are priced by what can be cut from them, which lifts the bound and which the
        check cannot verify; else by sums of weights alone.
    """
    problem, scale = pricer.problem, pricer.scale
    demands = np.array(problem.demands, np.int64)
    price = pricer.best if knows_forms else pricer.at_most
    prices = clipped(problem, whole_prices(duals, scale), scale)
    prices = _scaled_down(problem, price, prices, source_duals, demands, scale)
    found = price(prices, _thresholds(problem, scale, {}), demands)
    if not all(p.exact for p in found.values()):
        prices = np.zeros_like(prices)
        found = {}
    worth = {
        t: p.value
        for t, p in found.items()
        if problem.worth_limit(t, scale) > 0 or not _is_clipped(problem, t)
    }
    source_prices = [0] * len(problem.sources)
    for t, stock in enumerate(problem.stocks):
        if problem.sources[stock.source].limit is not None and t in worth:
            over = worth[t] - problem.worth_limit(t, scale)
            source_prices[stock.source] = max(source_prices[stock.source], over)
    total = sum(int(p) * d for p, d in zip(prices, problem.demands, strict=True))
    total -= sum(p * (s.limit or 0) for p, s in zip(source_prices, problem.sources, strict=True))
    value = max(0, -(-total // scale))
    step = problem.cost_step
    return SafeBound(
        -(-value // step) * step, Certificate(scale, tuple(int(p) for p in prices), tuple(source_prices))
    )


def length_bound(problem: Problem, scale: int) -> SafeBound:
    """The bound of prices by length: each item its share of the stick that is cheapest for it, all of it used.

    No stick is then worth more than it costs, because what it holds is no longer than it is; nothing need be priced.
    """
    prices = [0] * len(problem.items)
    if not any(stock.rate[0] or stock.form is not None for stock in problem.stocks):
        shares: list[list[int]] = [[] for _ in problem.items]
        for stock, weights in zip(problem.stocks, problem.weights, strict=True):
            for i, weight in weights.items():
                if weight <= stock.capacity:
                    shares[i].append(weight * stock.cost * scale // stock.capacity)
        prices = [min(share, default=0) for share in shares]
    value = -(-sum(p * d for p, d in zip(prices, problem.demands, strict=True)) // scale)
    step = problem.cost_step
    certificate = Certificate(scale, tuple(prices), (0,) * len(problem.sources))
    return SafeBound(-(-value // step) * step, certificate)


def clipped(problem: Problem, prices: Ints, scale: int) -> Ints:
    """Prices at which no stick cut to length for nothing is worth more than it costs.

    Where the last kerf is saved and the cut is free, the limit on what a stick may be worth beyond its own material
    is below zero. Once each item alone keeps to it, all of them together do; such stocks need no pricing then.
    """
    clipped = prices.copy()
    for t, stock in enumerate(problem.stocks):
        allowed = problem.worth_limit(t, scale)
        num, den = stock.rate
        if _is_clipped(problem, t) and allowed <= 0:
            for i in stock.items:
                own = problem.weights[t][i] * num * scale // den
                clipped[i] = min(clipped[i], max(0, own + allowed))
    return clipped


def _is_clipped(problem: Problem, t: int) -> bool:
    """Whether a limit below zero holds by clipped prices; where rests of scarce sticks earn, the source has a price."""
    stock = problem.stocks[t]
    return stock.is_cut_to_length or (stock.rest is not None and problem.sources[stock.source].limit is None)


def _scaled_down(
    problem: Problem,
    price: Callable[[Ints, Sequence[int], Ints], dict[int, Priced]],
    prices: Ints,
    source_duals: dict[int, float],
    demands: Ints,
    scale: int,
) -> Ints:
    """Prices at which no stick of an unlimited source is worth more than it costs."""
    for _ in range(3):
        thresholds = _thresholds(problem, scale, source_duals)
        found = price(prices, thresholds, demands)
        shrink = 1.0
        for t, priced in found.items():
            stock = problem.stocks[t]
            unlimited = problem.sources[stock.source].limit is None
            allowed = problem.worth_limit(t, scale)
            if unlimited and allowed > 0 and (priced.value > allowed or not priced.exact):
                if not priced.exact:
                    return np.zeros_like(prices)
                shrink = min(shrink, allowed / priced.value)
        if shrink == 1.0:
            return prices
        prices = np.floor(prices * (shrink * (1.0 - 2e-16))).astype(np.int64)
    return np.zeros_like(prices)


def _thresholds(problem: Problem, scale: int, source_duals: dict[int, float]) -> list[int]:
    """What a stick of each stock may be worth: its cost, and the price of its limited source."""
    return [
        problem.worth_limit(t, scale)
        + (
            int(max(0.0, -source_duals.get(s.source, 0.0)) * scale)
            if problem.sources[s.source].limit is not None
            else 0
        )
        for t, s in enumerate(problem.stocks)
    ]

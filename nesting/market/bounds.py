"""From a bound in ten-thousandths to a bound on what is printed: lines are rounded to the cent."""

from __future__ import annotations

from math import gcd

from nesting.market.build import Built
from nesting.market.supply import Alike, Size, stick_cost
from stock.money import Cost
from stock.offer import Offer


def printed_bound(bound: Cost, built: Built, sizes: tuple[Size, ...], priced: bool) -> Cost:
    """The least that a plan's lines can add up to, if before rounding it costs at least `bound`.

    A line of n sticks at a price p is rounded half up from a multiple of gcd(p, 1 cent), so it loses less than half
    a cent of such multiples, less what its row is dearer than the cheapest row of the size. Sticks cut to length
    make a line for each length, at most one for each piece. What rests earn is whole cents, stick by stick, so that
    no line of it is rounded; but a dearer row may earn a cent more a stick, so that there it is only known that all of
    it costs no less before any rounding. Where rack values are whole cents, so is the whole, which is then at least
    the next cent.
    """
    if not priced:
        return bound
    problem = built.problem
    loss = problem.cost_step - 1 if built.earns and any(len(size.rows) > 1 for size in sizes) else 0
    for size in sizes:
        if size.rows[0].cut_to_length is None:
            prices = [stick_cost(o, priced)[0] for o in size.rows]
            loss += max(_loss(p) - (0 if built.earns else p - min(prices)) for p in prices)
    loose = {i for s in problem.stocks if _is_cut_to_length(built.origins[s.source]) for i in s.items}
    loss += 49 * sum(problem.items[i].demand for i in loose)
    least = max(0, bound - loss)
    racks = [s.cost for s in problem.stocks if isinstance(built.origins[s.source], Alike)]
    return -(-least // 100) * 100 if all(v % 100 == 0 for v in racks) else least


def _is_cut_to_length(origin: Offer | Alike) -> bool:
    return isinstance(origin, Offer) and origin.cut_to_length is not None


def _loss(price: Cost) -> Cost:
    step = gcd(price, 100)
    return 49 // step * step

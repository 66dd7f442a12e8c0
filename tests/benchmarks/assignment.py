"""The model that most would write first: CP-SAT decides how many of each part are cut from each single stick."""

from __future__ import annotations

from decimal import Decimal

from ortools.sat.python import cp_model

from nesting.job import Job
from nesting.rules.stick_ways import usable_length

_CENTS = 100


def assignment_cost(job: Job, seconds: float, below: Decimal) -> Decimal | None:
    """Money of the best plan that the assignment model finds in a time; None if it finds none.

    Parameters
    ----------
    job
        One section, one saw, offers of any number; the rack costs nothing.
    below
        Cost of some plan: no more sticks are put into the model than so much money buys of the cheapest.
    """
    (saw,) = job.saws
    model = cp_model.CpModel()
    needs = [p.extent + saw.kerf for p in job.parts]
    left: list[list[cp_model.IntVar]] = [[] for _ in job.parts]
    cost: list[cp_model.LinearExpr] = []
    rooms = [
        (usable_length(job, o.length, o.clean_ends, saw), int(o.unit_price() * _CENTS)) for o in job.offers
    ]
    bought = int(below * _CENTS) // min(price for _, price in rooms)
    racked = [usable_length(job, r.length, r.clean_ends, saw) for r in job.rack]
    last: cp_model.LinearExpr | int = 1
    for n in range(len(racked) + bought):
        longest = racked[n] if n < len(racked) else max(room for room, _ in rooms)
        held = [
            model.new_int_var(0, min(job.copies(p), longest // need), "")
            for p, need in zip(job.parts, needs, strict=True)
        ]
        for counts, k in zip(left, held, strict=True):
            counts.append(k)
        used = sum(need * k for need, k in zip(needs, held, strict=True))
        if n < len(racked):
            model.add(used <= racked[n])
            continue
        sizes = [model.new_bool_var("") for _ in rooms]
        model.add_at_most_one(sizes)
        model.add(used <= sum(room * y for (room, _), y in zip(rooms, sizes, strict=True)))
        model.add(sum(sizes) <= last)  # sticks are alike: the ones not bought come last
        last = sum(sizes)
        cost.append(cp_model.LinearExpr.weighted_sum(sizes, [price for _, price in rooms]))
    for part, counts in zip(job.parts, left, strict=True):
        model.add(sum(counts) == job.copies(part))
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return Decimal(round(solver.objective_value)) / _CENTS

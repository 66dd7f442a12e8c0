"""What is remembered from one problem of a group for the next."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from nesting.bars.solve import Search
from nesting.job import Job
from nesting.market.build import Built, build
from nesting.market.memory import Memory
from nesting.market.supply import choices_of, sizes_of
from nesting.progress import Budget, Silent
from nesting.rules.sources import groups_of
from stock.length import PER_INCH
from tests.benchmarks.burdened import with_haul_limit
from tests.benchmarks.mitred import with_mitres
from tests.benchmarks.shop import random_job


def _built(job: Job) -> Built:
    (group,) = groups_of(job)
    sizes = sizes_of(group)
    return build(job, group, sizes, next(choices_of(sizes)), True)


def _dearer(job: Job) -> Job:
    """The same offers but the last one, at other prices."""
    offers = tuple(replace(o, price=(o.price or Decimal(0)) + n) for n, o in enumerate(job.offers))
    return replace(job, offers=offers[:-1])


def test_every_pattern_recalled_can_be_cut_and_the_bound_is_that_of_a_search_without_them() -> None:
    """Mitred parts from sticks that a yard parts, at other prices and with a size less."""
    job = with_mitres(with_haul_limit(random_job(3, 6, 60, 1, "in")), 3)
    memory = Memory()
    first, second = memory.with_known_forms(_built(job)), memory.with_known_forms(_built(_dearer(job)))
    work = Budget(None, 20_000, Silent())
    memory.keep(first, Search(first.problem, work, 0).master.patterns)
    known = memory.recall(second)
    assert known
    assert all(second.problem.can_be_cut(pattern) for pattern in known)
    warm = Search(second.problem, Budget(None, 20_000, Silent()), 0, known, is_planned=False)
    cold = Search(second.problem, Budget(None, 20_000, Silent()), 0)
    assert warm.is_relaxed
    assert cold.is_relaxed
    assert abs(warm.lifted.value - cold.lifted.value) <= cold.lifted.value // 1_000


def test_nothing_is_recalled_for_parts_of_other_lengths() -> None:
    job = random_job(3, 6, 60, 0, "in")
    shorter = tuple(replace(p, length=p.length - PER_INCH, extent=p.extent - PER_INCH) for p in job.parts)
    memory = Memory()
    first = memory.with_known_forms(_built(job))
    memory.keep(first, Search(first.problem, Budget(None, 20_000, Silent()), 0).master.patterns)
    assert memory.recall(memory.with_known_forms(_built(job)))
    assert not memory.recall(memory.with_known_forms(_built(replace(job, parts=shorter))))

"""Compiles the solver's kernels before any clock runs: on a machine's first plan that takes longer than the plan."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np

from nesting.bars import rolled
from nesting.bars.form import Segments
from nesting.bars.parted import PartedSticks
from nesting.bars.sparse import Wide
from nesting.job import Job, Part, Saw, Shop
from nesting.market.make import make_plan
from nesting.plan import Settings
from nesting.plates import fill
from nesting.plates.chance import chance_of
from nesting.plates.construct import construct
from nesting.plates.field import desk_for, field_of
from nesting.plates.improve import improve
from nesting.plates.problem import RectItem, RectProblem, SheetKind, Turn
from stock.length import PER_INCH
from stock.material import Material, parse_material
from stock.offer import Basis, Offer

_WORK = Settings(time_s=None, work=60)


def needs_compiling(job: Job) -> bool:
    """Whether kernels that a job takes were never compiled on this machine."""
    return not _is_kept(rolled.roll) or (_has_plates(job) and not _is_kept(fill.fill))


def compile_for(job: Job) -> None:
    """Plan a small job of the same kind, so that whatever a plan takes is compiled and kept."""
    make_plan(_sticks(), _WORK)
    _wide_sticks()
    if _has_plates(job):
        make_plan(_sheets(), _WORK)
        _search_on()


def _wide_sticks() -> None:
    """Pricing of sticks too wide for a table, and of such that the yard parts, which the small job does not need."""
    some = np.array([70_000, 30_000], np.int64)
    Wide(some, some, some // some, 100_000).several(100_000, 0)
    form = Segments((100_000,) * 3, ((0, 70_000), (1, 30_000)))
    parted = PartedSticks(form, np.arange(2), some, some, some // some, 250_000)
    parted.best_cut(250_000, 0)
    parted.rows.fine.hope(form.caps, 250_000)


def _is_kept(kernel: Any) -> bool:
    """Whether an earlier run left a compiled kernel in numba's cache."""
    folder = kernel.stats.cache_path
    name = kernel.py_func.__name__
    return folder is not None and any(Path(folder).glob(f"*.{name}-*.nbi"))


def _has_plates(job: Job) -> bool:
    return any(part.is_plate for part in job.parts)


def _sticks() -> Job:
    tube = parse_material("tube 2 x 2 x 1/8", unit="in")
    parts = [_part(n, 5 + n, tube, 17 + 7 * n) for n in range(4)]
    offers = [_offer(1, tube, 240, "62"), _offer(2, tube, 288, "71")]
    return Job(
        name="first", parts=tuple(parts), offers=tuple(offers), saws=(Saw(name="saw", kerf=PER_INCH // 8),)
    )


def _sheets() -> Job:
    plate, flat = (parse_material(text, unit="in") for text in ("plate 1/4", "flat 1/4 x 4"))
    parts = [_part(n, 3 + n, plate, 9 - n, 4 + n % 3) for n in range(4)]
    offers = [_offer(1, flat, 240, "41"), _offer(2, plate, 48, "98", 24), _offer(3, plate, 36, "77", 24)]
    shop = Shop(processes=("torch", "saw"), bed=(24 * PER_INCH, 24 * PER_INCH))
    saws = (Saw(name="saw", kerf=PER_INCH // 8, trim=PER_INCH // 4),)
    return Job(
        name="first", parts=(*parts, _part(9, 3, flat, 22)), offers=tuple(offers), saws=saws, shop=shop
    )


def _search_on() -> None:
    """A step of the search that sheets take whose plan is not proved at once."""
    kinds = tuple(SheetKind(width=w, height=12, cost=w, items=(0,)) for w in (16, 17))
    field = field_of(RectProblem((RectItem(width=7, height=5, demand=9, turn=Turn.QUARTER),), kinds))
    desk, chance = desk_for(field), chance_of(0)
    construct(field, desk, field.areas, 1, 0, 0, 0.0, chance)
    improve(field, desk, field.areas, 400, 1, chance)


def _part(number: int, qty: int, material: Material, length: int, width: int | None = None) -> Part:
    wide = None if width is None else width * PER_INCH
    return Part(mark=f"P{number}", qty=qty, material=material, length=length * PER_INCH, width=wide)


def _offer(number: int, material: Material, length: int, price: str, width: int | None = None) -> Offer:
    ticks = length * PER_INCH
    return Offer(
        id=f"offer {number}",
        yard="yard",
        material=material,
        length=ticks,
        longest=ticks,
        width=None if width is None else width * PER_INCH,
        price=Decimal(price),
        per=Basis.EACH,
    )

"""First look at a plan: every value is of the declared kind, finite and of a size that can be reckoned with.

A plan may come from a file that was edited by hand. What passes here cannot make the later checks stumble.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from decimal import Decimal
from functools import cache
from math import isfinite
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from nesting.job import Job, Part, Saw, Shop
from nesting.plan import Plan
from stock.errors import BadValue
from stock.material import Material
from stock.offer import Offer
from stock.rack import RackPiece

LARGEST_WHOLE = 2**46
"""Of lengths in ticks (some twenty kilometres) and of counts."""
LARGEST_MONEY = Decimal(10) ** 12
FINEST_MONEY = -40
"""Least exponent of a Decimal."""
_OWN_LIMITS = {"Bound"}
"""The certificate may hold larger numbers; its own check limits them."""


def shape_breaches(plan: Plan) -> list[str]:
    """Say which values of a plan are not what they are declared to be, or cannot be."""
    found = list(_kinds(plan, Plan, "plan", True))
    return found or [*_job_numbers(plan.job), *_once_more(plan.job)]


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)


def _kinds(value: object, declared: Any, where: str, limited: bool) -> Iterator[str]:
    """Walk down a value beside its declared type."""
    origin = get_origin(declared)
    if origin in (Union, UnionType):
        yield from _one_of(value, declared, where, limited)
    elif origin is Literal:
        if value not in get_args(declared):
            yield f"{where} is {value!r}, but must be one of {', '.join(map(str, get_args(declared)))}"
    elif origin is tuple:
        yield from _items(value, get_args(declared), where, limited)
    elif not isinstance(declared, type):
        return
    elif declared is float and type(value) is int:
        yield from _too_large(value, where, limited)
    elif not isinstance(value, declared) or (declared is int and isinstance(value, bool)):
        yield f"{where} is {value!r}, but must be of kind {declared.__name__}"
    elif is_dataclass(value):
        kind: Any = type(value)
        hints, limited = _hints(kind), limited and type(value).__name__ not in _OWN_LIMITS
        for f in fields(value):
            yield from _kinds(getattr(value, f.name), hints[f.name], f"{where}.{f.name}", limited)
    else:
        yield from _too_large(value, where, limited)


def _one_of(value: object, declared: Any, where: str, limited: bool) -> Iterator[str]:
    if value is None and NoneType in get_args(declared):
        return
    tries = [list(_kinds(value, d, where, limited)) for d in get_args(declared) if d is not NoneType]
    if all(tries):
        yield from tries[0]


def _items(value: object, kinds: tuple[Any, ...], where: str, limited: bool) -> Iterator[str]:
    if not isinstance(value, tuple):
        yield f"{where} is {value!r}, but must be of kind tuple"
        return
    if kinds[-1:] == (Ellipsis,):
        kinds = kinds[:1] * len(value)
    if len(kinds) != len(value):
        yield f"{where} holds {len(value)} values, but must hold {len(kinds)}"
        return
    for i, (one, kind) in enumerate(zip(value, kinds, strict=True), start=1):
        yield from _kinds(one, kind, f"{where}[{i}]", limited)


def _too_large(value: object, where: str, limited: bool) -> Iterator[str]:
    if isinstance(value, float) and not isfinite(value):
        yield f"{where} is {value}, but must be a finite number"
    elif isinstance(value, Decimal):
        exponent = value.as_tuple().exponent
        if not isinstance(exponent, int):
            yield f"{where} is {value}, but must be a finite number"
        elif abs(value) >= LARGEST_MONEY or exponent < FINEST_MONEY:
            yield f"{where} is {value}, but must be below {LARGEST_MONEY}, {-FINEST_MONEY} decimals at most"
    elif isinstance(value, int) and limited and abs(value) > LARGEST_WHOLE:
        yield f"{where} is {value}, but must be {LARGEST_WHOLE} at most"


def _job_numbers(job: Job) -> Iterator[str]:
    """Numbers of the job that no sound job has."""
    for part in job.parts:
        yield from _at_least(f"part {part.mark}: extent", part.extent, 1)
        yield from _width(f"part {part.mark}", part.material, part.width)
        for end, angle in (("end_a", part.end_a), ("end_b", part.end_b)):
            if not 0 <= angle < 90:
                yield f"job, part {part.mark}: {end} is {angle} degrees, but must be 0 or more and below 90"
    for assembly in job.assemblies:
        yield from _at_least(f"assembly {assembly.name}: qty", assembly.qty, 1)
    for saw in job.saws:
        yield from _at_least(f"saw {saw.name}: trim", saw.trim, 0)
    for offer in job.offers:
        yield from _at_least(f"{offer.id}: price", offer.price, 0)
        yield from _on_grid(f"{offer.id}: cut_to_length", offer.cut_to_length)
        yield from _width(offer.id, offer.material, offer.width)
    for piece in job.rack:
        yield from _width(f"rack {piece.id}", piece.material, piece.width)
        yield from _on_grid(f"rack {piece.id}: value", piece.value)
    for yard in job.yards:
        yield from _at_least(f"yard {yard.name}: delivery", yard.delivery, 0)
        yield from _at_least(f"yard {yard.name}: minimum_order", yard.minimum_order, 0)


def _width(what: str, material: Material, width: int | None) -> Iterator[str]:
    """Plates have a width, bars have none."""
    if material.is_plate != (width is not None):
        yield f"job, {what} is of {material.designation}: {'plate has a width' if width is None else 'bars have none'}"
    yield from _at_least(f"{what}: width", width, 1)


def _at_least(what: str, value: int | Decimal | None, least: int) -> Iterator[str]:
    if value is not None and value < least:
        yield f"job, {what} is {value}, but must be {least} or more"


def _on_grid(what: str, value: Decimal | None) -> Iterator[str]:
    yield from _at_least(what, value, 0)
    if value is not None and value % Decimal("0.0001"):
        yield f"job, {what} is {value}, but must be a multiple of 0.0001"


def _once_more(job: Job) -> Iterator[str]:
    """What a job and its rows check when they are made, in case they were changed behind their backs."""
    rows: tuple[Job | Shop | Part | Saw | Offer | RackPiece, ...] = (
        job,
        job.shop,
        *job.parts,
        *job.saws,
        *job.offers,
        *job.rack,
    )
    for made in rows:
        try:
            made.__post_init__()
        except BadValue as error:
            yield f"job, {error}"

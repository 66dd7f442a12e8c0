"""plan.json: a plan with its job, losslessly, to be read again by this program or by another.

The document (schema "steelyard-plan", version 3)
-------------------------------------------------
`plan.json` is UTF-8 JSON: one object with

| key | holds |
| --- | --- |
| `schema` | the text `steelyard-plan` |
| `version` | 3; raised whenever a reader of the version before would misunderstand the document |
| `plan` | the plan, an object with the fields of `nesting.plan.Plan`, its job inside as `job` |

Every object has the fields of the dataclass it stands for (`nesting/plan.py`, `nesting/job.py`,
`stock/offer.py`, `stock/rack/piece.py`, `stock/material.py`), all of them, under the same names; what they mean
stands there. Beyond that:

- Lengths are whole numbers of ticks: 1 mm = 3,200,000, 1 in = 81,280,000. They may exceed 2^53: read them as
  integers, not as doubles.
- Money, angles and other decimals are strings (`"62.4700"`), so that no digit is lost.
- Weights and other measured quantities are JSON numbers.
- A choice of words is its text (`"rack"`, `"time limit"`); what is not given is `null`; order in lists
  matters.
- A layout names its source by `source_kind` and `source`: the id of an offer or of a rack piece of the job.
- Sticks sawn to length stand in `layouts` of a group, sheets in `sheets`. On a sheet, x counts along its length from
  its first end, y across it from its first edge; outlines are nominal. A straight cut parts its `region` at `stop`
  from the region's near side and takes one kerf (of its saw, of the torch, none for a shear) from what lies behind.
- A stick that the yard parts stands in `partings` of its group, and each segment that is carried home in `layouts`,
  with `segment` saying which it is.
- Version 2 had no turned pieces, partings, credits, orders and hints, version 1 no sheets either: what they lack is
  taken as not given, so that this program reads them as well.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from math import isfinite
from pathlib import Path
from typing import Any

from cattrs import Converter, transform_error
from cattrs.errors import BaseValidationError
from cattrs.v import format_exception

from nesting.findings import Finding, InputError
from nesting.plan import Plan
from stock.grade import Family
from stock.offer import Basis
from stock.section import Rule, Shape

SCHEMA = "steelyard-plan"
VERSION = 3


def plan_text(plan: Plan) -> str:
    """A plan as the text of plan.json."""
    document = {"schema": SCHEMA, "version": VERSION, "plan": CONVERTER.unstructure(plan, Plan)}
    return json.dumps(document, indent=1, allow_nan=False) + "\n"


def read_plan(path: str | Path) -> Plan:
    """Read a plan again.

    Parameters
    ----------
    path
        A plan.json, or the folder that holds it.

    Raises
    ------
    InputError
        If there is no such file, or it is not a plan of this schema and version; one sentence says why.
    """
    file = Path(path)
    if file.is_dir():
        file = file / "plan.json"
    try:
        text = file.read_text(encoding="utf-8")
    except OSError as error:
        raise _refusal(
            file, "plan-unreadable", f"cannot be read ({error.strerror}); name a plan.json"
        ) from error
    except UnicodeDecodeError as error:
        raise _refusal(
            file, "plan-broken", "is not UTF-8 text, so not a plan.json; make the plan again"
        ) from error
    return _structured(_document(text, file), file)


def _document(text: str, file: Path) -> Any:
    """The plan's object, once the envelope is what it should be."""
    try:
        document = json.loads(text, parse_constant=_no_constant, parse_float=_finite)
    except (ValueError, RecursionError) as error:
        raise _refusal(file, "plan-broken", f"is not whole JSON ({error}); make the plan again") from error
    if not isinstance(document, dict) or document.get("schema") != SCHEMA:
        raise _refusal(
            file, "plan-foreign", f'does not say "schema": "{SCHEMA}", so it is not a plan of this program'
        )
    version = document.get("version")
    if type(version) is int and version > VERSION:
        newer = (
            f"has version {version}, and this program reads up to {VERSION}; "
            "install a newer one or make the plan again"
        )
        raise _refusal(file, "plan-newer", newer)
    if type(version) is not int or version < 1:
        raise _refusal(
            file, "plan-broken", f'has "version": {version!r}, which never was one; make the plan again'
        )
    plan = document.get("plan")
    if not isinstance(plan, dict):
        raise _refusal(file, "plan-broken", 'does not hold a plan (no object "plan"); make the plan again')
    return plan


def _structured(content: Any, file: Path) -> Plan:
    try:
        return CONVERTER.structure(content, Plan)
    except (BaseValidationError, ValueError, TypeError, KeyError, RecursionError) as error:
        nested = isinstance(error, BaseValidationError)
        why = transform_error(error, format_exception=_reason)[0] if nested else str(error)
        raise _refusal(file, "plan-broken", f"does not hold a plan ({why}); make the plan again") from error


def _reason(error: BaseException, kind: type | None) -> str:
    """Our own errors in their own words, the library's in its."""
    return str(error) if isinstance(error, (ValueError, TypeError)) else format_exception(error, kind)


def _refusal(file: Path, code: str, sentence: str) -> InputError:
    return InputError([Finding(code=code, sentence=sentence, file=str(file))])


def _finite(digits: str) -> float:
    number = float(digits)
    if not isfinite(number):
        raise ValueError(f"{digits} is too large")
    return number


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is not a number")


def _exactly(*kinds: type) -> Callable[[Any, Any], Any]:
    """A hook that takes a value of these kinds as it is, and nothing that merely could be turned into one."""

    def hook(value: Any, _: Any) -> Any:
        if type(value) not in kinds:
            raise TypeError(f"{value!r:.40} is not {kinds[0].__name__}")
        return kinds[0](value)

    return hook


def _decimal(value: Any, _: Any) -> Decimal:
    try:
        number = Decimal(value) if isinstance(value, str) else None
    except InvalidOperation:
        number = None
    if number is None or not number.is_finite():
        raise ValueError(f"{value!r:.40} is not a decimal in quotes")
    return number


def _converter() -> Converter:
    converter = Converter(forbid_extra_keys=True)
    converter.register_unstructure_hook(Decimal, str)
    converter.register_structure_hook(Decimal, _decimal)
    for kinds in ((int,), (str,), (bool,), (float, int)):
        converter.register_structure_hook(kinds[0], _exactly(*kinds))
    # words of a fixed choice are texts too, and would pass as plain ones by the hook above
    for choice in (Basis, Family, Rule, Shape):
        converter.register_structure_hook(choice, lambda value, kind: kind(value))
    return converter


CONVERTER = _converter()
"""Turns plans and what they are made of into plain values and back, exactly."""

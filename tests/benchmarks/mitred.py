"""Shop jobs with mitred parts, and the same jobs as one plans them with square-cut allowances."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np

from nesting.job import Job, Part
from nesting.read.mitre import mitred_extent

_SQUARE = Decimal(0)
_USUAL = Decimal(45)
_OTHERS = (Decimal("22.5"), Decimal(30), Decimal(60))


def with_mitres(job: Job, seed: int) -> Job:
    """Most parts of a job with mitred ends: frame sides, braces cut square at one end, parallelograms."""
    rng = np.random.default_rng(seed)
    return replace(job, parts=tuple(_mitred(part, rng) for part in job.parts))


def laid_square(job: Job) -> Job:
    """The job with every part as long as its longest points, both ends square."""
    return replace(
        job,
        parts=tuple(replace(p, length=p.extent, end_a=_SQUARE, end_b=_SQUARE) for p in job.parts),
    )


def _mitred(part: Part, rng: np.random.Generator) -> Part:
    """Of ten parts four with both ends alike and opposed, two with one, one leaning alike, three square."""
    angle = _USUAL if rng.random() < 0.9 else _OTHERS[int(rng.integers(len(_OTHERS)))]
    kind = rng.random()
    if kind < 0.3:
        return part
    ends = (angle, _SQUARE) if kind < 0.5 else (angle, angle)
    lean = "same" if kind > 0.9 else "opposite"
    depth = part.material.depth("wide")
    extent = mitred_extent(part.length, depth, ends, lean, "long")  # type: ignore[arg-type]
    return replace(part, end_a=ends[0], end_b=ends[1], lean=lean, extent=extent)  # type: ignore[arg-type]

"""What a stick yields on a saw: head, tail, kerf and grip."""

from __future__ import annotations

from nesting.job import Saw
from stock.material import Material


def usable_length(length: int, clean_ends: int, saw: Saw) -> int:
    """Ticks of a stick that pieces, each with one kerf after it, may fill: length - head - tail.

    The tail at a far end is its trim less one kerf, because the cut that frees the last piece trims that end;
    a grip that is longer takes its place.
    """
    head = 0 if clean_ends >= 1 else saw.trim
    far_trim = 0 if clean_ends == 2 else saw.trim
    tail = far_trim - saw.kerf
    return length - head - (max(tail, saw.grip) if saw.grip > 0 else tail)


def longest_extent(length: int, clean_ends: int, saw: Saw) -> int:
    """Ticks of the longest single piece that a stick yields on a saw; zero or less if it yields none."""
    return usable_length(length, clean_ends, saw) - saw.kerf


def takes(saw: Saw, material: Material) -> bool:
    """Whether a section goes through a saw."""
    return saw.max_size is None or material.largest_side <= saw.max_size

"""What a stick yields on a saw: head, tail, kerf and grip."""

from __future__ import annotations

from nesting.job import Job, Saw
from stock.material import Material


def cut_width(job: Job, saw: Saw) -> int:
    """Ticks that a plan leaves for one square cut: the kerf of the saw and the shop's safety.

    The trims of the ends stay as they are: the first piece begins where it is measured, and the last one ends a trim
    before the far end, however thick the cut behind it is.
    """
    return saw.kerf + job.shop.kerf_safety


def usable_length(job: Job, length: int, clean_ends: int, saw: Saw) -> int:
    """Ticks of a stick that pieces, each with one `cut_width` after it, may fill: length - head - tail.

    The tail at a far end is its trim less one cut, because the cut that frees the last piece trims that end;
    a grip that is longer takes its place.
    """
    head = 0 if clean_ends >= 1 else saw.trim
    return length - head - tail_of(job, clean_ends, saw)


def tail_of(job: Job, clean_ends: int, saw: Saw) -> int:
    """Ticks that are left behind the last cut at the least; below zero where that cut may run off the end."""
    far_trim = 0 if clean_ends == 2 else saw.trim
    tail = far_trim - cut_width(job, saw)
    return max(tail, saw.grip) if saw.grip > 0 else tail


def longest_extent(job: Job, length: int, clean_ends: int, saw: Saw) -> int:
    """Ticks of the longest single piece that a stick yields on a saw; zero or less if it yields none."""
    return usable_length(job, length, clean_ends, saw) - cut_width(job, saw)


def takes(saw: Saw, material: Material) -> bool:
    """Whether a section goes through a saw."""
    return saw.max_size is None or material.largest_side <= saw.max_size

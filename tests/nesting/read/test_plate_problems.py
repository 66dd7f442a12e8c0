"""A plate job is refused for want of room only if no plan could be made of it, and then it is told by how much."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.job import Job, Part, Process, Saw, Shop
from nesting.read import find_source_problems
from nesting.rules.sheet_ways import sheet_ways
from stock.length import PER_INCH
from stock.material import parse_material
from stock.offer import Offer
from stock.rack import RackPiece

PLATE = parse_material("plate 3/8", unit="in")
SAWS = (Saw(name="saw", kerf=PER_INCH // 8, trim=PER_INCH // 4),)
EDGES = st.integers(0, 3 * PER_INCH)


def sheet(length: int, width: int, available: int | None = None, clean_ends: int = 0) -> Offer:
    return Offer(
        id="offer 1",
        yard="Y",
        material=PLATE,
        length=length,
        longest=length,
        width=width,
        available=available,
        clean_ends=clean_ends,
    )


def codes(job: Job) -> list[str]:
    return [finding.code for finding in find_source_problems(job)]


@given(EDGES, EDGES, st.sampled_from(("torch", "saw", "shear")), st.sampled_from((0, 2)), st.booleans())
def test_the_largest_rectangle_is_taken_and_one_tick_more_is_refused_by_that_tick(
    edge: int, trim: int, process: Process, clean_ends: int, turned: bool
) -> None:
    """Worked out here from the rules: edge all round under the torch, trim all round unless clean."""
    around = edge if process == "torch" else 0 if clean_ends == 2 else trim
    saws = (Saw(name="saw", kerf=0, trim=trim),)
    shop = Shop(processes=(process,), edge=edge, shear_trim=trim)
    length, width = 48 * PER_INCH - 2 * around, 24 * PER_INCH - 2 * around
    size = (width, length) if turned else (length, width)
    part = Part(mark="A", qty=1, material=PLATE, length=size[0], width=size[1])
    offers = (sheet(48 * PER_INCH, 24 * PER_INCH, clean_ends=clean_ends),)
    job = Job(name="job", parts=(part,), offers=offers, saws=saws, shop=shop)
    assert codes(job) == []
    assert codes(replace(job, parts=(replace(part, turn="none"),))) == (["too-large"] if turned else [])
    longer = replace(part, length=part.length + 1) if not turned else replace(part, width=length + 1)
    assert codes(replace(job, parts=(replace(longer, extent=0),))) == ["too-large"]


@given(st.lists(st.tuples(st.integers(1, 20), st.integers(1, 20)), min_size=1, max_size=8), st.integers(0, 2))
def test_parts_that_lie_side_by_side_on_the_last_sheets_there_are_are_never_refused(
    sizes: list[tuple[int, int]], rows: int
) -> None:
    """They are put in one row with the clearance between, on rack sheets that just hold the row."""
    shop = Shop(edge=PER_INCH, clearance=PER_INCH, torch_kerf=0)
    length = sum(long + 1 for long, _ in sizes) - 1 + 2
    width = max(wide for _, wide in sizes) + 2
    parts = tuple(
        Part(mark=f"P{at}", qty=rows + 1, material=PLATE, length=long * PER_INCH, width=wide * PER_INCH)
        for at, (long, wide) in enumerate(sizes)
    )
    rack = tuple(
        RackPiece(id=f"R{row}", material=PLATE, length=length * PER_INCH, width=width * PER_INCH)
        for row in range(rows + 1)
    )
    job = Job(name="job", parts=parts, rack=rack, saws=SAWS, shop=shop)
    assert codes(job) == []
    area = (length - 2) * (width - 2) * (rows + 1)
    more = area // (sizes[0][0] * sizes[0][1]) + 1
    short = replace(job, parts=(replace(parts[0], qty=more),))
    assert codes(short) == ["not-enough"]


def test_an_unlimited_sheet_that_holds_a_part_keeps_it_from_being_short() -> None:
    part = Part(mark="A", qty=500, material=PLATE, length=20 * PER_INCH, width=10 * PER_INCH)
    rack = (RackPiece(id="R1", material=PLATE, length=30 * PER_INCH, width=20 * PER_INCH),)
    job = Job(name="job", parts=(part,), offers=(sheet(48 * PER_INCH, 24 * PER_INCH),), rack=rack, saws=SAWS)
    assert codes(job) == []
    small = replace(job, offers=(sheet(15 * PER_INCH, 15 * PER_INCH),))
    assert codes(small) == ["not-enough"]


@pytest.mark.parametrize("bed", [(30, 24), (24, 30)])
def test_what_a_part_may_measure_on_a_small_bed_is_what_the_largest_blank_leaves(
    bed: tuple[int, int],
) -> None:
    """A sheet of 48 x 24 on a bed of 30 x 24: the first blank is 30 long, less a 1/4 edge on both sides: 29 1/2."""
    shop = Shop(bed=(bed[0] * PER_INCH, bed[1] * PER_INCH))
    offer = sheet(48 * PER_INCH, 24 * PER_INCH)
    part = Part(mark="A", qty=1, material=PLATE, length=59 * PER_INCH // 2, width=10 * PER_INCH, turn="half")
    job = Job(name="job", parts=(part,), offers=(offer,), saws=SAWS, shop=shop)
    assert any(way.blanks for way in sheet_ways(job, offer))
    assert codes(job) == []
    longer = Part(mark="A", qty=1, material=PLATE, length=part.length + 1, width=10 * PER_INCH, turn="half")
    (told,) = find_source_problems(replace(job, parts=(longer,)))
    assert told.code == "too-large"
    assert "after parting it for a bed of" in told.sentence


def test_a_narrow_plate_part_needs_a_process_that_rips_the_flat_bar() -> None:
    """A part 8 x 4 in is not as wide as the bar of 6 in: the torch cuts it from it, a saw only if plates are sawn."""
    flat = parse_material("flat 3/8 x 6", unit="in")
    bar = Offer(id="offer 1", yard="Y", material=flat, length=240 * PER_INCH, longest=240 * PER_INCH)
    part = Part(mark="A", qty=1, material=PLATE, length=8 * PER_INCH, width=4 * PER_INCH, process="saw")
    job = Job(name="job", parts=(part,), offers=(bar,), saws=SAWS)
    assert codes(job) == ["no-process"]
    assert codes(replace(job, shop=Shop(processes=("torch", "saw")))) == []
    assert codes(replace(job, parts=(replace(part, process=None),))) == []
    assert codes(replace(job, parts=(replace(part, width=6 * PER_INCH),))) == []

"""A job is refused for want of stock only if no plan could be made of it."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from nesting.job import Job, Part, Saw, Shop
from nesting.read import find_source_problems
from nesting.rules.stick_ways import longest_extent, usable_length
from stock.length import PER_INCH
from stock.material import parse_material
from stock.offer import Offer
from stock.rack import RackPiece

FLAT = parse_material("flat 1/4 x 2", unit="in")
SAWS = st.builds(
    lambda kerf, more, grip: Saw(name="saw", kerf=kerf, trim=kerf + more if more else 0, grip=grip),
    st.integers(1, 20),
    st.integers(0, 30),
    st.sampled_from([0, 0, 50]),
)


@given(
    SAWS,
    st.sampled_from([0, 7]),
    st.lists(st.tuples(st.lists(st.integers(1, 300), min_size=1), st.integers(0, 2)), min_size=1),
)
def test_a_job_cut_from_sticks_that_just_hold_it_is_never_refused(
    saw: Saw, safety: int, sticks: list[tuple[list[int], int]]
) -> None:
    empty = Job(name="job", parts=(), saws=(saw,), shop=Shop(kerf_safety=safety))
    rack, parts = [], []
    for number, (extents, clean_ends) in enumerate(sticks):
        taken = sum(extent + saw.kerf + safety for extent in extents)
        waste = 1000 - usable_length(empty, 1000, clean_ends, saw)
        length = max(1, taken + waste)
        rack.append(RackPiece(id=f"R{number}", material=FLAT, length=length, clean_ends=clean_ends))
        parts += [
            Part(mark=f"{number}.{at}", qty=1, material=FLAT, length=extent)
            for at, extent in enumerate(extents)
        ]
    job = replace(empty, parts=tuple(parts), rack=tuple(rack))
    assert find_source_problems(job) == []
    one_more = Part(mark="more", qty=1, material=FLAT, length=max(part.length for part in parts))
    short = find_source_problems(replace(job, parts=(*parts, one_more)))
    assert [finding.code for finding in short] == ["not-enough"]


@given(SAWS, st.sampled_from([0, 7]), st.integers(1, 2), st.integers(100, 5000))
def test_the_longest_piece_is_taken_and_one_tick_more_is_refused(
    saw: Saw, safety: int, clean_ends: int, length: int
) -> None:
    offer = Offer(id="offer 1", yard="Y", material=FLAT, length=length, longest=length, clean_ends=clean_ends)
    empty = Job(name="job", parts=(), offers=(offer,), saws=(saw,), shop=Shop(kerf_safety=safety))
    longest = longest_extent(empty, length, clean_ends, saw)
    for extent, codes in ((longest, []), (longest + 1, ["too-long"])):
        if extent > 0:
            part = Part(mark="A", qty=1, material=FLAT, length=extent)
            found = find_source_problems(replace(empty, parts=(part,)))
            assert [finding.code for finding in found] == codes


def test_a_part_goes_to_the_saw_that_turns_and_opens_far_enough() -> None:
    small = Saw(name="small", kerf=1, max_size=PER_INCH)
    steep = Saw(name="steep", kerf=1, grip=PER_INCH)
    length = 100 * PER_INCH
    offer = Offer(id="offer 1", yard="Y", material=FLAT, length=length, longest=length)
    part = Part(mark="A", qty=1, material=FLAT, length=length - 1)
    codes = {
        saws: [f.code for f in find_source_problems(Job(name="j", parts=(part,), offers=(offer,), saws=saws))]
        for saws in ((small,), (steep,), (replace(small, max_size=2 * PER_INCH),))
    }
    assert list(codes.values()) == [["saw-too-small"], ["too-long"], []]


def test_a_job_made_by_a_program_without_saws_or_sources_is_told() -> None:
    job = Job(name="j", parts=(Part(mark="A", qty=1, material=FLAT, length=1),))
    assert [finding.code for finding in find_source_problems(job)] == ["no-sources"]
    offer = Offer(id="offer 1", yard="Y", material=FLAT, length=9, longest=9)
    assert [finding.code for finding in find_source_problems(replace(job, offers=(offer,)))] == ["no-saws"]

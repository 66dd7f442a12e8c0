"""The worked examples: each can be read, planned, proved, checked and written."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from nesting import Plan, Settings, check_plan, make_plan, read_job, read_plan, write_plan
from nesting.check import check_report

JOBS = Path(__file__).parents[1] / "jobs"
EXAMPLES = (
    JOBS / "garden-gate",
    JOBS / "greenhouse" / "greenhouse.xlsx",
    JOBS / "sawmill" / "sawmill.xlsx",
    JOBS / "bindery",
)


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem)
def plan(request: pytest.FixtureRequest) -> Plan:
    """The plan of one example, by a work limit so that it is the same on any machine."""
    return make_plan(read_job(request.param), Settings(work=400))


def test_every_example_is_tested_and_says_what_it_shows() -> None:
    folders = {path for path in JOBS.iterdir() if path.is_dir() and path.suffix != ".plan"} - {
        JOBS / "pictures"
    }
    assert folders == {path if path.is_dir() else path.parent for path in EXAMPLES}
    for folder in folders:
        text = (folder / "README.md").read_text(encoding="utf-8")
        assert "prices are invented" in " ".join(text.split())
        assert "nothing says that it is strong enough" in " ".join(text.split())


def test_every_price_of_an_example_is_marked_as_invented(plan: Plan) -> None:
    assert plan.job.offers
    assert {offer.note for offer in plan.job.offers} == {"invented price"}


def test_an_example_is_proved_sound_and_its_bounds_are_verified_or_found_by_search(plan: Plan) -> None:
    """Where sheets are larger than the bed, within a twentieth: how they are parted is open to the bound."""
    assert check_plan(plan) == ()
    for group, said in zip(plan.groups, check_report(plan).groups, strict=True):
        assert group.proved or (group.gap < 0.05 and plan.job.shop.bed is not None and group.sheets)
        assert said.verified or said.proof == "search"


def test_an_example_makes_every_part_and_no_more_spares_than_wanted(plan: Plan) -> None:
    made = Counter[str]()
    for group in plan.groups:
        for layout in group.layouts:
            made.update([piece.mark for piece in layout.pieces] * layout.times)
        for sheet in group.sheets:
            made.update([piece.mark for piece in sheet.pieces] * sheet.times)
    wanted = {part.mark: plan.job.copies(part) for part in plan.job.parts}
    spares = {part.mark for part in plan.job.parts if part.is_fill}
    assert made.keys() <= wanted.keys()
    assert all(made[mark] == count for mark, count in wanted.items() if mark not in spares)
    assert all(made[mark] <= wanted[mark] for mark in spares)


def test_the_small_example_keeps_stiles_together_and_cuts_spares_from_scrap() -> None:
    """A rest of 13 5/16 in by the stick's card holds four pads of 3 in and a kerf of 3/32 in, not all eight."""
    plan = make_plan(read_job(EXAMPLES[0]), Settings(work=400))
    layouts = [layout for group in plan.groups for layout in group.layouts]
    stiles = [sum(piece.mark == "G1" for piece in layout.pieces) for layout in layouts]
    pads = [sum(piece.mark == "B9" for piece in layout.pieces) * layout.times for layout in layouts]
    assert {count % 2 for count in stiles} == {0}
    assert sum(stiles) > 0
    assert sum(pads) == 4
    assert any(part.may_shorten for part in plan.job.parts)


def test_an_example_is_written_and_read_again_unchanged(plan: Plan, tmp_path: Path) -> None:
    files = write_plan(plan, tmp_path / "results")
    assert {file.name for file in files} >= {"plan.html", "plan.pdf", "plan.xlsx", "plan.json"}
    assert any(file.suffix == ".dxf" for file in files)
    assert read_plan(tmp_path / "results") == plan


def test_the_metric_example_shows_what_it_is_for() -> None:
    """Three lengths of one tube from two yards, a rack, a break in price, limited stock and a grip."""
    job = read_job(EXAMPLES[1])
    tubes = [offer for offer in job.offers if offer.material.designation == "tube 30 x 30 x 2"]
    assert len({offer.length for offer in tubes}) == 3
    assert len({offer.yard for offer in tubes}) == 2
    assert any(offer.from_qty > 1 for offer in tubes)
    assert any(offer.available for offer in tubes)
    assert len(job.rack) == 5
    assert any(piece.value for piece in job.rack)
    assert job.saws[0].grip > 0
    assert any(part.is_mitred for part in job.parts)


def test_the_metric_example_cuts_plates_by_torch_and_shear_and_has_a_small_bed() -> None:
    job = read_job(EXAMPLES[1])
    assert {part.process for part in job.parts if part.is_plate} >= {"torch", "shear", None}
    assert job.shop.bed is not None
    assert any(
        offer.width and sorted((offer.length, offer.width)) > sorted(job.shop.bed) for offer in job.offers
    )
    assert any(piece.width for piece in job.rack)


def test_small_examples_have_holes_for_the_torch_and_for_the_drill() -> None:
    """By the starting value of 1.5 thicknesses (common practice)."""
    for path in EXAMPLES[:2]:
        job = read_job(path)
        plates = {part.mark: part.material.thickness for part in job.parts if part.is_plate}
        is_torch = {2 * hole.diameter >= 3 * plates[hole.mark] for hole in job.holes if hole.mark in plates}
        assert is_torch == {True, False}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_has_a_part_that_comes_from_a_flat_bar_or_from_plate(path: Path) -> None:
    job = read_job(path)
    flats = {
        (offer.material.thickness, offer.material.largest_side) for offer in job.offers if not offer.width
    }
    assert any(
        (part.material.thickness, side) in flats
        for part in job.parts
        if part.width is not None
        for side in (part.length, part.width)
    )


def test_the_large_example_shows_what_it_is_for() -> None:
    """Sixty part lines, 400 pieces, eight materials, two yards, near-equal stock, a bed smaller than the sheets."""
    job = read_job(EXAMPLES[2])
    assert len(job.parts) == 60
    assert sum(job.copies(part) for part in job.parts) == 400
    assert len({part.material for part in job.parts}) == 8
    assert {offer.yard for offer in job.offers} == {yard.name for yard in job.yards}
    assert len(job.yards) == 2
    assert job.allow
    assert job.shop.bed is not None
    assert any(offer.width and offer.length > max(job.shop.bed) for offer in job.offers)
    assert any(offer.width and offer.from_qty > 1 for offer in job.offers)
    assert {piece.width is None for piece in job.rack if piece.value} == {True, False}
    assert {part.process for part in job.parts if part.is_plate} == {"torch", "saw", None}


def test_the_example_of_a_small_bed_parts_its_sheet_and_pays_for_blanks() -> None:
    """The base plates take a blank each; 395 + 93 + 138 of steel, and eight blanks at 6: what is the cost of the plan.

    Source of the sum: the offers of the job.
    """
    plan = make_plan(read_job(EXAMPLES[3]), Settings(work=400))
    (group,) = plan.groups
    (sheet,) = group.sheets
    assert (len(sheet.blanks), group.cost, plan.total) == (8, 626 + 8 * 6, 626)
    homes = [b for b in sheet.blanks for p in sheet.pieces if p.mark == "BP" and b.holds(p.place)]
    assert len(set(homes)) == 3


def test_flat_bars_and_plate_share_a_group_in_every_example(plan: Plan) -> None:
    """So that the cheapest mix of both is sought."""
    shared = [
        group
        for group in plan.groups
        if {part.is_plate for part in plan.job.parts if part.mark in group.marks} == {True, False}
    ]
    assert shared

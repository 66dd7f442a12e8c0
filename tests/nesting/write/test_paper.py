"""The papers for the saw: whole, to scale, the same each time, and readable whatever the job is called."""

from __future__ import annotations

import re
import time
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.job import Part
from nesting.plan import Plan
from nesting.report.saw_list import saw_list
from nesting.report.words import length_words, money_words, number_words, plan_proof_words
from nesting.write.bar_drawing import BarDrawing
from nesting.write.card_line import boxes
from nesting.write.leaf import MARGIN, PaperSize, measures
from nesting.write.lettering import LACKING, lines_for, load_letters, printable
from nesting.write.paper import paper_bytes
from nesting.write.picture import PAGE, pictures_of
from tests.nesting.made import INCH, bought, finished, group, inch_plan, lay, metric_plan, mixed_plan
from tests.nesting.made_parted import parted_plan

PLANS = pytest.mark.parametrize(
    "plan", [inch_plan(), metric_plan(), mixed_plan(), parted_plan()], ids=lambda plan: plan.job.name
)
_SHOWN = re.compile(rb"\(((?:\\.|[^\\()])*)\) Tj")
_ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


def said(plan: Plan, size: PaperSize | None = None) -> list[str]:
    """Every text that is shown, in order; the font keeps ASCII as it is, other signs come as control codes."""
    texts = _SHOWN.findall(paper_bytes(plan, size, compressed=False))
    plain = [
        re.sub(rb"\\([0-7]{3}|.)", lambda hit: _sign(hit.group(1)), text, flags=re.DOTALL) for text in texts
    ]
    return [text.decode("latin-1") for text in plain]


def _sign(escaped: bytes) -> bytes:
    return bytes([int(escaped, 8)]) if len(escaped) == 3 else _ESCAPES.get(escaped, escaped)


def squares(content: bytes) -> int:
    """How many boxes to tick the cards have; those of tables stand in a corner of their cell."""
    return len(re.findall(rb"n (?!\.5 0 )[\d.]+ [\d.]+ 10\.5 10\.5 re S", content))


def leaves(plan: Plan, size: PaperSize | None = None) -> int:
    """How many pages the file has."""
    return len(re.findall(rb"/Type /Page\b(?!s)", paper_bytes(plan, size)))


@PLANS
def test_every_leaf_says_which_of_how_many_it_is(plan: Plan) -> None:
    """Page 1 of 4, 2 of 4, ..., as many as there are pages."""
    count = leaves(plan)
    found = [text for text in said(plan) if re.fullmatch(r"page \d+ of \d+", text)]
    assert found == [f"page {number} of {count}" for number in range(1, count + 1)]


@pytest.mark.parametrize("size", ["A4", "letter"])
@PLANS
def test_every_mark_and_stop_setting_stands_on_the_papers(plan: Plan, size: PaperSize) -> None:
    """Each stop setting as often as it is set, each mark with its count, each stick with its number."""
    texts = said(plan, size)
    listed = saw_list(plan)
    for stick in listed.cut:
        for step in stick.steps:
            setting = length_words(step.setting, plan.job.shop)
            assert texts.count(setting) >= 1
            for mark, count in step.marks:
                assert any(text.startswith(f"{count} ") and text.endswith(f" {mark}") for text in texts)
    for part in plan.job.parts:
        assert any(part.mark in text for text in texts)
    assert [text for text in texts if text in {number_words([s.run]) for s in listed.cut}]


@PLANS
def test_the_first_leaf_says_what_to_buy_what_it_costs_and_how_good_it_is(plan: Plan) -> None:
    """In the words of the page and the workbook."""
    texts = said(plan)
    first = " ".join(texts[: texts.index(f"page 1 of {leaves(plan)}")])
    joined = re.sub(r"\s+", " ", first)
    assert plan_proof_words(plan) in joined
    assert (money_words(plan.total, plan.job.shop) if plan.total else "no prices yet") in joined
    for each in plan.groups:
        assert each.name.split()[0] in joined


def test_an_offcut_stands_with_its_length_its_weight_and_its_caution() -> None:
    """The rest of stick 4 and the whole stick 8, which two people lift: 61.1 lb is above 23 kg = 50.7 lb."""
    texts = said(mixed_plan())
    assert 'keep 179 5/8", 45.7 lb' in texts
    after = texts[texts.index("Offcuts to keep") :]
    assert "two people" in after[after.index('240"') : after.index("Mind")]


@PLANS
def test_the_cautions_come_on_the_last_leaf(plan: Plan) -> None:
    """That no strength is computed, and that local rules go first."""
    texts = said(plan)
    last = " ".join(texts[texts.index("Mind") :])
    assert "strength" in last
    assert "licensed engineer" in last
    assert "Local rules go before anything said here." in last


@PLANS
def test_each_piece_and_each_stick_has_a_box_to_tick(plan: Plan) -> None:
    """Squares of 10.5 points: one a piece and one a stick, beside those of the tables."""
    content = paper_bytes(plan, compressed=False)
    cut = saw_list(plan).cut
    assert squares(content) == sum(stick.layout.times * (len(stick.layout.pieces) + 1) for stick in cut)


@PLANS
@pytest.mark.parametrize("size", ["A4", "letter"])
def test_sticks_are_drawn_to_scale(plan: Plan, size: PaperSize) -> None:
    """Each piece, saw cut, trimmed end and rest is as long as in the plan, within a thousandth of a point."""
    content = paper_bytes(plan, size, compressed=False).decode("latin-1")
    scale = (measures(size)[0] - 2 * MARGIN) / PAGE
    scales = [float(found) for found in re.findall(r"(0?\.\d+) 0 0 \1 0 0 cm", content)]
    assert scales == pytest.approx([scale] * len(saw_list(plan).cut), abs=1e-5)
    widths = [float(width) for width in re.findall(r"n [-\d.]+ -45 ([\d.]+) 44 re (?:B|S)\b", content)]
    expected: list[float] = []
    for block in saw_list(plan).blocks:
        longest = max(stick.layout.length for stick in block.sticks)
        for stick in block.sticks:
            layout, kerf = stick.layout, block.saw.kerf
            pixels = PAGE - pictures_of(block, plan.job.shop)[stick.first].page.margin
            lengths = [layout.head]
            for piece in layout.pieces:
                lengths += [piece.extent, min(kerf, layout.length - piece.start - piece.extent)]
            lengths.append(layout.rest)
            expected += [length / longest * pixels for length in lengths if length]
    assert widths == pytest.approx(expected, abs=0.001)


@PLANS
def test_the_papers_are_the_same_each_time(plan: Plan) -> None:
    """Byte for byte, whatever the day: no date, no random name."""
    content = paper_bytes(plan)
    assert paper_bytes(plan) == content
    assert set(re.findall(rb"D:\d{8}", content)) == {b"D:20000101"}


def test_the_paper_follows_the_unit_of_the_shop() -> None:
    """Letter for inches, A4 for millimetres; the other on request."""
    letter, a4 = b"0 0 612 792", b"0 0 595.2756 841.8898"
    assert letter in paper_bytes(inch_plan())
    assert a4 in paper_bytes(metric_plan())
    assert a4 in paper_bytes(inch_plan(), "A4")
    assert letter in paper_bytes(metric_plan(), "letter")


def test_signs_that_the_font_lacks_are_shown_as_such_and_the_row_tells_marks_apart() -> None:
    """Two marks of one Chinese sign each would look alike: the row of the parts table stands behind them."""
    plan = inch_plan()
    names = {"A1": "梁", "A2": "柱"}
    layouts = tuple(
        replace(each, pieces=tuple(replace(piece, mark=names[piece.mark]) for piece in each.pieces))
        for each in plan.groups[0].layouts
    )
    parts = tuple(replace(part, mark=names[part.mark]) for part in plan.job.parts)
    job = replace(plan.job, parts=parts, name="車")
    texts = said(replace(plan, job=job, groups=(replace(plan.groups[0], layouts=layouts),)))
    assert any(text.endswith("(row 2)") for text in texts)
    assert any(text.endswith("(row 3)") for text in texts)
    assert any("stands for a sign that the font of this file lacks" in text for text in texts)
    assert printable("梁") == LACKING


@settings(max_examples=25, deadline=None)
@given(st.text(min_size=1, max_size=400))
def test_no_text_of_a_job_breaks_the_papers(text: str) -> None:
    """Any signs, any length, in every place where a job holds a text."""
    plan = mixed_plan()
    job = plan.job
    parts = (
        replace(job.parts[0], note=text, carried=((text, text),)),
        *job.parts[1:-1],
        replace(job.parts[-1], mark=text),
    )
    offers = tuple(replace(offer, note=text) for offer in job.offers)
    rack = tuple(replace(piece, place=text) for piece in job.rack)
    *groups, last = plan.groups
    first, second = last.layouts[0].pieces
    renamed = replace(last.layouts[0], pieces=(first, replace(second, mark=text)))
    if text in {part.mark for part in job.parts}:
        return
    job = replace(job, name=text, parts=parts, offers=offers, rack=rack)
    content = paper_bytes(replace(plan, job=job, groups=(*groups, replace(last, layouts=(renamed,)))))
    assert content.startswith(b"%PDF-")
    assert content.rstrip().endswith(b"%%EOF")


def big_plan(kinds: int, times: int, in_stick: int) -> Plan:
    """`kinds` layouts of `in_stick` different marks, `times` alike each."""
    plan = inch_plan()
    offer, material = plan.job.offers[0], plan.job.parts[0].material
    marks = [f"M{number:04d}" for number in range(kinds * in_stick)]
    length = 230 * INCH // in_stick - INCH // 8
    parts = tuple(Part(mark=mark, qty=times, material=material, length=length) for mark in marks)
    job = replace(plan.job, parts=parts)
    layouts = tuple(
        lay(job, offer, " ".join(marks[at : at + in_stick]), times=times)
        for at in range(0, len(marks), in_stick)
    )
    line = bought(offer, kinds * times)
    assert line.total is not None
    return finished(job, (group(material.designation, layouts, (line,), line.total),))


def test_two_thousand_pieces_take_less_than_two_seconds() -> None:
    """400 sticks, no two alike, of five marks each: 2000 cards' lines on their leaves."""
    plan = big_plan(kinds=400, times=1, in_stick=5)
    begun = time.process_time()
    content = paper_bytes(plan)
    assert time.process_time() - begun < 2
    assert len(content) > 100_000


@pytest.mark.parametrize(("times", "in_stick"), [(1, 90), (900, 2), (300, 40)])
def test_a_card_longer_than_a_leaf_goes_on_on_the_next(times: int, in_stick: int) -> None:
    """Ninety marks in one stick, and hundreds of sticks alike with a box for every piece."""
    plan = big_plan(kinds=1, times=times, in_stick=in_stick)
    assert any(text.endswith(", continued") for text in said(plan))
    content = paper_bytes(plan, compressed=False)
    assert squares(content) == times * (in_stick + 1)


def test_a_stick_with_too_many_tags_is_drawn_without_any() -> None:
    """So that a drawing never outgrows its leaf; the steps name every mark."""
    (block,) = saw_list(big_plan(kinds=1, times=1, in_stick=90)).blocks
    picture = pictures_of(block, big_plan(1, 1, 90).job.shop)[1]
    assert max(tag.row for tag in picture.page.tags) > 16
    assert BarDrawing(picture).height(PAGE) == 46


def test_a_mitred_piece_carries_its_angles_and_what_is_left_for_facing() -> None:
    """A saw hand must know them beside the stop setting."""
    plan = inch_plan()
    first = plan.job.parts[0]
    mitred = replace(
        first, length=47 * INCH, end_a=Decimal(45), end_b=Decimal("22.5"), extra_a=INCH, extent=48 * INCH
    )
    job = replace(plan.job, parts=(mitred, *plan.job.parts[1:]))
    joined = " ".join(said(replace(plan, job=job)))
    assert "ends 45" in joined
    assert 'from square, opposite, long 47"' in joined
    assert '1" of it is left on at end a for facing' in joined


@given(
    sticks=st.lists(st.integers(1, 99999).map(str), min_size=1, max_size=30),
    count=st.integers(1, 40),
    within=st.floats(120, 600),
)
def test_boxes_come_in_lines_and_a_number_is_never_left_behind(
    sticks: list[str], count: int, within: float
) -> None:
    """All boxes are there, every stick has its number, and no line ends in a number."""
    load_letters()
    lines = boxes(sticks, count, within)
    flat = [tick for line in lines for tick in line]
    assert flat.count(None) == len(sticks) * count
    assert [tick for tick in flat if tick is not None] == sticks
    assert all(line[-1] is None for line in lines)
    assert not any(first and second for first, second in pairwise(flat))


@given(text=st.text(st.characters(min_codepoint=33, max_codepoint=126) | st.just(" "), max_size=200))
def test_broken_lines_lose_nothing(text: str) -> None:
    """Put together again, the lines are the text, blanks aside; too many end in "…"."""
    load_letters()
    text = printable(text)
    lines = lines_for(text, "Vera", 10, 60, 1000)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert len(lines_for(text, "Vera", 10, 60, 2)) <= 2

"""The printable page: self-contained, complete, safe, and drawn to scale."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.plan import Plan
from nesting.report.saw_list import saw_list
from nesting.report.words import number_words
from nesting.write.drawings import drawings_of
from nesting.write.page import page_html
from nesting.write.picture import PAGE, PHONE, pictures_of
from tests.nesting.made import inch_plan, lay, metric_plan, mixed_plan
from tests.nesting.made_mitres import mixed_mitres_plan
from tests.nesting.made_parted import parted_plan
from tests.nesting.made_sheets import plate_plan
from tests.nesting.write.crowded import crowded_plan

PLANS = pytest.mark.parametrize(
    "plan",
    [
        inch_plan(),
        metric_plan(),
        mixed_plan(),
        plate_plan(),
        crowded_plan(),
        mixed_mitres_plan(),
        parted_plan(),
    ],
    ids=lambda plan: plan.job.name[:12],
)


class _Reader(HTMLParser):
    """Collects tags, attributes and text, and minds that every tag is closed in turn."""

    void = frozenset({"meta", "br", "rect", "line", "circle", "path"})

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.said: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.void:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.void:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.said.append(data)


@PLANS
def test_the_page_asks_nothing_of_the_network_and_runs_no_script(plan: Plan) -> None:
    """No address, no script, no handler, no import: links lead to places on the page or to drawings beside it."""
    page = page_html(plan)
    reader = _Reader(page)
    assert reader.open == []
    assert not {"script", "link", "img", "iframe", "object", "embed", "base"} & {
        tag for tag, _ in reader.tags
    }
    beside = set(drawings_of(plan))
    for _, attributes in reader.tags:
        assert not [name for name in attributes if name.startswith("on") or name in ("src", "xlink:href")]
        link = attributes.get("href") or "#"
        assert link.startswith("#") or link in beside
    assert not re.search(r"https?:|//[a-z]|@import|url\((?!#)", page)


@PLANS
def test_the_first_words_answer_what_to_buy_what_it_costs_and_how_good_it_is(plan: Plan) -> None:
    """All three before the first heading."""
    top = " ".join(_Reader(page_html(plan).split("<h2>")[0]).said)
    assert "Buy" in top
    assert re.search(r"\d (stick|sheet)s?", top)
    assert "Pay" in top
    assert "no prices yet" in top or plan.job.shop.currency in top.partition("Pay")[2]
    assert "proved" in top or "within" in top


@PLANS
def test_every_mark_and_stick_number_stands_on_the_page(plan: Plan) -> None:
    """Marks in the drawings, in the steps and in the table of parts; numbers as in the saw list."""
    page = page_html(plan)
    said = "\n".join(_Reader(page).said)
    for part in plan.job.parts:
        assert page.count(html.escape(part.mark)) >= 3
        assert f"{part.mark}: " in said
    for stick in saw_list(plan).sticks:
        assert f'<span class="number">{number_words([stick.run])}</span>' in page


def test_texts_of_the_job_are_texts() -> None:
    """A mark with a tag in it, a yard with an ampersand: shown, not obeyed."""
    page = page_html(mixed_plan())
    assert "<b>F2&" not in page
    assert "&lt;b&gt;F2&amp;" in page
    assert "=Bay &amp; Sons &lt;steel&gt;" in page


@PLANS
def test_the_page_is_the_same_each_time(plan: Plan) -> None:
    """So that two plans can be compared."""
    assert page_html(plan) == page_html(plan)


@PLANS
def test_boxes_are_to_scale_and_touch(plan: Plan) -> None:
    """Box after box fills its stick from the first end to the far one; the longest stick fills the width.

    Slanted boxes lie in each other's shadow; they are looked at where mitres are.
    """
    if any(part.is_mitred for part in plan.job.parts):
        return
    for block in saw_list(plan).blocks:
        longest = max(stick.layout.length for stick in block.sticks)
        pictures = pictures_of(block, plan.job.shop)
        for stick in block.sticks:
            at = 0.0
            for box in pictures[stick.first].boxes:
                assert box.left == pytest.approx(at, abs=1e-9)
                at = box.left + box.width
            assert at == pytest.approx(100 * stick.layout.length / longest)


@given(counts=st.lists(st.integers(1, 9), min_size=7, max_size=7), order=st.permutations(range(7)))
def test_every_piece_carries_its_mark_and_tags_never_overlap(counts: list[int], order: list[int]) -> None:
    """At the narrowest width each piece has its mark inside, or its run has a tag; no text hits another."""
    plan = mixed_plan()
    thin = plan.job.parts[2]
    parts = tuple(
        replace(thin, mark="M" * (1 + 3 * n), length=thin.length // (1 + n), extent=0) for n in range(7)
    )
    job = replace(plan.job, parts=parts)
    marks = " ".join(parts[n].mark for n in order for _ in range(counts[n]))
    group = replace(plan.groups[0], layouts=(lay(job, job.offers[0], marks),))
    (block,) = saw_list(replace(plan, job=job, groups=(group,))).blocks
    picture = pictures_of(block, job.shop)[1]
    for view, width in ((picture.phone, PHONE), (picture.page, PAGE)):
        inside = [label.text for label in view.labels]
        for n, part in enumerate(parts):
            assert inside.count(part.mark) == counts[n] or any(
                part.mark[:21] in tag.text for tag in view.tags
            )
        rows: dict[int, list[tuple[float, float]]] = {}
        for tag in view.tags:
            at = tag.at / 100 * (width - view.margin)
            end = at + 6 + 6.6 * len(tag.text)
            assert end <= width + 1
            for row in range(tag.row):
                rows.setdefault(row, []).append((at, at))
            rows.setdefault(tag.row, []).append((at, end))
        for spans in rows.values():
            spans.sort()
            assert all(first[1] <= second[0] + 1e-6 for first, second in pairwise(spans))

"""plan.json holds everything and refuses what is not a plan."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.check import check_plan
from nesting.findings import InputError
from nesting.job import Allow, Hole
from nesting.plan import GroupPlan, Layout, Piece, Placed, Plan, Purchase, Rect, SheetLayout, StraightCut
from nesting.write.archive import plan_text, read_plan
from tests.nesting.made import inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan

TICKS = st.integers(0, 10**18)
TEXT = st.text(max_size=12)
MONEY = st.decimals(allow_nan=False, allow_infinity=False, min_value=0, max_value=10**9, places=4)
PIECES = st.builds(Piece, mark=TEXT, start=TICKS, extent=TICKS)
LAYOUTS = st.builds(
    Layout,
    source_kind=st.sampled_from(["offer", "rack"]),
    source=TEXT,
    length=TICKS,
    saw=TEXT,
    times=st.integers(1, 10**6),
    head=TICKS,
    pieces=st.lists(PIECES, max_size=4).map(tuple),
    rest=TICKS,
    keep=st.booleans(),
)
RECTS = st.builds(Rect, x=TICKS, y=TICKS, length=TICKS, width=TICKS)
RECT_LISTS = st.lists(RECTS, max_size=3).map(tuple)
SHEETS = st.builds(
    SheetLayout,
    source_kind=st.sampled_from(["offer", "rack"]),
    source=TEXT,
    length=TICKS,
    width=TICKS,
    process=st.sampled_from(["torch", "saw", "shear"]),
    saw=TEXT,
    times=st.integers(1, 10**6),
    trims=st.tuples(TICKS, TICKS, TICKS, TICKS),
    cuts=st.lists(
        st.builds(StraightCut, region=RECTS, axis=st.sampled_from(["across", "along"]), stop=TICKS),
        max_size=2,
    ).map(tuple),
    blanks=RECT_LISTS,
    pieces=st.lists(st.builds(Placed, mark=TEXT, place=RECTS, turned=st.booleans()), max_size=3).map(tuple),
    offcuts=RECT_LISTS,
)
PURCHASES = st.builds(
    Purchase,
    offer=TEXT,
    length=TICKS,
    count=st.integers(0, 10**6),
    unit_price=st.none() | MONEY,
    total=st.none() | MONEY,
    weight_kg=st.floats(0, 1e9),
    width=st.none() | TICKS,
)
GROUPS = st.builds(
    GroupPlan,
    name=TEXT,
    marks=st.lists(TEXT, max_size=3).map(tuple),
    priced=st.booleans(),
    layouts=st.lists(LAYOUTS, max_size=3).map(tuple),
    sheets=st.lists(SHEETS, max_size=2).map(tuple),
    purchases=st.lists(PURCHASES, max_size=3).map(tuple),
    cost=MONEY,
    bound=st.sampled_from([group.bound for group in mixed_plan().groups + inch_plan().groups]),
    stopped=st.sampled_from(["proved", "time limit", "work limit", "interrupted"]),
    improved=st.lists(TEXT, max_size=2).map(tuple),
)


def _round_trip(plan: Plan, folder: Path) -> Plan:
    (folder / "plan.json").write_text(plan_text(plan), encoding="utf-8", newline="\n")
    return read_plan(folder)


@pytest.mark.parametrize(
    "plan", [inch_plan(), metric_plan(), mixed_plan(), plate_plan()], ids=lambda plan: plan.job.name
)
def test_a_plan_read_again_is_the_same(plan: Plan, tmp_path: Path) -> None:
    """The job, the digits of money and the canonical names included."""
    again = _round_trip(plan, tmp_path)
    assert again == plan
    assert plan_text(again) == plan_text(plan)
    assert [part.material.designation for part in again.job.parts] == [
        part.material.designation for part in plan.job.parts
    ]


@pytest.mark.parametrize(
    "plan", [inch_plan(), metric_plan(), mixed_plan(), plate_plan()], ids=["inch", "metric", "mixed", "plate"]
)
def test_a_plan_read_again_passes_the_check(plan: Plan, tmp_path: Path) -> None:
    """Equal is not enough: a choice read back as plain text equals it, and is not of its kind."""
    file = tmp_path / "plan.json"
    file.write_text(plan_text(plan), encoding="utf-8", newline="")
    assert check_plan(read_plan(file)) == check_plan(plan) == ()


def test_what_the_made_jobs_lack_survives_too(tmp_path: Path) -> None:
    """Allowed stock, holes, mitres and a work limit."""
    plan = mixed_plan()
    first, *others = plan.job.parts
    mitred = replace(
        first, end_a=Decimal("22.50"), end_b=Decimal(45), measured="short", extent=first.length + 7
    )
    job = replace(
        plan.job,
        parts=(mitred, *others),
        allow=(Allow(part=first.material, offer=others[2].material),),
        holes=(Hole(mark=first.mark, x=1, y=2, diameter=3),),
    )
    plan = replace(plan, job=job, settings=replace(plan.settings, time_s=None, work=5))
    assert _round_trip(plan, tmp_path) == plan


@given(st.lists(GROUPS, max_size=3), st.lists(st.tuples(TEXT, TEXT, MONEY), max_size=2), MONEY)
def test_any_answer_survives(
    tmp_path_factory: pytest.TempPathFactory,
    groups: list[GroupPlan],
    fees: list[tuple[str, str, Decimal]],
    total: Decimal,
) -> None:
    """Whatever the numbers and texts of layouts, purchases and fees are."""
    plan = replace(inch_plan(), groups=tuple(groups), fees=tuple(fees), total=total)
    again = _round_trip(plan, tmp_path_factory.getbasetemp())
    assert again == plan
    assert plan_text(again) == plan_text(plan)


NEW_IN_2 = {
    "Part": ("width", "turn", "process"),
    "GroupPlan": ("sheets",),
    "Purchase": ("width",),
    "Shop": (
        "keep_width",
        "processes",
        "torch_kerf",
        "clearance",
        "edge",
        "bed",
        "shear_trim",
        "torch_hole",
    ),
}


def test_a_plan_of_version_1_is_read(tmp_path: Path) -> None:
    """It knew bars only: without the fields of plates it is the same plan."""
    document = json.loads(plan_text(inch_plan())) | {"version": 1}
    plan = document["plan"]
    old = [
        *((part, "Part") for part in plan["job"]["parts"]),
        *((group, "GroupPlan") for group in plan["groups"]),
        *((line, "Purchase") for group in plan["groups"] for line in group["purchases"]),
        (plan["job"]["shop"], "Shop"),
    ]
    for fields, kind in old:
        for name in NEW_IN_2[kind]:
            del fields[name]
    (tmp_path / "plan.json").write_text(json.dumps(document), encoding="utf-8", newline="\n")
    assert read_plan(tmp_path) == inch_plan()


def _altered(**change: object) -> str:
    return json.dumps(json.loads(plan_text(inch_plan())) | change)


def _with_plan(**change: object) -> str:
    document = json.loads(plan_text(inch_plan()))
    return json.dumps(document | {"plan": document["plan"] | change})


@pytest.mark.parametrize(
    ("text", "code", "says"),
    [
        ("", "plan-broken", "is not whole JSON"),
        (plan_text(inch_plan())[:-40], "plan-broken", "is not whole JSON"),
        ("[" * 100_000, "plan-broken", "is not whole JSON"),
        ("[]", "plan-foreign", 'does not say "schema": "steelyard-plan"'),
        (_altered(schema="drawing"), "plan-foreign", "so it is not a plan of this program"),
        (_altered(version=4), "plan-newer", "has version 4, and this program reads up to 3"),
        (_altered(version=0), "plan-broken", "make the plan again"),
        (_altered(version=True), "plan-broken", "make the plan again"),
        (_altered(plan=None), "plan-broken", "does not hold a plan"),
        (_altered(plan=[1]), "plan-broken", "does not hold a plan"),
        (_with_plan(total=62.47), "plan-broken", "total"),
        (_with_plan(total="NaN"), "plan-broken", "total"),
        (_with_plan(weight_kg="55"), "plan-broken", "weight_kg"),
        (_with_plan(groups=[{"name": "x"}]), "plan-broken", "groups[0]"),
        (_with_plan(colour="red"), "plan-broken", "colour"),
        (
            plan_text(inch_plan()).replace('"work": null', '"work": 1e999'),
            "plan-broken",
            "1e999 is too large",
        ),
        (plan_text(inch_plan()).replace('"qty": 4', '"qty": 0'), "plan-broken", "qty 0 must be 1 or more"),
        (plan_text(inch_plan()).replace('"qty": 4', '"qty": 4.5'), "plan-broken", "4.5"),
    ],
    ids=range(18),
)
def test_what_is_not_a_plan_is_refused_with_one_sentence(
    tmp_path: Path, text: str, code: str, says: str
) -> None:
    """Never with a traceback, never half-read."""
    file = tmp_path / "plan.json"
    file.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(InputError) as refused:
        read_plan(file)
    (finding,) = refused.value.findings
    assert finding.code == code
    assert says in finding.sentence
    assert finding.file == str(file)


def test_a_missing_file_and_a_binary_one_are_refused(tmp_path: Path) -> None:
    """The sentence names the file."""
    with pytest.raises(InputError, match=r"plan\.json: cannot be read"):
        read_plan(tmp_path)
    (tmp_path / "plan.json").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match="is not UTF-8"):
        read_plan(tmp_path)

"""Random jobs, cut to a random point: a plan of the rest loses nothing, doubles nothing and passes the check."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nesting.findings import InputError
from nesting.job import Job
from nesting.market import make_plan
from nesting.plan import Plan, Settings
from nesting.work.record import Entry
from nesting.work.replan import job_left, replan
from nesting.work.standing import standing
from tests.nesting.market.asked import COUNTED, jobs
from tests.nesting.market.asked_plates import plate_jobs
from tests.nesting.market.test_fill_parts import with_fills
from tests.nesting.market.test_lots import bound_jobs
from tests.nesting.market.test_mitred_plans import mitred_jobs
from tests.nesting.market.test_yard_cuts import tiny
from tests.nesting.work.worked import assert_nothing_is_lost_or_doubled, cut, entries, kept

RANDOM = settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
SHORT = Settings(time_s=None, work=100)
EVERY = st.one_of(
    jobs(), plate_jobs(), mitred_jobs(), bound_jobs().map(lambda both: both[1]), tiny(), with_fills()
)


def planned(asked: Job) -> Plan | None:
    """A plan, or nothing if the job has none."""
    try:
        return make_plan(asked, COUNTED)
    except InputError:
        return None


def cost(plan: Plan) -> object:
    """What the groups cost together."""
    return sum(group.cost for group in plan.groups)


@given(EVERY, st.data())
@RANDOM
def test_a_plan_of_the_rest_loses_and_doubles_no_piece(asked: Job, data: st.DataObject) -> None:
    """Sticks begun and done at random; also without buying, where what is missing is told."""
    plan = planned(asked)
    if plan is None:
        return
    work = standing(plan, kept(data.draw(entries(standing(plan)))))
    for buying in (True, False):
        assert_nothing_is_lost_or_doubled(work, replan(job_left(work), SHORT, buying=buying))


@given(EVERY, st.data())
@RANDOM
def test_pieces_that_are_spoiled_are_made_again(asked: Job, data: st.DataObject) -> None:
    """Pieces spoiled and rests lost at random; what cannot be bought again may be refused, never lost."""
    plan = planned(asked)
    if plan is None:
        return
    work = standing(plan, kept(data.draw(entries(standing(plan), mishaps=True))))
    try:
        new = replan(job_left(work), SHORT)
    except InputError:
        new = replan(job_left(work), SHORT, buying=False)
        assert new.missing
    assert_nothing_is_lost_or_doubled(work, new)


@given(EVERY, st.data())
@settings(parent=RANDOM, max_examples=3)
def test_work_can_go_on_from_plan_to_plan(asked: Job, data: st.DataObject) -> None:
    """Cut some, plan the rest, cut some of that, plan again: at the end everything was made once."""
    plan = planned(asked)
    if plan is None:
        return
    for number in (2, 3):
        work = standing(plan, kept(data.draw(entries(standing(plan)))))
        new = replan(job_left(work, number), SHORT)
        assert_nothing_is_lost_or_doubled(work, new)
        plan = new.plan


@given(EVERY)
@RANDOM
def test_a_plan_of_which_nothing_is_done_costs_what_it_cost(asked: Job) -> None:
    """Nothing recorded, nothing bought: the same job but for its name; the same work gives the same plan."""
    plan = planned(asked)
    if plan is not None:
        again = replan(job_left(standing(plan)), COUNTED).plan
        assert cost(again) == cost(plan)
        assert again.total == plan.total


@given(EVERY)
@RANDOM
def test_a_plan_of_which_all_is_done_leaves_nothing_to_pay(asked: Job) -> None:
    plan = planned(asked)
    if plan is not None:
        work = standing(plan, (), cut(standing(plan), lambda pieces: pieces))
        new = replan(job_left(work), SHORT).plan
        assert (new.total, new.groups, new.job.needed) == (0, (), ())


@given(st.one_of(jobs(), tiny()), st.data())
@RANDOM
def test_to_finish_costs_no_more_than_to_go_on_by_the_old_plan(asked: Job, data: st.DataObject) -> None:
    """Square pieces, all material bought: the old layouts can be finished without buying, so the least is that."""
    plan = planned(asked)
    if plan is None:
        return
    yards = tuple({item.yard for item in standing(plan).items.values() if item.yard})
    entry = data.draw(entries(standing(plan)))
    work = standing(plan, kept(Entry(bought=yards), entry))
    new = replan(job_left(work), SHORT).plan
    on_hand = sum(piece.value for piece in new.job.rack)
    for group in new.groups:
        assert group.bound.value <= on_hand
    alone = replan(job_left(work), SHORT, buying=False)
    if all(group.stopped == "proved" for group in new.groups) and not on_hand:
        assert new.total == 0
        assert alone.missing == ()

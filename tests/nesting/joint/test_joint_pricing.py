"""What the pricer of sticks and sheets remembers."""

from __future__ import annotations

from nesting.bars.problem import Pattern
from nesting.job import Shop
from nesting.joint.pricing import JointPricer
from tests.nesting.joint.made_joint import SCALE, problem_of
from tests.nesting.market.asked import INCH, offer
from tests.nesting.market.asked_plates import FLAT_4, plate, plate_job


def test_a_sheet_that_is_no_more_than_a_stick_is_known_as_both() -> None:
    """On a sawn 4 in bar pieces of 5 x 4 reach right across; those of 5 x 2 are ripped, so the bar is a sheet too."""
    asked = plate_job(
        [plate("A", 3, 5 * INCH, 4 * INCH), plate("B", 2, 5 * INCH, 2 * INCH)],
        [offer(1, 120 * INCH, "20", material=FLAT_4)],
        shop=Shop(processes=("saw",)),
    )
    problem = problem_of(asked)
    pricer = JointPricer(problem, SCALE, 0)
    across = [float(size.height == 4 * INCH) for size in problem.sheets.items]
    layout = pricer._proposer.propose(across, [3] * len(across), 3)[0]
    stick = pricer.add(layout)
    assert problem.is_stick(stick)
    assert pricer.layout(Pattern(len(problem.sticks.stocks) + layout.kind, stick.counts)) == layout

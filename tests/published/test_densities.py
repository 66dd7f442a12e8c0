"""Densities in print against those of grades and families.

Sources: BS EN 10088-1 table (published) for stainless; nominal Aluminum Association values as printed at
amesweb.info (published) except 6063 (from memory; the page prints 2700); general note of the steel
section tables (published).
"""

from __future__ import annotations

import pytest

from stock.length import PER_MM
from stock.material import parse_material

DENSITIES = [
    ("A36", 7850),
    ("S235JR", 7850),
    ("304", 7900),
    ("1.4301", 7900),
    ("303", 7900),
    ("321", 7900),
    ("316", 8000),
    ("1.4401", 8000),
    ("1.4404", 8000),
    ("430", 7700),
    ("410", 7700),
    ("1.4016", 7700),
    ("1.4006", 7700),
    ("2205", 7800),
    ("1100", 2710),
    ("3003", 2730),
    ("5052", 2680),
    ("5083", 2660),
    ("5086", 2660),
    ("6061", 2700),
    ("6061-T6", 2700),
    ("6063", 2690),
    ("stainless", 7900),
    ("aluminium", 2700),
    ("", 7850),
]


@pytest.mark.parametrize(("grade", "kg_per_m3"), DENSITIES)
def test_a_grade_weighs_by_its_printed_density(grade, kg_per_m3):
    """A cubic decimetre of plate weighs a thousandth of the printed density."""
    plate = parse_material("plate 100", unit="mm", grade=grade)
    assert plate.weight_kg(100 * PER_MM, 100 * PER_MM) == pytest.approx(kg_per_m3 / 1000)


def test_american_tables_count_490_pounds_per_cubic_foot():
    """490 lb/ft3 is 7849.0 kg/m3 and 3.40278 lb/ft per in2 (derived); the AISC tables use it."""
    tube = parse_material("HSS2X2X1/8", unit="in")
    assert tube.kg_per_m / (tube.area_mm2 * 1e-6) == pytest.approx(7849.0, abs=0.1)

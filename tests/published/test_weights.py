"""Weights in print against our formulas; each row names its source and how well the formula must meet it.

Tolerances are what whole tables of each family need (mostly the three figures they print): 0.5 % for
European hollow sections and angles and American square and rectangular hollow sections, 1.6 % for
American angles, 1.2 % for UPN. Values marked "published" were read in the named source; "from memory"
means the source was not at hand; "derived" is arithmetic on a published value.
"""

from __future__ import annotations

import pytest

from stock.length import PER_INCH, PER_MM
from stock.material import parse_material

PER = {"lb/ft": 0.45359237 / 0.3048, "kg/m": 1.0, "lb/ft2": 0.45359237 / 0.3048**2, "kg/m2": 1.0}

AISC = "AISC Shapes Database: published"
MILL = "tube mill table, ewco.net page8: published"
FACTORS = "bar and plate tables: from memory (factors 2.673 d2, 40.84 t at pipingdesigner.us, 490 lb/ft3)"
FACTORS_PUBLISHED = "factor 3.403 w t at pipingdesigner.us, 490 lb/ft3: published"
STATUTE = "15 USC 206 weight; MSG thickness = weight/41.82: published"
SERVICE_CENTRE = "steel service-centre gauge table; 15 USC 206 + 2.5 oz zinc: published"
EN_10219 = "EN 10219-2 table (UK section tables); radius rule printed at b2bmetal.eu: published"
EN_10219_LIST = "b2bmetal.eu EN 10219 table: published"
EN_10210 = "EN 10210-2 table: published"
EN_10219_ROUND = "EN 10219-2 table: published"
EN_10056 = "EN 10056-1 table: published"
UPN = "UPN table (EN 10365): published"
UPE = "UPE table (EN 10365): published"
PFC = "PFC table: published"
EN_10058 = "EN 10058 (value from memory; formula exact): from memory"
EN_10060 = "bar table (palmbeachresort.in steel bar page; EN 10060): published"
EN_10059 = "EN 10059 (from memory; formula exact): from memory"
DENSITY = "density 7850 kg/m3 (steel section tables general note 2.1): derived"

WEIGHTS = [
    ("HSS1-1/2X1-1/2X1/8", "in", 2.2, "lb/ft", 0.5, AISC),
    ("HSS2X2X1/8", "in", 3.05, "lb/ft", 0.5, AISC),
    ("HSS2X2X3/16", "in", 4.32, "lb/ft", 0.5, AISC),
    ("HSS2X2X1/4", "in", 5.41, "lb/ft", 0.5, AISC),
    ("HSS3X3X3/16", "in", 6.87, "lb/ft", 0.5, AISC),
    ("HSS3X3X1/4", "in", 8.81, "lb/ft", 0.5, AISC),
    ("HSS4X4X1/4", "in", 12.21, "lb/ft", 0.5, AISC),
    ("HSS2X1X1/8", "in", 2.2, "lb/ft", 0.5, AISC),
    ("HSS3X2X3/16", "in", 5.59, "lb/ft", 0.5, AISC),
    ("HSS4X2X1/8", "in", 4.75, "lb/ft", 0.5, AISC),
    ("HSS4X3X1/4", "in", 10.51, "lb/ft", 0.5, AISC),
    ("pipe 1/2 STD", "in", 0.85, "lb/ft", 0.5, AISC),
    ("pipe 1 STD", "in", 1.68, "lb/ft", 0.5, AISC),
    ("pipe 1-1/4 STD", "in", 2.27, "lb/ft", 0.5, AISC),
    ("pipe 1-1/2 STD", "in", 2.72, "lb/ft", 0.5, AISC),
    ("pipe 2 STD", "in", 3.66, "lb/ft", 0.5, AISC),
    ("pipe 3 STD", "in", 7.58, "lb/ft", 0.5, AISC),
    ("pipe 1 XS", "in", 2.17, "lb/ft", 0.5, AISC),
    ("pipe 2 XS", "in", 5.03, "lb/ft", 0.5, AISC),
    ("L2X2X1/8", "in", 1.65, "lb/ft", 1.6, AISC),
    ("L2X2X3/16", "in", 2.44, "lb/ft", 1.6, AISC),
    ("L2X2X1/4", "in", 3.19, "lb/ft", 1.6, AISC),
    ("L3X3X1/4", "in", 4.9, "lb/ft", 1.6, AISC),
    ("L3X2X3/16", "in", 3.07, "lb/ft", 1.6, AISC),
    ("C3X4.1", "in", 4.1, "lb/ft", 0.01, AISC),
    ("C4X5.4", "in", 5.4, "lb/ft", 0.01, AISC),
    ("C6X8.2", "in", 8.2, "lb/ft", 0.01, AISC),
    ("tube 1 x 2 x 0.065", "in", 1.2685, "lb/ft", 0.1, MILL),
    ("tube 1 x 2 x 0.083", "in", 1.5995, "lb/ft", 0.1, MILL),
    ("tube 1 x 2 x 0.12", "in", 2.2522, "lb/ft", 0.1, MILL),
    ("tube 1 x 2 x 0.134", "in", 2.4894, "lb/ft", 0.1, MILL),
    ("round 0.5", "in", 0.668, "lb/ft", 0.5, FACTORS),
    ("round 0.75", "in", 1.5, "lb/ft", 0.5, FACTORS),
    ("round 1", "in", 2.67, "lb/ft", 0.5, FACTORS),
    ("square 0.5", "in", 0.851, "lb/ft", 0.5, FACTORS),
    ("square 1", "in", 3.4, "lb/ft", 0.5, FACTORS),
    ("plate 0.25", "in", 10.21, "lb/ft2", 0.5, FACTORS),
    ("plate 0.375", "in", 15.31, "lb/ft2", 0.5, FACTORS),
    ("plate 0.5", "in", 20.42, "lb/ft2", 0.5, FACTORS),
    ("flat 0.25 x 1", "in", 0.851, "lb/ft", 0.5, FACTORS_PUBLISHED),
    ("flat 0.25 x 2", "in", 1.7, "lb/ft", 0.5, FACTORS_PUBLISHED),
    ("flat 0.375 x 3", "in", 3.83, "lb/ft", 0.5, FACTORS_PUBLISHED),
    ("sheet 10 ga", "in", 5.625, "lb/ft2", 0.1, STATUTE),
    ("sheet 11 ga", "in", 5.0, "lb/ft2", 0.1, STATUTE),
    ("sheet 14 ga", "in", 3.125, "lb/ft2", 0.1, STATUTE),
    ("sheet 16 ga", "in", 2.5, "lb/ft2", 0.1, STATUTE),
    ("galvanised sheet 16 ga", "in", 2.656, "lb/ft2", 0.1, SERVICE_CENTRE),
    ("SHS 25x25x2.0 cold formed", "mm", 1.36, "kg/m", 0.5, EN_10219),
    ("SHS 30x30x2.0 cold formed", "mm", 1.68, "kg/m", 0.5, EN_10219),
    ("SHS 40x40x2.0 cold formed", "mm", 2.31, "kg/m", 0.5, EN_10219),
    ("SHS 40x40x3.0 cold formed", "mm", 3.3, "kg/m", 0.5, EN_10219),
    ("SHS 50x50x3.0 cold formed", "mm", 4.25, "kg/m", 0.5, EN_10219),
    ("SHS 50x50x5.0 cold formed", "mm", 6.56, "kg/m", 0.5, EN_10219),
    ("SHS 60x60x4.0 cold formed", "mm", 6.71, "kg/m", 0.5, EN_10219),
    ("SHS 100x100x5.0 cold formed", "mm", 14.4, "kg/m", 0.5, EN_10219),
    ("SHS 100x100x8.0 cold formed", "mm", 21.4, "kg/m", 0.5, EN_10219),
    ("RHS 50x25x2.0 cold formed", "mm", 2.15, "kg/m", 0.5, EN_10219),
    ("RHS 50x30x3.0 cold formed", "mm", 3.3, "kg/m", 0.5, EN_10219),
    ("RHS 60x40x3.0 cold formed", "mm", 4.25, "kg/m", 0.5, EN_10219),
    ("RHS 80x40x4.0 cold formed", "mm", 6.71, "kg/m", 0.5, EN_10219),
    ("RHS 100x50x5.0 cold formed", "mm", 10.5, "kg/m", 0.5, EN_10219),
    ("RHS 150x100x8.0 cold formed", "mm", 27.7, "kg/m", 0.5, EN_10219),
    ("RHS 40x20x2.0 cold formed", "mm", 1.68, "kg/m", 0.5, EN_10219_LIST),
    ("SHS 40x40x3.2 hot finished", "mm", 3.61, "kg/m", 0.5, EN_10210),
    ("SHS 50x50x5.0 hot finished", "mm", 6.85, "kg/m", 0.5, EN_10210),
    ("SHS 100x100x8.0 hot finished", "mm", 22.6, "kg/m", 0.5, EN_10210),
    ("CHS 33.7x3.0", "mm", 2.27, "kg/m", 0.5, EN_10219_ROUND),
    ("CHS 42.4x3.0", "mm", 2.91, "kg/m", 0.5, EN_10219_ROUND),
    ("CHS 48.3x3.0", "mm", 3.35, "kg/m", 0.5, EN_10219_ROUND),
    ("CHS 60.3x4.0", "mm", 5.55, "kg/m", 0.5, EN_10219_ROUND),
    ("CHS 114.3x5.0", "mm", 13.5, "kg/m", 0.5, EN_10219_ROUND),
    ("L 25x25x3.0", "mm", 1.12, "kg/m", 0.5, EN_10056),
    ("L 30x30x3.0", "mm", 1.36, "kg/m", 0.5, EN_10056),
    ("L 40x40x4.0", "mm", 2.42, "kg/m", 0.5, EN_10056),
    ("L 50x50x5.0", "mm", 3.77, "kg/m", 0.5, EN_10056),
    ("L 60x60x6.0", "mm", 5.42, "kg/m", 0.5, EN_10056),
    ("L 100x100x10.0", "mm", 15.0, "kg/m", 0.5, EN_10056),
    ("L 60x40x5", "mm", 3.76, "kg/m", 0.5, EN_10056),
    ("L 75x50x6", "mm", 5.65, "kg/m", 0.5, EN_10056),
    ("UPN 50", "mm", 5.6, "kg/m", 1.2, UPN),
    ("UPN 80", "mm", 8.6, "kg/m", 1.2, UPN),
    ("UPN 100", "mm", 10.6, "kg/m", 1.2, UPN),
    ("UPN 120", "mm", 13.4, "kg/m", 1.2, UPN),
    ("UPE 80", "mm", 7.9, "kg/m", 0.5, UPE),
    ("UPE 100", "mm", 9.8, "kg/m", 0.5, UPE),
    ("PFC 100x50x10", "mm", 10.2, "kg/m", 0.5, PFC),
    ("flat 40x5", "mm", 1.57, "kg/m", 0.5, EN_10058),
    ("flat 50x6", "mm", 2.36, "kg/m", 0.5, EN_10058),
    ("flat 100x10", "mm", 7.85, "kg/m", 0.5, EN_10058),
    ("round 6", "mm", 0.222, "kg/m", 0.5, EN_10060),
    ("round 12", "mm", 0.888, "kg/m", 0.5, EN_10060),
    ("round 20", "mm", 2.466, "kg/m", 0.5, EN_10060),
    ("square 20", "mm", 3.14, "kg/m", 0.5, EN_10059),
    ("plate 2", "mm", 15.7, "kg/m2", 0.5, DENSITY),
    ("plate 3", "mm", 23.55, "kg/m2", 0.5, DENSITY),
    ("plate 6", "mm", 47.1, "kg/m2", 0.5, DENSITY),
    ("plate 10", "mm", 78.5, "kg/m2", 0.5, DENSITY),
]


@pytest.mark.parametrize(("designation", "unit", "printed", "per", "percent", "source"), WEIGHTS)
def test_a_weight_meets_the_printed_table(designation, unit, printed, per, percent, source):
    """The weight worked out is within the family's tolerance of the value the source prints."""
    material = parse_material(designation, unit=unit)
    ours = (material.kg_per_m2 if material.is_plate else material.kg_per_m) / PER[per]
    assert ours == pytest.approx(printed, rel=percent / 100), source


def test_sharp_corners_would_miss_the_printed_tables_of_hollow_sections():
    """The check can fail: 2 x 2 x 1/8 counted sharp is 4 % above the 3.05 lb/ft AISC prints (published)."""
    sharp = parse_material("tube 2 x 2 x 0.125", unit="in").kg_per_m / PER["lb/ft"]
    assert sharp > 3.05 * 1.04


@pytest.mark.parametrize(
    ("designation", "printed"), [("SHS 50x50x3", 0.190), ("RHS 100x50x5", 0.283), ("CHS 60.3x4", 0.189)]
)
def test_outside_surface_meets_the_printed_table(designation, printed):
    """Square metres per metre as the EN 10219 tables print them (published), to their last figure."""
    assert parse_material(designation, unit="mm").surface_m2(1000 * PER_MM) == pytest.approx(
        printed, abs=0.0006
    )


def test_heavy_stock_weighs_what_the_lifting_examples_say():
    """4 x 8 ft of 1/4 in plate is 326.7 lb, 20 ft of HSS2x2x1/4 108.2 lb (derived: 40.83 t, 5.41 lb/ft)."""
    foot, pound = 12 * PER_INCH, 0.45359237
    plate = parse_material("plate 1/4", unit="in").weight_kg(8 * foot, 4 * foot) / pound
    tube = parse_material("HSS2x2x1/4", unit="in").weight_kg(20 * foot) / pound
    assert plate == pytest.approx(326.7, rel=0.0005)
    assert tube == pytest.approx(108.2, rel=0.001)


def test_metal_area_meets_the_printed_example():
    """HSS2x2x1/8 has 0.897 in2 of metal (derived from 3.053 lb/ft over 3.4028)."""
    assert parse_material("HSS2X2X1/8", unit="in").area_mm2 / 645.16 == pytest.approx(0.897, rel=0.001)

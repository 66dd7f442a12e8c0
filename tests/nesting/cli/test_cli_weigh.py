"""The command `weigh`, and what every command does with misuse."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from nesting.version import VERSION
from tests.nesting.cli.console import Console

_HEAVY = ("sqlite3", "numba", "ortools", "openpyxl", "pandas", "highspy", "xlsxwriter", "numpy")


def test_weigh_tells_a_section_and_a_piece_in_both_systems(console: Console) -> None:
    """3.05 lb/ft is the published weight of HSS2X2X1/8 (AISC shapes table); the piece is 12.5417 ft of it."""
    said = console("weigh", "tube 2 x 2 x 1/8", "12' 6-1/2\"")
    assert (said.code, said.err) == (0, [])
    assert said.out == [
        "tube 2 x 2 x 1/8  (structural tube (HSS), nominal wall; corners: outer radius 2t, inner t)",
        "  area                    0.8973 sq in           578.9 mm2",
        "  weight                   3.053 lb/ft           4.544 kg/m",
        "  surface, outside         0.631 sq ft/ft       0.1923 m2/m",
        "piece of 12' 6 1/2\"",
        "  weight                  38.292 lb             17.369 kg",
        "  surface, outside         7.913 sq ft          0.7351 m2",
    ]


def test_weigh_takes_plates_with_a_width_and_grades_with_their_density(console: Console) -> None:
    """1000 x 500 x 10 mm of 304 at 7900 kg/m3 (BS EN 10088-1): 39.5 kg."""
    said = console("weigh", "plate 10", "1000", "500", "--unit", "mm", "--grade", "304")
    assert said.code == 0
    assert any(line.startswith("  weight") and line.endswith("39.500 kg") for line in said.out)


@pytest.mark.parametrize(
    ("words", "piece", "pounds", "kg", "square_feet"),
    [
        (("plate 1/4", "96", "48"), '96" x 48"', 326.7, 148.2, 64.5),
        (("sheet 16 ga", "96", "48"), '96" x 48"', 80.0, 36.29, 64.12),
        (("plate 10", "1000", "500", "--unit", "mm"), "1000 mm x 500 mm", 86.53, 39.25, 11.09),
        (("plate 3/8", "8", "6"), '8" x 6"', 5.105, 2.315, 0.7396),
    ],
)
def test_weigh_tells_a_plate_part_by_its_area(
    console: Console, words: tuple[str, ...], piece: str, pounds: float, kg: float, square_feet: float
) -> None:
    """4 x 8 ft of 1/4 in: 326.7 lb (published, as a lifting check); 16 ga by its gauge 2.5 lb/ft2 (15 U.S.C. 206) x
    32 = 80 lb; 10 mm: 78.5 kg/m2 (derived from 7850 kg/m3) x 0.5; 3/8: 15.3 lb/ft2 x 1/3. The plate weights hold
    within 0.1 %: 7850 kg/m3 and 490 lb/ft3 (7849) are both in use. Surface: both faces and the edges."""
    said = console("weigh", *words)
    assert said.code == 0
    at = said.out.index(f"piece of {piece}")
    shown = [
        [float(word.replace(",", "")) for word in re.findall(r"[\d,.]*\d", line)]
        for line in said.out[at + 1 :]
    ]
    (shown_pounds, shown_kg), (shown_feet, _) = shown[0], shown[1][:2]
    assert shown_pounds == pytest.approx(pounds, rel=1e-3)
    assert shown_kg == pytest.approx(kg, rel=1e-3)
    assert shown_feet == pytest.approx(square_feet, rel=1e-3)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("plate 3/8", "12"), "a piece of plate 3/8 needs a length and a width; give both"),
        (
            ("flat 1/4 x 2", "12", "3"),
            "flat 1/4 x 2 takes a length only; leave out the width 3",
        ),
    ],
)
def test_weigh_refuses_what_it_cannot_weigh(console: Console, words: tuple[str, ...], sentence: str) -> None:
    said = console("weigh", *words)
    assert (said.code, said.out, said.err) == (2, [], [sentence])


def test_a_material_that_is_not_understood_is_told_in_one_line(console: Console) -> None:
    said = console("weigh", "tube 2 x banana")
    assert (said.code, said.out, len(said.err)) == (2, [], 1)
    assert "banana" in said.err[0]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("plan",), "Error: Missing argument 'JOB'."),
        (
            ("plan", "job", "--time", "-1"),
            "Error: Invalid value for '--time': -1.0 is not in the range x>=0.0.",
        ),
        (
            ("start", "job", "--as", "paper"),
            "Error: Invalid value for '--as': 'paper' is not one of 'workbook', 'csv'.",
        ),
    ],
)
def test_misuse_is_exit_code_two_with_the_reason_last(
    console: Console, words: tuple[str, ...], sentence: str
) -> None:
    said = console(*words)
    assert (said.code, said.out) == (2, [])
    assert said.err[-1] == sentence


def test_an_unknown_command_is_exit_code_two(console: Console) -> None:
    said = console("plna")
    assert (said.code, said.out) == (2, [])
    assert said.err[-1].startswith("Error: No such command 'plna'.")


def test_version_and_help_load_none_of_the_heavy_libraries() -> None:
    program = (
        "import sys\n"
        "from nesting.cli import main\n"
        "try:\n"
        "    main()\n"
        "finally:\n"
        f"    print([name for name in {_HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    for option, start in (("--version", f"steelyard, version {VERSION}"), ("--help", "Usage: steelyard ")):
        done = subprocess.run(
            [sys.executable, "-c", program, option],
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
        assert done.returncode == 0
        assert done.stdout.startswith(start)
        assert done.stderr.strip() == "[]"

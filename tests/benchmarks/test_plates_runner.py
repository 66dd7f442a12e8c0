"""The runner of the plates: it writes what it promises, and its verification can fail."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from tests.benchmarks import plates
from tests.benchmarks.plates_verify import is_straight, miscounted, wrongs

SHEET: dict[str, Any] = {"w": 10, "h": 8, "cost": 3, "limit": None}
INSTANCES: list[dict[str, Any]] = [
    {"name": "sheets", "bins": [SHEET], "items": [[5, 4, 8]]},
    {"name": "strip", "W": 10, "items": [[5, 4, 4]]},
    {"name": "one sheet", "W": 10, "H": 8, "items": [[5, 4, 3, 7], [10, 4, 1, 9]]},
]
"""Tilings that a person can check: two sheets at 3, a strip 8 high, two small pieces and the long one worth 23."""


@pytest.mark.parametrize("cut", ["free", "guillotine"])
def test_every_form_of_instance_is_solved_and_written(
    cut: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, out = tmp_path / "tilings.json", tmp_path / "out.json"
    file.write_text(json.dumps(INSTANCES), encoding="utf-8")
    for seconds in ("0.2", "1"):  # the first round may be spent on compiling
        plates.main([str(file), "--cut", cut, "--time", seconds, "--seed", "1", "--solutions", str(out)])
    written = json.loads(out.read_text(encoding="utf-8"))
    assert [(w["name"], w["cost"], w["bound"]) for w in written] == [
        ("sheets", 6, 6),
        ("strip", 8, 8),
        ("one sheet", 23, None),
    ]
    assert [len(s["pieces"]) for w in written for s in w["sheets"]] == [4, 4, 4, 3]
    assert "tilings" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("pieces", "breach"),
    [
        ([(0, 0, 0, 4, 3), (0, 3, 0, 4, 3)], "overlap"),
        ([(0, 7, 0, 4, 3)], "leaves the sheet"),
        ([(0, 0, 0, 3, 4)], "lies as"),
        ([(1, 0, 0, 3, 2), (2, 3, 0, 2, 3), (1, 2, 3, 3, 2), (2, 0, 2, 2, 3)], "straight"),
    ],
)
def test_a_broken_sheet_is_caught(pieces: list[tuple[int, int, int, int, int]], breach: str) -> None:
    found = wrongs((10, 8), [(4, 3), (3, 2), (2, 3)], pieces, False, True)
    assert any(breach in sentence for sentence in found)


def test_a_wrong_count_is_caught() -> None:
    assert miscounted(Counter({0: 2}), [(1, 1, 3)]) == ["item 0 is made 2 times, not 3"]


def test_a_row_is_straight_and_a_pinwheel_is_not() -> None:
    assert is_straight([(0, 0, 2, 2), (2, 0, 3, 1), (2, 1, 3, 1)])
    assert not is_straight([(0, 0, 3, 2), (3, 0, 2, 3), (2, 3, 3, 2), (0, 2, 2, 3)])

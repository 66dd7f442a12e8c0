"""What is wrong with a job is told all at once, each in one sentence with its place.

Every file in bad/ is a case: tables after lines "--- name.csv" (an empty one leaves out that table of the sound job
below), and after "--- told" every finding that must be told.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from nesting.findings import InputError
from nesting.read import read_job

SOUND = {
    "parts.csv": "MARK,QTY,MATERIAL,LENGTH\nA,2,flat 1/4 x 2,10\n",
    "offers.csv": "YARD,MATERIAL,LENGTH\nY,flat 1/4 x 2,20 ft\n",
    "saws.csv": "SAW,KERF,trim\nchop,1/8,1/4\n",
    "shop.csv": "SETTING,VALUE\nunits,in\n",
}
CASES = sorted(Path(__file__).with_name("bad").glob("*.txt"))


def sections(text: str) -> dict[str, str]:
    """Name of a table, or "told", to what stands below it."""
    names_and_texts = re.split(r"^--- (.*)\n", text, flags=re.MULTILINE)[1:]
    return dict(zip(names_and_texts[::2], names_and_texts[1::2], strict=True))


def write(folder: Path, tables: dict[str, str]) -> None:
    for name, text in tables.items():
        if text:
            (folder / name).write_text(text, encoding="utf-8", newline="\n")


def told(folder: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_job(folder)
    assert all(finding.severity == "error" for finding in caught.value.findings)
    return [str(finding).replace(f"{folder}", "job").replace("\\", "/") for finding in caught.value.findings]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_every_finding_is_told_and_nothing_else(case: Path, tmp_path: Path) -> None:
    tables = sections(case.read_text(encoding="utf-8"))
    expected = tables.pop("told").splitlines()
    write(tmp_path, SOUND | tables)
    assert expected
    assert told(tmp_path) == expected


def test_the_job_that_the_cases_spoil_is_sound(tmp_path: Path) -> None:
    write(tmp_path, SOUND)
    assert read_job(tmp_path).notices == ()

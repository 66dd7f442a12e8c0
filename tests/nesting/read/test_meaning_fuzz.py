"""Whatever stands in the cells of known columns, the answer is a job or findings, never another error."""

from __future__ import annotations

import csv
import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.findings import Finding, InputError
from nesting.job import Job
from nesting.read import read_job
from nesting.read.schema import SETTINGS, SHOP, TABLES
from nesting.read.understood import understood
from nesting.rules.sheet_ways import may_lie
from nesting.rules.sources import groups_of

NASTY = (
    "", " ", "0", "-1", "1", "2", "both", "7", "007", "1e3", "1e999", "nan", "inf", "½", "²", "1 1/2", "1-1/2", "1/0",
    "10 1/3", "1,250", "1.250", "63 1/2\"", "5' 3-1/2\"", "16-22 ft", "20 ft", "6 m", "1.25 m", "45", "89.9999999",
    "90", "45°", "flat 1/4 x 2", "tube 2 x 2 x 1/8", "tube 2 x 2 x 0.120", "angle 50 x 50 x 5 mm", "plate 3/8",
    "round 1", "A500", "304", "6061", "galvanised", "each", "ft", "lb", "m2", "yes", "no", "same", "short", "narrow",
    "torch", "plasma, saw", "torch saw shear", "laser", "24 x 24", "610 x 610 mm", "24 x 0", "none", "half", "180",
    "plate 10 mm", "sheet 14 ga", "flat 3/8 x 8", "48", "1/2", "1000", "sq ft", "$3.10", "3.10", "EUR", "Y", "Z", "=A1",
    "#REF!", "\u00a0", "\u200b", "٣", "x" * 300, "9" * 30, "-", "'", ",",
)  # fmt: skip
CELLS = st.sampled_from(NASTY) | st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


@st.composite
def tables(draw: st.DrawFn) -> dict[str, list[list[str]]]:
    """Some tables of a job with their needed columns, some others, and rows of anything."""
    made: dict[str, list[list[str]]] = {}
    for table in TABLES:
        if table.name != "parts" and draw(st.booleans()):
            continue
        more = st.sets(st.sampled_from([column.name for column in table.columns]), max_size=5)
        chosen = draw(more)
        header = [column.name for column in table.columns if column.required or column.name in chosen]
        row = st.tuples(*[_cells(table.name, name) for name in header]).map(list)
        made[table.name] = [header, *draw(st.lists(row, min_size=1, max_size=4))]
    return made


def _cells(table: str, column: str) -> st.SearchStrategy[str]:
    """Mostly what the column wants, so that some jobs come through."""
    likely = {
        "MATERIAL": ["flat 1/4 x 2", "tube 2 x 2 x 1/8", "plate 3/8"],
        "PART_MATERIAL": ["flat 1/4 x 2"],
        "OFFER_MATERIAL": ["tube 2 x 2 x 1/8"],
        "QTY": ["1", "7"],
        "LENGTH": ["20 ft", "63 1/2"],
        "MARK": ["A", "B", "C", "D"],
        "KERF": ["1/8"],
        "SETTING": [setting.name for setting in SETTINGS] if table == SHOP.name else [],
    }.get(column, ["", "1"])
    return st.sampled_from(likely) | st.sampled_from(likely) | CELLS if likely else CELLS


PLATE_ROWS: dict[str, dict[str, list[str]]] = {
    "parts": {
        "MARK": ["A{}"],
        "QTY": ["1", "3", "40"],
        "MATERIAL|width": ["plate 3/8|2", "plate 3/8|8", "plate 3/8|24", "flat 3/8 x 8|", "sheet 14 ga|8"],
        "LENGTH": ["8", "10", "48"],
        "turn": ["", "none", "half", "any"],
        "process": ["", "", "", "torch", "saw", "shear"],
    },
    "holes": {"MARK": ["A1"], "X": ["1", "4"], "Y": ["1", "4"], "DIAMETER": ["1/2"]},
    "offers": {
        "YARD": ["Y"],
        "MATERIAL|width": [
            "plate 3/8|24",
            "plate 3/8|48",
            "plate 10 mm|48",
            "flat 3/8 x 8|",
            "sheet 14 ga|48",
        ],
        "LENGTH": ["48", "96", "20 ft"],
        "price": ["10", "12.50"],
        "per": ["each", "lb"],
        "clean_ends": ["", "one", "both"],
        "available": ["", "", "1"],
    },
    "rack": {
        "ID": ["R{}"],
        "MATERIAL|width": ["plate 3/8|24", "flat 3/8 x 8|", "flat 3/8 x 2|"],
        "LENGTH": ["10", "48"],
        "value": ["", "1"],
    },
    "saws": {
        "SAW": ["S{}"],
        "KERF": ["1/8"],
        "trim": ["", "1/4"],
        "grip": ["", "3"],
        "max_size": ["", "8", "24"],
    },
    "allow": {"PART_MATERIAL": ["plate 3/8"], "OFFER_MATERIAL": ["plate 10 mm", "flat 3/8 x 8"]},
    "shop": {
        "SETTING|VALUE": [
            "processes|torch",
            "processes|torch saw shear",
            "bed|24 x 24",
            "edge|1/4",
            "clearance|0",
            "torch_kerf|1/8",
            "keep_width|6",
            "shear_trim|1/4",
        ]
    },
}
"""What a shop would write, by table and column; columns that hang together in one, {} for the number of the row."""


@st.composite
def plate_tables(draw: st.DrawFn) -> dict[str, list[list[str]]]:
    """Tables of a job with plates, most of them sound; in some one cell is anything."""
    made: dict[str, list[list[str]]] = {}
    for name, columns in PLATE_ROWS.items():
        if name in ("parts", "offers") or draw(st.booleans()):
            rows = [
                "|".join(draw(st.sampled_from(cells)) for cells in columns.values()).format(number).split("|")
                for number in range(1, draw(st.integers(1, 5)) + 1)
            ]
            made[name] = ["|".join(columns).split("|"), *rows]
    if draw(st.booleans()):
        spoiled = draw(st.sampled_from([row for rows in made.values() for row in rows[1:]]))
        spoiled[draw(st.integers(0, len(spoiled) - 1))] = draw(CELLS)
    return made


@settings(max_examples=150, deadline=None)
@given(tables() | plate_tables())
def test_any_cells_give_a_job_or_findings(made: dict[str, list[list[str]]]) -> None:
    with tempfile.TemporaryDirectory() as place:
        for name, rows in made.items():
            with (Path(place) / f"{name}.csv").open("w", encoding="utf-8", newline="") as stream:
                csv.writer(stream).writerows(rows)
        job, findings = read(place)
    assert (job is None) == bool(findings)
    assert all(finding.sentence and finding.severity == "error" for finding in findings)
    if job is not None:
        assert all(group.offers or group.rack for group in groups_of(job))
        assert understood(job).problems == ()
        sources = [*job.offers, *job.rack]
        plates = [part for part in job.parts if part.is_plate]
        assert all(any(may_lie(job, part, source) for source in sources) for part in plates)


def read(place: str) -> tuple[Job | None, tuple[Finding, ...]]:
    try:
        return read_job(place), ()
    except InputError as error:
        return None, error.findings

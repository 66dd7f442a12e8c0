"""Whatever lies at the path: a job, or an InputError that says what is wrong. Never anything else."""

from __future__ import annotations

import copy
import csv
import io
import tempfile
import zipfile
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from nesting.findings import InputError
from nesting.job import Job
from nesting.read import read_job, start_job
from nesting.read.schema import TABLES

_NAMES = st.sampled_from([table.name for table in TABLES])
_HEADERS = st.sampled_from(
    [column.name for table in TABLES for column in table.columns] + ["lenght", "x", ""]
)
_WORDS = st.sampled_from(
    [
        *(
            "",
            "P1",
            "1",
            "-1",
            "0",
            "1,250",
            "1/0",
            "63 1/2",
            "5' 3-1/2\"",
            "400 mm",
            "16-22 ft",
            "9" * 60,
            "1e9",
            "nan",
        ),
        *(
            "tube 2 x 2 x 1/8",
            "flat 1/4 x 2",
            "plate 3/8",
            "angle 0 x 0 x 0",
            "20 ft",
            "each",
            "ft",
            "both",
            "yes",
            "45",
        ),
        *("units", "decimal", "comma", "mm", "in", "#REF!", "=1+1", "²", "٣", "\U0001f529", "'", '"'),
    ]
)
_TEXTS = st.one_of(_WORDS, st.text(max_size=12).map(lambda text: ILLEGAL_CHARACTERS_RE.sub("", text)))


def read(name: str, data: bytes) -> Job | InputError:
    """The job with these bytes as its workbook, or as one of its tables beside a sound part list."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / name
        place.write_bytes(data)
        if place.suffix == ".csv":
            if name != "parts.csv":
                (place.parent / "parts.csv").write_bytes(
                    b"MARK,QTY,MATERIAL,LENGTH\nA,1,tube 2 x 2 x 1/8,20\n"
                )
            place = place.parent
        try:
            return read_job(place)
        except InputError as refused:
            return refused


def sound(outcome: Job | InputError) -> bool:
    """Whether the outcome is a job with parts, or findings that each say something in one line."""
    if isinstance(outcome, Job):
        return bool(outcome.parts)
    return bool(outcome.findings) and all(
        finding.severity == "error" and finding.sentence and "\n" not in finding.sentence
        for finding in outcome.findings
    )


@settings(max_examples=150, deadline=None)
@given(name=_NAMES, data=st.binary(max_size=400))
def test_any_bytes_as_a_table(name: str, data: bytes) -> None:
    assert sound(read(f"{name}.csv", data))


@settings(max_examples=60, deadline=None)
@given(
    data=st.binary(max_size=400),
    head=st.sampled_from([b"", b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"]),
)
def test_any_bytes_as_a_workbook(data: bytes, head: bytes) -> None:
    assert isinstance(read("job.xlsx", head + data), InputError)


@settings(max_examples=250, deadline=None)
@given(
    name=_NAMES,
    headers=st.lists(_HEADERS, max_size=8),
    rows=st.lists(st.lists(_TEXTS, max_size=9), max_size=5),
    delimiter=st.sampled_from(",;\t"),
)
def test_any_words_as_a_table(name: str, headers: list[str], rows: list[list[str]], delimiter: str) -> None:
    text = "\n".join(delimiter.join(row) for row in [headers, *rows])
    assert sound(read(f"{name}.csv", text.encode("utf-8", "replace")))


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_any_words_under_the_headers_of_a_table(data: st.DataObject) -> None:
    table = data.draw(st.sampled_from(TABLES))
    names = [column.name for column in table.columns]
    row = st.lists(
        _TEXTS.filter(lambda t: not set(t) & set('";\r\n')), min_size=len(names), max_size=len(names)
    )
    rows = data.draw(st.lists(row, min_size=1, max_size=3))
    text = "\n".join(";".join(cells) for cells in [names, *rows])
    assert sound(read(f"{table.name}.csv", text.encode("utf-8", "replace")))


@settings(max_examples=80, deadline=None)
@given(
    name=_NAMES,
    rows=st.lists(
        st.lists(
            st.one_of(_TEXTS, st.none(), st.integers(-10, 10**30), st.floats(), st.dates(), st.booleans())
        ),
        max_size=5,
    ),
)
def test_any_values_as_a_workbook(name: str, rows: list[list[Any]]) -> None:
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = name
    sheet.append([column.name for table in TABLES if table.name == name for column in table.columns])
    for row in rows:
        sheet.append(row)
    stream = io.BytesIO()
    book.save(stream)
    assert sound(read("job.xlsx", stream.getvalue()))


def _new_workbook() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        return start_job(Path(folder) / "job").read_bytes()


_NEW = _new_workbook()
_INSIDES = zipfile.ZipFile(io.BytesIO(_NEW)).namelist()


@settings(max_examples=60, deadline=None)
@given(at=st.integers(0, len(_NEW) - 1), byte=st.integers(0, 255))
def test_a_sound_workbook_with_a_byte_changed(at: int, byte: int) -> None:
    assert sound(read("job.xlsx", _NEW[:at] + bytes([byte]) + _NEW[at + 1 :]))


@settings(max_examples=80, deadline=None)
@given(
    name=st.sampled_from(_INSIDES),
    begin=st.floats(0, 1),
    more=st.binary(max_size=8),
    length=st.integers(0, 40),
)
def test_a_sound_workbook_with_its_inside_changed(name: str, begin: float, more: bytes, length: int) -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(_NEW)) as old, zipfile.ZipFile(stream, "w") as new:
        for entry in _INSIDES:
            inside = old.read(entry)
            if entry == name:
                at = int(begin * len(inside))
                inside = inside[:at] + more + inside[at + length :]
            new.writestr(entry, inside)
    assert sound(read("job.xlsx", stream.getvalue()))


def _new_folder() -> dict[str, list[list[str]]]:
    with tempfile.TemporaryDirectory() as folder:
        made = start_job(Path(folder) / "job", "csv")
        return {
            file.stem: list(csv.reader(file.read_text(encoding="utf-8-sig").splitlines()))
            for file in made.glob("*.csv")
        }


_TABLES = _new_folder()


@settings(max_examples=300, deadline=None)
@given(data=st.data())
def test_a_sound_folder_with_a_few_cells_changed(data: st.DataObject) -> None:
    tables = copy.deepcopy(_TABLES)
    for _ in range(data.draw(st.integers(1, 3))):
        rows = tables[data.draw(st.sampled_from(sorted(tables)))]
        row = data.draw(st.integers(0, len(rows) - 1))
        column = data.draw(st.integers(0, len(rows[row]) - 1))
        rows[row][column] = data.draw(_TEXTS)
    with tempfile.TemporaryDirectory() as folder:
        for name, rows in tables.items():
            with (Path(folder) / f"{name}.csv").open(
                "w", encoding="utf-8", errors="replace", newline=""
            ) as stream:
                csv.writer(stream).writerows(rows)
        try:
            outcome: Job | InputError = read_job(folder)
        except InputError as refused:
            outcome = refused
    assert sound(outcome)

"""From the path a user names to the tables of the job behind it: a workbook, or a folder of .csv files."""

from __future__ import annotations

import os
from pathlib import Path

from nesting.findings import Finding, InputError
from nesting.read.csv_file import read_csv
from nesting.read.grid import Container, Grid, Row
from nesting.read.guards import CONTAINERS, Unreadable, other_kind
from nesting.read.xlsx_file import read_workbook

_WORKBOOKS = (".xlsx", ".xlsm")
_TABLES_OF_OTHERS = (*_WORKBOOKS, ".xls", ".ods", ".numbers", ".tsv")
"""Endings of files that may hold a table, but are not read from a folder: told, so that none is missed."""


_PLAN = "plan.json"
"""A folder that holds this file and no parts is what a plan was written to."""


def open_container(path: str | os.PathLike[str]) -> Container:
    """Read the tables of a job as they stand.

    Parameters
    ----------
    path
        A workbook or a folder.

    Raises
    ------
    InputError
        If there is no job at the path, or it cannot be opened as a whole; what is wrong with one table of it stands
        in that table's grid.
    """
    place = Path(path)
    try:
        if place.is_dir():
            return _folder(place)
        exists = place.is_file()
    except (OSError, ValueError) as error:  # a name that the system cannot even look up
        raise _refused(place, "missing", f"this path cannot be used; {CONTAINERS}") from error
    if not exists:
        raise _refused(
            place, "missing", f"there is no file or folder of this name; check the path ({CONTAINERS})"
        )
    if place.suffix.lower() not in _WORKBOOKS:
        raise _refused(place, "not-a-job", other_kind(place))
    try:
        sheets = read_workbook(place)
    except Unreadable as trouble:
        raise _refused(place, "unreadable", str(trouble)) from trouble
    grids = tuple(_grid(title, shown(place), rows) for title, rows in sheets)
    return Container(shown(Path(place.stem)), shown(place), grids)


def shown(path: Path) -> str:
    """A path for messages, whatever bytes are in it."""
    return str(path).encode("utf-8", "backslashreplace").decode("utf-8")


def _folder(place: Path) -> Container:
    try:
        files = sorted(p for p in place.iterdir() if p.is_file() and not p.name.startswith((".", "~")))
    except OSError as error:
        sentence = f"the folder cannot be opened ({error.strerror}); check its permissions"
        raise _refused(place, "unreadable", sentence) from error
    if any(file.name == _PLAN for file in files) and not any(file.stem.lower() == "parts" for file in files):
        raise _refused(place, "a-plan", _of_a_plan(place.resolve()))
    grids = [_grid(file.stem, shown(file), _csv(file)) for file in files if file.suffix.lower() == ".csv"]
    if not grids:
        workbooks = [file.name for file in files if file.suffix.lower() in _WORKBOOKS]
        advice = (
            f"name the workbook {workbooks[0]} itself"
            if workbooks
            else "a job needs at least parts.csv, and `steelyard start` makes one to fill in"
        )
        raise _refused(place, "no-tables", f"the folder holds no .csv file; {advice}")
    others = [
        _grid(file.name, shown(file), Unreadable("only .csv files are read from a folder; save it as .csv"))
        for file in files
        if file.suffix.lower() in _TABLES_OF_OTHERS
    ]
    return Container(shown(Path(place.resolve().name)), shown(place), (*grids, *others))


def _of_a_plan(place: Path) -> str:
    """What to say where the results of a job are named as if they were one."""
    beside = (place.with_suffix(""), place.with_suffix(".xlsx")) if place.suffix == ".plan" else ()
    job = next((path for path in beside if path.exists()), None)
    named = "the job that it was made from" if job is None else f"its job, {shown(job)}"
    return f"the folder holds a plan ({_PLAN}), not a job; name {named}, or look the plan over with `steelyard check`"


def _csv(file: Path) -> tuple[Row, ...] | Unreadable:
    try:
        return read_csv(file)
    except Unreadable as trouble:
        return trouble


def _grid(title: str, file: str, rows: tuple[Row, ...] | Unreadable) -> Grid:
    if isinstance(rows, Unreadable):
        trouble = Finding(
            code="unreadable", sentence=str(rows), file=file, table=title.strip().lower(), row=rows.row
        )
        return Grid(title, file, (), trouble)
    return Grid(title, file, rows)


def _refused(place: Path, code: str, sentence: str) -> InputError:
    return InputError([Finding(code=code, sentence=sentence, file=shown(place))])

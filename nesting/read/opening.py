"""From the path a user names to the tables of the job behind it: a workbook, or a folder of .csv files."""

from __future__ import annotations

import difflib
import os
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

from nesting.findings import Finding, InputError
from nesting.read.csv_file import DELIMITERS, read_csv
from nesting.read.guards import CONTAINERS, Unreadable, other_kind
from nesting.read.tables import Cell, Row, Table
from nesting.read.xlsx_file import read_workbook

_WORKBOOKS = (".xlsx", ".xlsm")
_SLIP = 0.8
"""Likeness from which the name of a sheet or file counts as a slip of a table's name: part, ofers, but not notes."""
_RAGGED_SHOWN = 10
"""Rows of one table that are reported one by one for a surplus of cells."""

Source = tuple[str, str, tuple[Row, ...] | Unreadable]
"""Name of a sheet or file, the file for findings, and its rows (or why they cannot be read)."""


def open_tables(
    path: str | os.PathLike[str], known: frozenset[str]
) -> tuple[tuple[Table, ...], tuple[Finding, ...]]:
    """Every table of a job as it stands, and what is wrong with the tables as such.

    Parameters
    ----------
    path
        A workbook or a folder.
    known
        Names of the tables a job may have, in lower case.

    Returns
    -------
    The tables, and findings: errors, and notices of sheets and files that are no table of a job. A table that cannot
    be used stands in the findings under its name, and is left out.

    Raises
    ------
    InputError
        If there is no job at the path, or not one sheet or file of it can be read.
    """
    place = Path(path)
    sources, findings = _sources(place, known)
    tables: dict[str, list[tuple[str, Table]]] = defaultdict(list)
    for title, file, rows in sources:
        name = _known_name(title, known)
        if not name:
            findings.append(_stranger(title, file, known))
        elif isinstance(rows, Unreadable):
            findings.append(
                Finding(code="unreadable", sentence=str(rows), file=file, table=name, row=rows.row)
            )
        else:
            table, troubles = _table(name, file, rows)
            tables[name].append((title, table))
            findings.extend(troubles)
    for name, found in tables.items():
        if len(found) > 1:
            titles = " and ".join(repr(title) for title, _ in found)
            findings.append(
                Finding(
                    code="table-twice",
                    sentence=f"{titles} are both the table {name}; put their rows into one and delete the other",
                    file=shown(place),
                    table=name,
                )
            )
    return tuple(found[0][1] for found in tables.values() if len(found) == 1), tuple(findings)


def shown(path: Path) -> str:
    """A path for messages, whatever bytes are in it."""
    return str(path).encode("utf-8", "backslashreplace").decode("utf-8")


def _sources(place: Path, known: frozenset[str]) -> tuple[list[Source], list[Finding]]:
    try:
        if place.is_dir():
            return _folder(place, known)
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
        return [(title, shown(place), rows) for title, rows in read_workbook(place)], []
    except Unreadable as trouble:
        raise _refused(place, "unreadable", str(trouble)) from trouble


def _folder(place: Path, known: frozenset[str]) -> tuple[list[Source], list[Finding]]:
    try:
        files = sorted(p for p in place.iterdir() if p.is_file() and not p.name.startswith((".", "~")))
    except OSError as error:
        sentence = f"the folder cannot be opened ({error.strerror}); check its permissions"
        raise _refused(place, "unreadable", sentence) from error
    tables = [file for file in files if file.suffix.lower() == ".csv"]
    if not tables:
        workbooks = [file.name for file in files if file.suffix.lower() in _WORKBOOKS]
        advice = f"name the workbook {workbooks[0]} itself" if workbooks else "a job needs at least parts.csv"
        raise _refused(place, "no-tables", f"the folder holds no .csv file; {advice}")
    beside = [
        Finding(
            code="not-read",
            sentence=f"{file.name} is not read, because the tables of a folder are .csv files; save it as .csv",
            file=shown(file),
            severity="notice",
        )
        for file in files
        if file.suffix.lower() != ".csv" and _known_name(file.stem, known)
    ]
    return [(file.stem, shown(file), _read_csv(file)) for file in tables], beside


def _read_csv(file: Path) -> tuple[Row, ...] | Unreadable:
    try:
        return read_csv(file)
    except Unreadable as trouble:
        return trouble


def _refused(place: Path, code: str, sentence: str) -> InputError:
    return InputError([Finding(code=code, sentence=sentence, file=shown(place))])


def _known_name(title: str, known: frozenset[str]) -> str:
    """The table that a sheet or file name means, whatever its case, blanks and underscores; "" if none."""
    word = "".join(title.lower().replace("_", " ").split())
    return word if word in known else ""


def _stranger(title: str, file: str, known: frozenset[str]) -> Finding:
    near = difflib.get_close_matches(title.lower().strip(), sorted(known), n=1, cutoff=_SLIP)
    if near:
        return Finding(
            code="table-name",
            sentence=f"{title!r} is not a table of a job; rename it to {near[0]!r} if that is meant, "
            "or to something quite different to have it left alone",
            file=file,
        )
    sentence = f"{title!r} is not a table of a job and is not read"
    return Finding(code="not-read", sentence=sentence, file=file, severity="notice")


def _table(name: str, file: str, rows: tuple[Row, ...]) -> tuple[Table, list[Finding]]:
    """The first row as headers, and the others cut or filled to their width."""
    if not rows:
        return Table(name, file, (), 0, ()), []
    head, *body = rows
    named = [at for at, cell in enumerate(head.cells) if cell.text]
    surplus = [row for row in body if any(_filled(c) and at not in named for at, c in enumerate(row.cells))]
    table = Table(
        name=name,
        file=file,
        headers=tuple(head.cells[at].text for at in named),
        header_row=head.number,
        rows=tuple(cut for row in body if any(map(_filled, (cut := _cut(row, named)).cells))),
    )
    findings = [
        Finding(code="ragged", sentence=sentence, file=file, table=name, row=row)
        for row, sentence in [*_surplus(surplus, set(named)), *_other_delimiter(table)]
    ]
    return table, findings


def _filled(cell: Cell) -> bool:
    return bool(cell.text or cell.problem)


def _cut(row: Row, named: list[int]) -> Row:
    blank = Cell("")
    return Row(row.number, tuple(row.cells[at] if at < len(row.cells) else blank for at in named))


def _surplus(rows: list[Row], named: set[int]) -> Iterator[tuple[int, str]]:
    """Row and sentence for rows that have something where there is no header."""
    for row in rows[:_RAGGED_SHOWN]:
        at, cell = next((at, c) for at, c in enumerate(row.cells) if _filled(c) and at not in named)
        yield (
            row.number,
            f"cell {at + 1} holds {cell.text[:40]!r} but has no header; give the column a header, clear the cell, or, "
            "if the text of one cell was split, put quotes around it",
        )
    if len(rows) > _RAGGED_SHOWN:
        yield rows[_RAGGED_SHOWN].number, f"so it is in {len(rows) - _RAGGED_SHOWN} more rows from here on"


def _other_delimiter(table: Table) -> Iterator[tuple[int, str]]:
    """Row and sentence for the first row whose cells are held apart by another sign than the headers'."""
    if not table.file.lower().endswith(".csv") or len(table.headers) < 2:
        return
    for row in table.rows:
        first, *others = row.cells
        apart = [
            word for sign, word in DELIMITERS.items() if first.text.count(sign) >= len(table.headers) - 1
        ]
        if apart and not any(map(_filled, others)):
            yield (
                row.number,
                f"the cells are held apart by {apart[0]}, the headers are not; use one sign in the whole file",
            )
            return

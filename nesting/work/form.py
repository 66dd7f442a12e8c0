"""A form to fill in at the saw and to read back: one line for each stick and sheet, as numbered on the papers."""

from __future__ import annotations

import csv
import io
from itertools import groupby
from pathlib import Path

from nesting.findings import Finding, InputError
from nesting.read.csv_file import read_csv
from nesting.read.grid import Row, plain
from nesting.read.guards import Unreadable
from nesting.work.record import Entry, Kind, Name
from nesting.work.said import Saying
from nesting.work.standing import Standing

NAME = "done.csv"
_HEADS = ("stick or sheet", "from", "pieces in cutting order", "cut", "spoiled", "left")
_YES = ("all", "yes", "x", "y", "ja", "oui")


def form_text(work: Standing) -> str:
    """The form with what is recorded already.

    Returns
    -------
    str
        CSV text, semicolons where the shop's decimal mark is a comma. Column `cut`: how many pieces are cut, or yes
        for all; `spoiled`: which of them are no good; `left`: what was measured to be left.
    """
    text = io.StringIO(newline="")
    delimiter = ";" if work.plan.job.shop.decimal == "," else ","
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow(_HEADS)
    for name, item in work.items.items():
        done = work.progress[name]
        marks = " ".join(
            f"{n} x {mark}" if (n := len(list(run))) > 1 else mark for mark, run in groupby(item.marks)
        )
        source = item.yard or f"rack {item.layout.source}"
        cut = "yes" if done.cut == len(item.marks) and done.cut else str(done.cut or "")
        spoiled = " ".join(str(piece) for piece in sorted(done.spoiled))
        cells = (item.words, source, marks, cut, spoiled, "")
        writer.writerow([f"'{cell}" if cell[:1] in ("=", "+", "-", "@") else cell for cell in cells])
    return text.getvalue()


def read_form(work: Standing, file: Path) -> Entry:
    """What a filled-in form says that is not recorded yet.

    Raises
    ------
    InputError
        With every cell that cannot be understood, and where it stands.
    """
    try:
        rows = read_csv(file)
    except Unreadable as trouble:
        raise InputError([Finding(code="unreadable", sentence=str(trouble), file=str(file))]) from trouble
    head = Finding(code="", sentence="", file=str(file))
    saying = Saying(work, head)
    columns = _columns(rows, head)
    for row in rows[1:]:
        saying.place = Finding(code="", sentence="", file=str(file), row=row.number)
        _take(
            saying, {name: row.cells[at].text if at < len(row.cells) else "" for name, at in columns.items()}
        )
    return saying.entry()


def _columns(rows: tuple[Row, ...], place: Finding) -> dict[str, int]:
    found = {plain(cell.text): at for at, cell in enumerate(rows[0].cells)} if rows else {}
    wanted = {name: plain(name) for name in _HEADS}
    if missing := [name for name in ("stick or sheet", "cut") if wanted[name] not in found]:
        sentence = (
            f"the column {' and the column '.join(missing)} is missing; write the form anew with --form"
        )
        raise InputError([Finding(code="missing-column", sentence=sentence, file=place.file, row=1)])
    return {name: found[key] for name, key in wanted.items() if key in found}


def _take(saying: Saying, cells: dict[str, str]) -> None:
    kind_text, _, number = cells["stick or sheet"].strip().lower().rpartition(" ")
    kind: Kind = "sheet" if kind_text == "sheet" else "stick"
    name: Name = (kind, int(number)) if number.isdigit() and len(number) < 7 else (kind, 0)
    item = saying.work.items.get(name)
    cut, spoiled, left = (cells.get(column, "").strip() for column in ("cut", "spoiled", "left"))
    if not (cut or spoiled or left):
        return
    if item is None:
        saying.wrong(
            "unknown-number",
            f"{cells['stick or sheet']!r} is no stick or sheet of the plan",
            "stick or sheet",
        )
        return
    if cut.lower() in _YES:
        saying.pieces(name, len(item.marks))
    elif cut.isdigit() and len(cut) < 7:
        saying.pieces(name, int(cut))
    elif cut:
        saying.wrong("bad-count", f"{cut!r} is no number of pieces; write a number, or yes for all", "cut")
    short = f"{'s' if kind == 'sheet' else ''}{name[1]}"
    for piece in spoiled.replace(",", " ").replace(";", " ").split():
        saying.spoiled(f"{short}:{piece}")
    if left:
        saying.left(f"{short}={left}", "left")

"""One .csv file: commas, semicolons or tabs; UTF-8, UTF-16 or Windows-1252."""

from __future__ import annotations

import codecs
import csv
import io
from pathlib import Path

from nesting.read.grid import Cell, Row
from nesting.read.guards import Unreadable, check_count, check_row, check_text, check_text_head, read_bytes

_DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs"}
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def read_csv(path: Path) -> tuple[Row, ...]:
    """The rows that hold something, the header among them, each as wide as it is written.

    Returns
    -------
    Rows numbered by the line on which they begin, as an editor counts.

    Raises
    ------
    Unreadable
        If the file cannot be opened, is no text, is too large, or its quotes or delimiters do not agree.
    """
    data = read_bytes(path)
    check_text_head(data)
    text = _decode(data)
    check_text(text)
    return _rows(text)


def _decode(data: bytes) -> str:
    encodings = next(((encoding,) for mark, encoding in _MARKS if data.startswith(mark)), _guesses(data))
    for encoding in encodings:
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue  # the next encoding; after the last one the file is refused
    raise Unreadable("the file is broken or is no text; save the table as .csv text in UTF-8")


def _guesses(data: bytes) -> tuple[str, ...]:
    """Encodings to try for text without a byte order mark; in UTF-16 every other byte of Latin text is zero."""
    if b"\0" not in data:
        return ("utf-8", "cp1252")
    return ("utf-16-le",) if b"\0" in data[1::2] and b"\0" not in data[::2] else ("utf-16-be",)


def _rows(text: str) -> tuple[Row, ...]:
    skipped = 0
    first, _, rest = text.partition("\n")
    delimiter = _declared_delimiter(first)
    if delimiter:
        text, skipped = rest, 1
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter or _delimiter(text), strict=True)
    rows: list[Row] = []
    last_line = skipped
    try:
        for fields in reader:
            number, last_line = last_line + 1, reader.line_num + skipped
            texts = [_clean(field) for field in fields]
            while texts and not texts[-1]:
                texts.pop()
            if texts:
                check_row(number, texts)
                _check_delimiter(number, texts, len(rows[0].cells) if rows else 0)
                rows.append(Row(number, tuple(Cell(text) for text in texts)))
                check_count(len(rows))
    except csv.Error as error:
        raise Unreadable(
            f"the quotes do not pair up ({error}); a quote inside a quoted cell is written twice, "
            'as in "63 1/2"""',
            last_line + 1,
        ) from error
    return tuple(rows)


def _check_delimiter(number: int, texts: list[str], headers: int) -> None:
    """Refuse a row that falls into one cell only because another sign holds its cells apart."""
    for sign, words in _DELIMITERS.items():
        if len(texts) == 1 < headers and texts[0].count(sign) >= headers - 1:
            raise Unreadable(
                f"the cells are held apart by {words}, the headers are not; use one sign in the whole file",
                number,
            )


def _clean(text: str) -> str:
    """Without blanks around it, lines of one cell joined."""
    return " ".join(text.split("\n")).replace("\r", "").strip()


def _declared_delimiter(line: str) -> str:
    """The delimiter that spreadsheet programs may name in a first line "sep=;", "" if there is no such line."""
    word = line.strip("\r\n ").lower()
    return word[4] if word.startswith("sep=") and len(word) == 5 and word[4] in _DELIMITERS else ""


def _delimiter(text: str) -> str:
    """The delimiter found most often, outside quotes, in the first line that holds something."""
    header = next((line for line in text.splitlines() if line.strip()), "")
    bare = "".join(header.split('"')[::2])
    return max(_DELIMITERS, key=bare.count)

"""Where everything on the leaves of an uncompressed PDF stands, for tests of what is drawn."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from reportlab.pdfbase.pdfmetrics import stringWidth

_TOKEN = re.compile(rb"\((?:\\.|[^\\()])*\)|\[[^\]]*\]|/[^\s/\[\]()<>]+|[-+]?[\d.]+|[A-Za-z*'\"]+", re.DOTALL)
_STREAM = re.compile(rb"stream\r?\n(.*?)endstream", re.DOTALL)
_FONT = re.compile(rb"/BaseFont /([\w+-]+)(?:(?!endobj).)*?/Name /(F[\d+]+)", re.DOTALL)
Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class Ink:
    """Something drawn: its corners in points of the page, and the text if it is one."""

    left: float
    low: float
    right: float
    high: float
    text: str = ""


@dataclass(slots=True)
class _State:
    matrix: Matrix = (1, 0, 0, 1, 0, 0)
    is_clipped: bool = False
    font: str = ""
    size: float = 0.0
    points: list[tuple[float, float]] = field(default_factory=list)


def leaves_of(content: bytes) -> Iterator[list[Ink]]:
    """What is drawn on each page of an uncompressed PDF, page by page; what is clipped counts as its clip.

    The texts are as long as their letters are wide; signs that are not ASCII come as control codes and count nothing.
    """
    fonts = {name.decode(): base.decode() for base, name in _FONT.findall(content)}
    for stream in _STREAM.findall(content):
        if stream.startswith(b"1 0 0 1 0 0 cm"):
            yield list(_ink(stream, fonts))


def _ink(stream: bytes, fonts: dict[str, str]) -> Iterator[Ink]:
    state, kept, operands = _State(), list[_State](), list[bytes]()
    at, run, lead = (0.0, 0.0), (1.0, 0.0), 0.0
    for token in _TOKEN.findall(stream):
        if not (token.isalpha() or token in (b"W*", b"f*", b"B*", b"b*", b"T*")):
            operands.append(token)
            continue
        match token:
            case b"q":
                kept.append(_State(state.matrix, state.is_clipped, state.font, state.size))
            case b"Q":
                state = kept.pop()
            case b"cm" | b"Tm":
                matrix = _times(_numbers(operands), state.matrix)
                if token == b"cm":
                    state.matrix = matrix
                else:
                    at, run = matrix[4:], matrix[:2]
            case b"re":
                x, y, wide, high = _numbers(operands)
                state.points += [_moved(state.matrix, x, y), _moved(state.matrix, x + wide, y + high)]
            case b"m" | b"l":
                state.points.append(_moved(state.matrix, *_numbers(operands)))
            case b"c":
                state.points.append(_moved(state.matrix, *_numbers(operands[4:])))
            case b"W" | b"W*" | b"n" | b"S" | b"f" | b"B" | b"b" | b"s" | b"f*" | b"B*":
                if state.points and not state.is_clipped and token != b"n":
                    yield _around(state.points)
                if token.startswith(b"W"):
                    state.is_clipped = True
                else:
                    state.points = []
            case b"Tf":
                state.font, state.size = operands[0].decode()[1:], float(operands[1])
            case b"TL":
                lead = float(operands[0])
            case b"T*":
                at = (at[0] + run[1] * lead, at[1] - run[0] * lead)
            case b"Tj":
                if not state.is_clipped:
                    yield _text(operands[-1], fonts.get(state.font, ""), state.size, at, run)
        operands = []


def _text(raw: bytes, base: str, size: float, at: tuple[float, float], run: tuple[float, float]) -> Ink:
    plain = re.sub(rb"\\[0-7]{3}|\\[nrtbf]", b"", raw[1:-1])
    text = re.sub(rb"\\(.)", rb"\1", plain, flags=re.DOTALL).decode("latin-1")
    wide = stringWidth(text.rstrip(), "VeraBd" if "Bold" in base else "Vera", size)
    end = (at[0] + run[0] * wide, at[1] + run[1] * wide)
    found = _around([at, end])
    return Ink(found.left, found.low, found.right, found.high, text)


def _around(points: list[tuple[float, float]]) -> Ink:
    across, up = [x for x, _ in points], [y for _, y in points]
    return Ink(min(across), min(up), max(across), max(up))


def _numbers(operands: list[bytes]) -> tuple[float, ...]:
    return tuple(float(operand) for operand in operands)


def _times(a: tuple[float, ...], b: Matrix) -> Matrix:
    return (
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    )


def _moved(matrix: Matrix, x: float, y: float) -> tuple[float, float]:
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f

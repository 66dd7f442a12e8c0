"""What is worth a word about a saw, though it can be planned with."""

from __future__ import annotations

from pathlib import Path

from nesting import read_job


def _folder(tmp_path: Path, kerf: str) -> Path:
    tables = {
        "parts": "mark,qty,material,length\nP1,2,tube 2 x 2 x 1/8,48\n",
        "offers": "yard,material,length,price,per\nNorth,tube 2 x 2 x 1/8,20 ft,60,each\n",
        "saws": f"saw,kerf,trim\nchop,{kerf},1/4\n",
    }
    for name, text in tables.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8", newline="")
    return tmp_path


def test_a_kerf_of_nothing_is_planned_and_told(tmp_path: Path) -> None:
    told = [f for f in read_job(_folder(tmp_path, "0")).notices if f.code == "kerf-zero"]
    assert [(f.table, f.row, f.column) for f in told] == [("saws", 2, "KERF")]


def test_a_measured_kerf_is_taken_without_a_word(tmp_path: Path) -> None:
    assert not [f for f in read_job(_folder(tmp_path, "1/8")).notices if f.code == "kerf-zero"]

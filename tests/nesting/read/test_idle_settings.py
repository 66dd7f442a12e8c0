"""Settings that change nothing are told, and only those."""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.read import read_job

PLATES = "MARK,QTY,MATERIAL,LENGTH,width\nA,1,plate 3/8,10,4\n"
SHEETS = "YARD,MATERIAL,LENGTH,width,price,per\nY,plate 3/8,48,24,40,each\n"
UNPRICED = "YARD,MATERIAL,LENGTH,width\nY,plate 3/8,48,24\n"
BARS = "MARK,QTY,MATERIAL,LENGTH\nA,1,flat 1/4 x 2,10\n"
STICKS = "YARD,MATERIAL,LENGTH,price,per\nY,flat 1/4 x 2,20 ft,30,each\n"


@pytest.mark.parametrize(
    ("parts", "offers", "settings", "told"),
    [
        (PLATES, SHEETS, "processes,torch\nbed,24 x 24\nedge,1/4\n", []),
        (PLATES, SHEETS, "processes,shear\nbed,24 x 24\nedge,1/4\nshear_trim,0\n", ["edge, bed"]),
        (PLATES, SHEETS, "processes,torch\nshear_trim,1/4\n", ["shear_trim"]),
        (PLATES, SHEETS, "offcut_share,0.5\nscrap_price,0.1\n", []),
        (PLATES, UNPRICED, "offcut_share,0.5\nscrap_price,0.1\n", ["offcut_share, scrap_price"]),
        # the shop table of every job of a shop knows its torch, whatever this job needs
        (BARS, STICKS, "processes,saw\nbed,24 x 24\n", []),
    ],
)
def test_a_setting_without_effect_is_told(
    parts: str, offers: str, settings: str, told: list[str], tmp_path: Path
) -> None:
    tables = {"parts": parts, "offers": offers, "shop": f"SETTING,VALUE\n{settings}"}
    for name, text in tables.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8", newline="\n")
    notices = [n for n in read_job(tmp_path).notices if n.code == "idle-setting"]
    assert [n.sentence.split(":")[0] for n in notices] == told
    assert all(n.table == "shop" and n.row >= 2 for n in notices)

"""A plan's folder appears whole or not at all, and only if the plan is sound."""

from __future__ import annotations

import csv
import io
import os
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from nesting.findings import OutputError, PlanBroken
from nesting.plan import Plan
from nesting.write import read_plan, write_plan
from nesting.write.deliver import is_ours
from nesting.write.drawings import drawings_of
from nesting.write.folder import write_folder
from nesting.write.inquiry import inquiry_csv
from tests.nesting.made import inch_plan, metric_plan, mixed_plan
from tests.nesting.made_sheets import plate_plan


@pytest.mark.parametrize("plan", [inch_plan(), metric_plan(), mixed_plan()], ids=lambda plan: plan.job.name)
def test_a_sound_plan_is_written_whole(plan: Plan, tmp_path: Path) -> None:
    """All files and nothing else; plan.json gives the plan back."""
    out = tmp_path / "deep" / "bench.plan"
    written = write_plan(plan, out)
    names = {"plan.html", "plan.pdf", "plan.xlsx", "plan.json"}
    if plan.job.name != "bench":
        names.add("inquiry.csv")
    assert {path.name for path in written} == names
    assert {path.name for path in out.iterdir()} == names
    assert [path.name for path in out.parent.iterdir()] == [out.name]
    assert read_plan(out) == plan


def test_a_plan_with_sheets_has_a_folder_of_drawings(tmp_path: Path) -> None:
    """Everything that is returned is there, and nothing else."""
    out = tmp_path / "stand.plan"
    written = write_plan(plate_plan(), out)
    drawings = {out / name for name in drawings_of(plate_plan())}
    assert drawings
    assert set(written) == drawings | {
        out / name for name in ("plan.html", "plan.pdf", "plan.xlsx", "plan.json")
    }
    assert {path for path in out.rglob("*") if path.is_file()} == set(written)


def test_a_new_plan_takes_the_old_drawings_away_but_not_what_was_put_beside_them(tmp_path: Path) -> None:
    """Tool paths that its user made stay, drawings of sheets that are no longer cut do not."""
    out = tmp_path / "stand.plan"
    write_plan(plate_plan(), out)
    (out / "drawings" / "sheet-03.tap").write_bytes(b"G0")
    (out / "drawings" / "tried").mkdir()
    (out / "drawings" / "tried" / "sheet-01.dxf").write_bytes(b"mine")
    write_plan(inch_plan(), out)
    kept = {path.relative_to(out / "drawings").as_posix() for path in (out / "drawings").rglob("*")}
    assert kept == {"sheet-03.tap", "tried", "tried/sheet-01.dxf"}
    write_plan(plate_plan(), out)
    assert (out / "drawings" / "sheet-03.tap").read_bytes() == b"G0"
    assert (out / "drawings" / "sheet-03.dxf").is_file()
    (out / "drawings" / "sheet-03.tap").unlink()
    (out / "drawings" / "tried" / "sheet-01.dxf").unlink()
    (out / "drawings" / "tried").rmdir()
    write_plan(inch_plan(), out)
    assert not (out / "drawings").exists()


def test_a_broken_plan_is_not_written(tmp_path: Path) -> None:
    """The breaches come with the error; the folder does not appear."""
    plan = replace(inch_plan(), total=Decimal("1.00"))
    with pytest.raises(PlanBroken) as broken:
        write_plan(plan, tmp_path / "bench.plan")
    assert broken.value.breaches
    assert list(tmp_path.iterdir()) == []


def test_a_new_plan_replaces_the_old_and_keeps_what_its_user_added(tmp_path: Path) -> None:
    """An inquiry that is no longer needed goes; a photo and a folder of notes stay."""
    out = tmp_path / "job.plan"
    write_plan(metric_plan(), out)
    (out / "photo.jpg").write_bytes(b"picture")
    (out / "notes").mkdir()
    (out / "notes" / "monday.txt").write_text("cut 3", encoding="utf-8")
    write_plan(inch_plan(), out)
    assert read_plan(out) == inch_plan()
    assert {path.name for path in out.iterdir()} == {
        "plan.html",
        "plan.pdf",
        "plan.xlsx",
        "plan.json",
        "photo.jpg",
        "notes",
    }
    assert (out / "notes" / "monday.txt").read_text(encoding="utf-8") == "cut 3"
    assert list(tmp_path.iterdir()) == [out]


@pytest.mark.parametrize("kind", ["folder", "file"])
def test_what_is_not_a_plan_is_left_alone(tmp_path: Path, kind: str) -> None:
    """A folder without plan.json, or a file, is never replaced."""
    out = tmp_path / "job.plan"
    if kind == "folder":
        out.mkdir()
        (out / "drawing.dxf").write_bytes(b"lines")
    else:
        out.write_bytes(b"lines")
    with pytest.raises(OutputError, match="is not the folder of an earlier plan"):
        write_plan(inch_plan(), out)
    kept = out / "drawing.dxf" if kind == "folder" else out
    assert kept.read_bytes() == b"lines"
    assert list(tmp_path.iterdir()) == [out]


@pytest.mark.parametrize("broken", ["write_bytes", "mkdir", "rename"])
def test_a_disk_that_refuses_leaves_the_old_plan(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    """Disk full at any step: one sentence with the folder, the old plan as it was, nothing half-written."""
    out = tmp_path / "job.plan"
    write_plan(inch_plan(), out)
    with monkeypatch.context() as patch:
        calls = iter(range(100))
        real = getattr(Path, broken)

        def refuse(self: Path, *rest: object, **named: object) -> object:
            if next(calls) == 1 or broken == "mkdir":
                raise OSError(28, "No space left on device")
            return real(self, *rest, **named)

        patch.setattr(Path, broken, refuse)
        with pytest.raises(OutputError, match=r"job\.plan: No space left on device"):
            write_plan(metric_plan(), out)
    assert read_plan(out) == inch_plan()
    assert list(tmp_path.iterdir()) == [out]


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere"
)
def test_a_folder_that_may_not_be_written_is_named(tmp_path: Path) -> None:
    """No permission is an OutputError as well."""
    tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match="may write there"):
        write_folder(tmp_path / "job.plan", {"plan.json": b"{}"}, is_ours)
    tmp_path.chmod(0o700)


def _rows(plan: Plan, delimiter: str = ",") -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(inquiry_csv(plan)), delimiter=delimiter))


def test_the_inquiry_asks_for_what_has_no_price() -> None:
    """Two sizes of the trolley, one of the press frame, none of the bench; price and per are left empty."""
    assert [(row["yard"], row["material"], row["length"], row["count"]) for row in _rows(metric_plan())] == [
        ("Stahl Nord", plan_name, "6000 mm", "1")
        for plan_name in (group.name for group in metric_plan().groups)
    ]
    (row,) = _rows(mixed_plan())
    assert (row["material"], row["length"], row["price"], row["per"]) == ("round 3/4", "12'", "", "")
    assert inquiry_csv(inch_plan()) == ""


def test_every_yard_that_sells_the_size_is_asked_and_no_cell_is_a_formula() -> None:
    """A second yard called =cmd sells the round bar too."""
    plan = mixed_plan()
    other = replace(plan.job.offers[3], id="offer 9", yard="=cmd", note="@home")
    rows = _rows(replace(plan, job=replace(plan.job, offers=(*plan.job.offers, other))))
    assert [(row["yard"], row["note"]) for row in rows] == [("'=cmd", "'@home"), ("North Yard", "")]


def test_a_shop_with_decimal_commas_gets_semicolons() -> None:
    """So that its spreadsheet program reads the columns."""
    plan = metric_plan()
    plan = replace(plan, job=replace(plan.job, shop=replace(plan.job.shop, decimal=",")))
    assert "," in _rows(plan, ";")[0]["weight kg"]

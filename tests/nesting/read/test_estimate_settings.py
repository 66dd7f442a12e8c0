"""The settings of the estimate: read as written, refused where they may mean two things, blank where not set."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from nesting.findings import InputError
from nesting.read import read_job, start_job
from nesting.read.schema import RATE_SETTINGS
from tests.nesting.read.test_meaning import SHOP, folder

METRIC = {
    "parts": "MARK,QTY,MATERIAL,LENGTH\nA,2,flat 50 x 5,250\n",
    "offers": "YARD,MATERIAL,LENGTH\nY,flat 50 x 5,6 m\n",
    "saws": "SAW,KERF,trim,rate\nchop,3,6,5800\n",
}


def test_settings_are_read_with_their_signs_and_other_names(tmp_path: Path) -> None:
    rows = "hourly rate,$62.50\nVAT,8.25 %\ncontingency,10\nfilm,5 mil\nseconds per piece,25 s\ncoats,0\n"
    shop = read_job(folder(tmp_path, shop=SHOP + rows + "offcut share,50 %\n")).shop
    assert dict(shop.rates) == {
        "labour_rate": Decimal("62.50"),
        "tax": Decimal("8.25"),
        "contingency": Decimal(10),
        "paint_film": Decimal(5),
        "seconds_per_piece": Decimal(25),
        "coats": Decimal(0),
    }
    assert shop.offcut_share == Decimal("0.5")


def test_a_film_may_be_written_in_the_other_unit(tmp_path: Path) -> None:
    """A mil is 25.4 um by definition."""
    (tmp_path / "inch").mkdir()
    inch = read_job(folder(tmp_path / "inch", shop=SHOP + "paint_film,127 µm\n")).shop
    assert dict(inch.rates) == {"paint_film": Decimal(5)}
    (tmp_path / "mm").mkdir()
    metric = read_job(
        folder(tmp_path / "mm", shop="SETTING,VALUE\nunits,mm\npaint_film,2 mil\n", **METRIC)
    ).shop
    assert dict(metric.rates) == {"paint_film": Decimal("50.8")}


@pytest.mark.parametrize(
    ("units", "row", "kept"),
    [
        ("in", "torch_feed,100", {"torch_feed": Decimal(2540)}),
        ("in", "feed,2.5 m/min", {"torch_feed": Decimal(2500)}),
        ("in", "torch feed,60 ipm", {"torch_feed": Decimal(1524)}),
        ("mm", "torch_feed,1800", {"torch_feed": Decimal(1800)}),
        ("mm", "torch_feed,70 in / min", {"torch_feed": Decimal(1778)}),
        ("mm", "torch_feed,180 cm/min", {"torch_feed": Decimal(1800)}),
        ("in", "drill_speed,90", {"drill_speed": Decimal("27.432")}),
        ("in", "drill_speed,30 m/min", {"drill_speed": Decimal(30)}),
        ("mm", "drill_speed,30", {"drill_speed": Decimal(30)}),
        ("mm", "drilling speed,100 sfm", {"drill_speed": Decimal("30.48")}),
        ("in", "amps,65 A", {"torch_amps": Decimal(65)}),
        ("in", "pierce_seconds,0.8 s", {"pierce_seconds": Decimal("0.8")}),
        ("in", "tip_price,$24", {"tip_price": Decimal(24)}),
        ("in", "tip_pierces,300", {"tip_pierces": Decimal(300)}),
    ],
)
def test_torch_and_drill_are_kept_in_metric_units(
    tmp_path: Path, units: str, row: str, kept: dict[str, Decimal]
) -> None:
    """A bare number counts the unit of the job: in/min or mm/min, ft/min or m/min. 1 in is 25.4 mm, 1 ft 0.3048 m."""
    tables = METRIC if units == "mm" else {}
    shop = read_job(folder(tmp_path, shop=f"SETTING,VALUE\nunits,{units}\n{row}\n", **tables)).shop
    assert dict(shop.rates) == kept


def test_the_rate_of_a_saw_is_kept_in_square_millimetres(tmp_path: Path) -> None:
    """An inch is 25.4 mm, so a square inch 645.16 mm2."""
    (tmp_path / "inch").mkdir()
    saws = "SAW,KERF,trim,rate\nchop,1/8,1/4,9\nother,1/8,1/4,\n"
    job = read_job(folder(tmp_path / "inch", saws=saws))
    assert [saw.rate for saw in job.saws] == [Decimal("5806.44"), None]
    (tmp_path / "mm").mkdir()
    (saw,) = read_job(folder(tmp_path / "mm", shop="SETTING,VALUE\nunits,mm\n", **METRIC)).saws
    assert saw.rate == 5800


def test_the_header_of_the_rate_may_name_its_unit(tmp_path: Path) -> None:
    """58 cm2/min are 5800 mm2/min, in an inch job too; a unit that is none is refused."""
    job = read_job(folder(tmp_path, saws="SAW,KERF,trim,Rate (cm2/min)\nchop,1/8,1/4,58\n"))
    assert job.saws[0].rate == 5800
    with pytest.raises(InputError, match="write one of in2/min, mm2/min, cm2/min"):
        read_job(folder(tmp_path, saws="SAW,KERF,trim,rate (rpm)\nchop,1/8,1/4,58\n"))


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("tax,0.08", "may be a share or a percentage"),
        ("tax,120", "from 0 to 100"),
        ("contingency,ten", "is not a number"),
        ("offcut_share,1", "from 0 to below 1"),
        ("offcut_share,100 %", "a percentage from 0 to below 100"),
        ("offcut_share,120 %", "a percentage from 0 to below 100"),
        ("paint_solids,0", "leaves no paint"),
        ("paint_loss,100", "loses all the paint"),
        ("paint_film,0 mil", "above zero"),
        ("clean_rate,0", "above zero"),
        ("coats,1.5", "is not a count"),
        ("labour_rate,-5", "zero or more"),
        ("torch_amps,30", "write 45 or more, or set torch_feed"),
        ("torch_feed,0 mm/min", "above zero"),
        ("torch_feed,90 knots", "is not a number"),
        ("drill_speed,30 mm/min", "is not a number"),
        ("tip_pierces,0", "above zero"),
    ],
)
def test_a_value_that_cannot_be_is_refused_at_its_place(tmp_path: Path, row: str, reason: str) -> None:
    with pytest.raises(InputError) as caught:
        read_job(folder(tmp_path, shop=f"{SHOP}{row}\n"))
    (finding,) = caught.value.findings
    assert (finding.code, finding.row, finding.column) == ("bad-setting", 3, "VALUE")
    assert reason in finding.sentence


def test_a_saw_that_cuts_nothing_in_a_minute_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="must be above zero"):
        read_job(folder(tmp_path, saws="SAW,KERF,trim,rate\nchop,1/8,1/4,0\n"))


def test_a_new_job_offers_every_rate_and_sets_none(tmp_path: Path) -> None:
    """Blank rows of the shop table are as if they were not there."""
    for form in ("workbook", "csv"):
        job = read_job(start_job(tmp_path / form, form))
        assert (job.shop.rates, job.shop.offcut_share, job.shop.other) == ((), 0, ())
    shop = (tmp_path / "csv" / "shop.csv").read_text(encoding="utf-8-sig")
    assert all(f"{setting.name},," in shop for setting in RATE_SETTINGS)


def test_a_shop_table_still_needs_its_values(tmp_path: Path) -> None:
    """The column itself cannot be left away."""
    with pytest.raises(InputError, match="VALUE"):
        read_job(folder(tmp_path, shop="SETTING\nunits\n"))

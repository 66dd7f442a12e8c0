"""Settings that change nothing in a job: told, since whoever set them counts on them."""

from __future__ import annotations

from collections.abc import Iterator

from nesting.findings import Finding
from nesting.job import Job, Process
from nesting.read.sheet import Sheet
from nesting.read.shop import given_settings

_OF_PROCESS: dict[Process, tuple[str, ...]] = {
    "torch": (
        *("torch_kerf", "clearance", "edge", "bed", "torch_hole", "torch_rate", "torch_amps", "torch_feed"),
        *("pierce_seconds", "tip_price", "tip_pierces", "bed_margin", "bed_open"),
        *("blank_kerf", "blank_allowance", "blank_cost"),
    ),
    "shear": ("shear_trim", "seconds_per_shear_cut"),
}
"""Settings that only one process knows."""
_OF_PRICES = ("offcut_share", "scrap_price")


def find_idle_settings(job: Job, sheet: Sheet | None) -> Iterator[Finding]:
    """A notice for settings of a process that the shop does not name, and for what rests are worth beside no price."""
    given = given_settings(sheet)
    has_plates = any(part.is_plate for part in job.parts)
    for process, names in _OF_PROCESS.items():
        if has_plates and process not in job.shop.processes:
            yield from _told(sheet, given, names, f"the setting processes does not name {process}")
    if job.offers and all(offer.price is None for offer in job.offers):
        yield from _told(sheet, given, _OF_PRICES, "no offer has a price, so that the plan counts weight")


def _told(sheet: Sheet | None, given: dict[str, int], names: tuple[str, ...], why: str) -> Iterator[Finding]:
    idle = [name for name in names if name in given]
    if idle and sheet is not None:
        yield Finding(
            code="idle-setting",
            sentence=f"{', '.join(idle)}: of no effect, since {why}",
            file=sheet.file,
            table="shop",
            row=given[idle[0]],
            severity="notice",
        )

"""Gauges: a number that is a thickness only with its system, and of steel sheet a weight.

Systems: MSG (uncoated steel sheet), galvanised, US standard (stainless sheet), B&S (aluminium sheet; also
called AWG), BWG (tube walls).
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache

from stock.errors import BadMaterial
from stock.grade import Family
from stock.length import PER_INCH
from stock.standard import table

SYSTEM_WORDS = {"msg": "MSG", "bwg": "BWG", "awg": "B&S", "b&s": "B&S", "swg": "SWG"}
_KG_M2_PER_LB_FT2 = 0.45359237 / 0.3048**2
_USED_FOR = {
    "MSG": "steel sheet",
    "galvanised": "galvanised sheet",
    "US standard": "stainless sheet",
    "B&S": "aluminium sheet",
    "BWG": "tube wall",
}


def thickness(system: str, gauge: int) -> int:
    """Ticks of a gauge in a system.

    Raises BadMaterial if the table does not have it.

    >>> thickness("BWG", 16) == 65 * PER_INCH // 1000
    True
    """
    known = _thicknesses(system)
    if gauge not in known:
        span = f"{min(known)} to {max(known)} ga"
        raise BadMaterial(f"{gauge} ga is not in the {system} table ({span}); write the thickness itself")
    return known[gauge]


def system_of(family: Family, finish: str, is_tube: bool) -> str | None:
    """The system the trade uses for a sheet or tube wall, None if it uses more than one."""
    if is_tube:
        return None if family is Family.ALUMINIUM else "BWG"
    if family is Family.ALUMINIUM:
        return "B&S"
    if family is Family.STAINLESS:
        return "US standard"
    return "galvanised" if finish == "galvanised" else "MSG"


def meanings(gauge: int) -> str:
    """All thicknesses a bare gauge may mean, as a phrase."""
    found = [
        f"{_inches(_thicknesses(system)[gauge])} in as {use} ({system})"
        for system, use in _USED_FOR.items()
        if gauge in _thicknesses(system)
    ]
    return ", ".join(found) if found else "nothing in the gauge tables"


@cache
def sheet_weights(finish: str) -> dict[int, float]:
    """kg/m2 of steel sheet by thickness in ticks, for the standard gauges of that finish.

    Source: 15 U.S.C. 206, published; galvanised 2.5 oz/ft2 more, derived.
    """
    system = "galvanised" if finish == "galvanised" else "MSG"
    return {
        _thicknesses(system)[int(row["gauge"])]: float(row["lb_per_ft2"]) * _KG_M2_PER_LB_FT2
        for row in table("gauges")
        if row["system"] == system
    }


def sheet_gauge(ticks: int, finish: str) -> int | None:
    """The standard gauge of steel sheet with that thickness, None if it is none."""
    found = _thicknesses("galvanised" if finish == "galvanised" else "MSG")
    return next((gauge for gauge, thick in found.items() if thick == ticks), None)


@cache
def _thicknesses(system: str) -> dict[int, int]:
    return {
        int(row["gauge"]): int(Decimal(row["thickness_in"]) * PER_INCH)
        for row in table("gauges")
        if row["system"] == system
    }


def _inches(ticks: int) -> str:
    return f"{(Decimal(ticks) / PER_INCH).quantize(Decimal('0.0001'))}"

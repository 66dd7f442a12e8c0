"""Measures, rounding and wording that all lines of an estimate share."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, ROUND_UP, Decimal
from fractions import Fraction

from nesting.estimate.line import Line
from nesting.estimate.rates import Rates
from nesting.job import Shop, Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """The units that a shop counts cuts, feeds, surface and paint in.

    Parameters
    ----------
    cut, cut_mm2
        Unit of the metal area of a cut, and how many mm2 it is.
    run, run_m
        Unit of the length of all cuts together, and how many m it is.
    feed, feed_mm
        Unit of the feed of a torch, and how many mm a minute it is.
    speed, speed_m
        Unit of the speed of a drill's edge, and how many m a minute it is.
    surface, surface_m2
        Unit of surface, and how many m2 it is.
    paint, film
        Units of the volume of paint and of the thickness of a coat.
    spread
        Surface that one unit of paint covers one unit of film thick.
    """

    cut: str
    cut_mm2: float
    run: str
    run_m: float
    feed: str
    feed_mm: float
    speed: str
    speed_m: float
    surface: str
    surface_m2: float
    paint: str
    film: str
    spread: Fraction


_MEASURES: dict[Unit, Measures] = {
    "in": Measures(
        cut="in²",
        cut_mm2=645.16,
        run="ft",
        run_m=0.3048,
        feed="in/min",
        feed_mm=25.4,
        speed="ft/min",
        speed_m=0.3048,
        surface="ft²",
        surface_m2=0.09290304,
        paint="gal",
        film="mil",
        spread=Fraction(231 * 1000, 144),  # a US gallon is 231 cubic inches
    ),
    "mm": Measures(
        cut="mm²",
        cut_mm2=1.0,
        run="m",
        run_m=1.0,
        feed="mm/min",
        feed_mm=1.0,
        speed="m/min",
        speed_m=1.0,
        surface="m²",
        surface_m2=1.0,
        paint="L",
        film="µm",
        spread=Fraction(1000),
    ),
}


def measures_of(shop: Shop) -> Measures:
    """The units of a shop."""
    return _MEASURES[shop.unit]


def cents(amount: Decimal | Fraction) -> Decimal:
    """Money to the cent, half up."""
    exact = Decimal(amount.numerator) / amount.denominator if isinstance(amount, Fraction) else amount
    return exact.quantize(Decimal("0.01"), ROUND_HALF_UP)


def hundredths_up(value: float) -> Decimal:
    """A measured number to a hundredth, rounded up, so that nothing needed is shown as none.

    >>> hundredths_up(0.0003), hundredths_up(1.0), hundredths_up(0)
    (Decimal('0.01'), Decimal('1.00'), Decimal('0.00'))
    """
    clear_of_noise = Decimal(value).quantize(Decimal("0.0000001"), ROUND_HALF_UP)
    return clear_of_noise.quantize(Decimal("0.01"), ROUND_UP)


def work(
    operation: str, seconds: float, how: str, rates: Rates, names: tuple[str, ...], *, start: bool = False
) -> Line:
    """A line of hours at the labour rate; `names` are the rates that went into it, `start` is for others."""
    hours = hundredths_up(seconds / 3600)
    return Line(
        operation=operation,
        kind="work",
        amount=None if rates.labour_rate is None else cents(hours * rates.labour_rate),
        hours=hours,
        how=how,
        is_start_value=start or rates.are_start_values(*names),
    )


def number_words(value: Decimal | float, shop: Shop, places: int | None = None) -> str:
    """A measured number to three digits, the whole of it where it has more; a setting as it was written.

    Parameters
    ----------
    places
        Decimal places, if they are to be fixed.

    >>> number_words(38.5719, Shop()), number_words(1234.4, Shop()), number_words(Decimal("62.75"), Shop())
    ('38.6', '1,234', '62.75')
    """
    if places is None:
        places = _places(round(value, 4)) if isinstance(value, Decimal) else 2 - _magnitude(value)
    text = f"{value:,.{max(0, places)}f}"
    return text.translate(str.maketrans(",.", ".,")) if shop.decimal == "," else text


def _places(value: Decimal) -> int:
    """Decimal places that a number is written with."""
    return -int(value.normalize().as_tuple().exponent)


def _magnitude(value: float) -> int:
    """Power of ten of the first digit, as it is printed to three digits."""
    return int(f"{value:.2e}".partition("e")[2])

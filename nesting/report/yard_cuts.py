"""What a yard is asked to cut, in words: where each stick is parted, and what stays there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from math import gcd

from nesting.job import Shop
from nesting.plan import Parting
from nesting.report.words import counted, stick_words
from stock.length import PER_INCH, PER_MM
from stock.offer import Offer


def yard_cut_lines(partings: Iterable[Parting], offer: Offer, shop: Shop) -> Iterator[str]:
    """One line for each way in which sticks of an offer are parted.

    Parameters
    ----------
    partings
        Of sticks of this offer.
    """
    asked: Counter[str] = Counter()
    for parting in partings:
        asked[_where(parting, offer, shop)] += parting.times
    for where, times in asked.items():
        which = "it" if times == 1 else "each"
        number = f"{times} of them: " if len(asked) > 1 else ""
        yield (
            f"{number}have {which} cut {where}"
            if where
            else f"{number}leave {which} there, bought for the price alone"
        )


def cuts_words(count: int) -> str:
    """How many cuts a yard makes: 1 yard cut, 3 yard cuts."""
    return counted(count, "yard cut")


def _where(parting: Parting, offer: Offer, shop: Shop) -> str:
    """Where a stick is cut: "at 11' 4"" or into which segments, and which of them stays; "" if it is not cut."""
    if not parting.cuts:
        return ""
    rest = _unmeasured(parting, shop)
    measured = [n for n in range(len(parting.segments)) if n != rest]
    lengths = [stick_words(parting.segments[n], shop) for n in measured]
    stays = "" if parting.taken[rest] else ", the rest stays there"
    left = [stick_words(parting.segments[n], shop) for n in measured if not parting.taken[n]]
    stays += f", {' and '.join(left)} stays there" if left else ""
    if len(measured) == 1:
        if offer.clean_ends == 1:
            end = "clean end" if measured == [0] else "end that is not clean"
            return f"at {lengths[0]} from its {end}{stays}"
        return f"at {lengths[0]}{stays}"
    lengths.insert(rest, f"the rest ({stick_words(parting.segments[rest], shop)})")
    ends = " from its clean end on" if offer.clean_ends == 1 else ""
    return f"into {', '.join(lengths[:-1])} and {lengths[-1]}, in this order{ends}{stays}"


def _unmeasured(parting: Parting, shop: Shop) -> int:
    """The segment that need not be measured: the one in the least round figures; of two alike one that stays."""
    unit = 64 * PER_INCH if shop.unit == "in" else 1000 * PER_MM

    def rank(n: int) -> tuple[int, bool, int]:
        return gcd(parting.segments[n], unit), parting.taken[n], -n

    return min(range(len(parting.segments)), key=rank)

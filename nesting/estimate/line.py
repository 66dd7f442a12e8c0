"""An estimate and its lines, immutable."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from nesting.estimate.rates import Rates

Kind = Literal["material", "work", "machine", "supply", "contingency", "tax"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of an estimate.

    Parameters
    ----------
    operation
        What is paid for or done.
    kind
        "work" is hours at the labour rate; "machine" the hours of the saws and the torch at theirs, or a cut whose
        time is not known.
    amount
        Money to the cent; None: not known, because a price, rate or feed is missing.
    hours
        Of work, to a hundredth; None: the line takes none.
    how
        How it came about, in words with its numbers.
    is_start_value
        Whether a starting value went into it that the shop did not set.
    """

    operation: str
    kind: Kind
    amount: Decimal | None
    hours: Decimal | None = None
    how: str
    is_start_value: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """What a job costs to make, as far as it is known.

    Parameters
    ----------
    lines
        Material, work and supplies; contingency and tax are the last two.
    notes
        What the estimate leaves out, and what to mind, one sentence each.
    rates
        What it was counted with.
    """

    lines: tuple[Line, ...]
    notes: tuple[str, ...]
    rates: Rates

    @property
    def total(self) -> Decimal:
        """Money of all lines whose amount is known."""
        return known(self.lines)

    @property
    def hours(self) -> Decimal:
        """Of all lines."""
        return sum((line.hours for line in self.lines if line.hours is not None), Decimal("0.00"))

    @property
    def unknown(self) -> tuple[str, ...]:
        """Operations whose amount is not known, so not in the total."""
        return tuple(line.operation for line in self.lines if line.amount is None)


def known(lines: tuple[Line, ...] | list[Line]) -> Decimal:
    """Money of those lines whose amount is known."""
    return sum((line.amount for line in lines if line.amount is not None), Decimal("0.00"))

"""How a solver tells what it is doing and learns that it should stop."""

from __future__ import annotations

import time
from typing import Protocol

from stock.money import Cost


class Progress(Protocol):
    """What a display of progress must be able to take."""

    def begin(self, group: str, number: int, of: int, priced: bool) -> None:
        """A group is taken up."""

    def report(self, doing: str, cost: Cost | None, bound: Cost | None) -> None:
        """The state of the group: what is being done, the best cost and bound so far (ten-thousandths)."""

    def interrupted(self) -> bool:
        """Whether the user asked to end early."""


class Silent:
    """A progress display that shows nothing and never interrupts."""

    def begin(self, group: str, number: int, of: int, priced: bool) -> None:
        """Show nothing."""

    def report(self, doing: str, cost: Cost | None, bound: Cost | None) -> None:
        """Show nothing."""

    def interrupted(self) -> bool:
        """Never."""
        return False


class Unshown(Silent):
    """A progress display that shows nothing, of work that another one may interrupt."""

    def __init__(self, asked: Progress) -> None:
        self._asked = asked

    def interrupted(self) -> bool:
        """Ask the other display."""
        return self._asked.interrupted()


class Budget:
    """How long a group may still be worked on: by the clock, or by counted steps.

    Parameters
    ----------
    seconds
        By the clock; None: not limited.
    work
        Steps (an LP solve, a pricing round, a node of a search); None: not limited. With a work limit the
        clock is never read, so that the same job gives the same plan on any machine.
    progress
        Asked whether the user wants to end.
    """

    def __init__(self, seconds: float | None, work: int | None, progress: Progress) -> None:
        self._end = None if seconds is None or work is not None else time.monotonic() + seconds
        self._work = work
        self.progress = progress

    @property
    def counted(self) -> bool:
        """Whether steps are counted instead of seconds."""
        return self._work is not None

    def spend(self, steps: int = 1) -> None:
        """Count steps."""
        if self._work is not None:
            self._work -= steps

    def seconds_left(self) -> float:
        """Seconds left, infinite if not by the clock."""
        return float("inf") if self._end is None else max(0.0, self._end - time.monotonic())

    def steps_left(self) -> int | None:
        """Steps left, None if not by steps."""
        return None if self._work is None else max(0, self._work)

    def share(self, part: float, progress: Progress | None = None) -> Budget:
        """A budget of its own that may use a part of what is left, told to another display if one is given."""
        steps = self.steps_left()
        return Budget(
            None if self.seconds_left() == float("inf") else part * self.seconds_left(),
            None if steps is None else max(1, int(part * steps)),
            progress or self.progress,
        )

    def over(self) -> bool:
        """Whether it is time to hand over the best so far."""
        if self.progress.interrupted():
            return True
        return (self._work is not None and self._work <= 0) or self.seconds_left() <= 0.0

    def why(self) -> str:
        """Which limit ended the work: "interrupted", "work limit" or "time limit"."""
        if self.progress.interrupted():
            return "interrupted"
        return "work limit" if self._work is not None else "time limit"

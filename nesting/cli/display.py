"""Progress on a terminal: a line a group that is rewritten, or plain lines where there is no terminal."""

from __future__ import annotations

import signal
import time
from types import FrameType, TracebackType

from rich.console import Console
from rich.live import Live
from rich.table import Table

from stock.money import Cost, from_cost


class Display:
    """Shows each group while it is solved, and turns Ctrl-C into "hand over the best so far".

    Parameters
    ----------
    console
        Where to show; rewritten in place only if it is a terminal.
    """

    def __init__(self, console: Console) -> None:
        self._console = console
        self._rows: list[_Row] = []
        self._of = 0
        self._asked = False
        self._live = (
            Live(console=console, auto_refresh=False, transient=True) if console.is_terminal else None
        )
        self._shown = 0.0

    def __enter__(self) -> Display:
        self._before = signal.signal(signal.SIGINT, self._on_interrupt)
        if self._live:
            self._live.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        signal.signal(signal.SIGINT, self._before)
        self._close_row()
        if self._live:
            self._live.stop()

    def begin(self, group: str, number: int, of: int, priced: bool) -> None:
        """A group is taken up."""
        self._close_row()
        self._of = of
        self._rows.append(_Row(group, number, priced))
        self._show(force=True)

    def report(self, doing: str, cost: Cost | None, bound: Cost | None) -> None:
        """The state of the group."""
        row = self._rows[-1]
        row.doing, row.cost, row.bound = doing, cost, bound
        self._show(force=False)

    def interrupted(self) -> bool:
        """Whether Ctrl-C was pressed."""
        self._show(force=False)
        return self._asked

    def note(self, text: str) -> None:
        """A line that stays."""
        self._console.print(text, highlight=False, markup=False)

    def _on_interrupt(self, number: int, frame: FrameType | None) -> None:
        if self._asked:
            raise KeyboardInterrupt
        self._asked = True

    def _close_row(self) -> None:
        if self._rows and self._rows[-1].ended is None:
            row = self._rows[-1]
            row.ended = time.monotonic()
            row.doing = "done"
            if not self._live:
                self._console.print(row.plain(self._of), highlight=False, markup=False)

    def _show(self, force: bool) -> None:
        if not self._live or (not force and time.monotonic() - self._shown < 0.1):
            return
        self._shown = time.monotonic()
        table = Table(box=None, pad_edge=False)
        for heading in ("group", "doing", "best so far", "bound", "time"):
            table.add_column(
                heading, justify="left" if heading in ("group", "doing") else "right", no_wrap=True
            )
        for row in self._rows[-8:]:
            table.add_row(
                f"{row.number}/{self._of} {row.group}", row.doing, row.best(), row.least(), row.clock()
            )
        if self._asked:
            table.caption = "ending early with the best so far; Ctrl-C again gives up"
        self._live.update(table, refresh=True)


class _Row:
    """One group on the display."""

    def __init__(self, group: str, number: int, priced: bool) -> None:
        self.group, self.number, self.priced = group, number, priced
        self.doing = "reading"
        self.cost: Cost | None = None
        self.bound: Cost | None = None
        self.started = time.monotonic()
        self.ended: float | None = None

    def best(self) -> str:
        return "" if self.cost is None else self._amount(self.cost)

    def least(self) -> str:
        return "" if self.bound is None else self._amount(self.bound)

    def _amount(self, cost: Cost) -> str:
        return f"{from_cost(cost):,.2f}" + ("" if self.priced else " kg")

    def clock(self) -> str:
        return f"{(self.ended or time.monotonic()) - self.started:.1f} s"

    def plain(self, of: int) -> str:
        best = f", {self.best()}" if self.cost is not None else ""
        least = f" (bound {self.least()})" if self.bound is not None else ""
        return f"group {self.number} of {of}: {self.group}{best}{least}, {self.clock()}"

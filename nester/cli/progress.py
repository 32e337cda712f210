"""How a planning run shows itself on a terminal: one line on standard error, renewed in place."""

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic
from types import FrameType
from typing import TYPE_CHECKING, Any

from nester.cli.common import tell
from nester.solve.callbacks import Callbacks
from nester.solve.stop import Progress

if TYPE_CHECKING:
    from rich.console import Console
    from rich.text import Text

RENEWALS = 4
"""How often a second the line is renewed, whether or not there is news."""

_COMPILING = "making the solver ready for this machine; this happens once and takes a while"
_STARTING = "looking for a first plan"


class Interruptible(Callbacks):
    """Lets Ctrl-C stop a run with the best plan so far; a second one ends it at once."""

    def __init__(self) -> None:
        self.interrupted = False

    def should_stop(self) -> bool:
        """Return whether Ctrl-C was pressed."""
        return self.interrupted

    @contextmanager
    def watching(self) -> Iterator[None]:
        """Catch Ctrl-C for as long as the block runs."""
        try:
            before = signal.signal(signal.SIGINT, self._press)
        except ValueError:  # not in the main thread, so there is no key to catch
            yield
            return
        try:
            yield
        finally:
            signal.signal(signal.SIGINT, before)

    def _press(self, number: int, frame: FrameType | None) -> None:
        if self.interrupted:
            raise KeyboardInterrupt
        self.interrupted = True
        self.noticed()

    def noticed(self) -> None:
        """Say that the run is ending."""
        tell("stopping with the best plan so far; Ctrl-C again to end without one")


class Screen(Interruptible):
    """Shows seconds, cost, bound, gap and missing parts on ``console`` while a run goes on."""

    def __init__(self, console: "Console") -> None:
        super().__init__()
        self.console = console
        self.state = _STARTING
        self.began = monotonic()

    @contextmanager
    def watching(self) -> Iterator[None]:
        """Show the line, and catch Ctrl-C, for as long as the block runs."""
        from rich.live import Live

        self.began = monotonic()
        with super().watching():
            live = Live(
                console=self.console,
                get_renderable=self.line,
                refresh_per_second=RENEWALS,
                transient=True,
                redirect_stdout=False,
                redirect_stderr=False,
            )
            with live:
                yield

    def line(self) -> "Text":
        """Return the line as it stands now."""
        from rich.text import Text

        return Text(f"{monotonic() - self.began:6.1f} s  {self.state}", overflow="ellipsis")

    def compiling(self) -> None:
        """Say why nothing happens yet."""
        self.state = _COMPILING

    def progress(self, progress: Progress) -> None:
        """Show how far the run has come."""
        if not self.interrupted:
            self.state = described(progress)

    def noticed(self) -> None:
        """Say that the run is ending."""
        self.state = "stopping with the best plan so far; Ctrl-C again to end without one"


def described(progress: Progress) -> str:
    """Return cost, bound, gap and missing parts in one line."""
    if progress.missing:
        copies = "1 part" if progress.missing == 1 else f"{progress.missing:,} parts"
        return f"{copies} still without a place"
    if progress.cost is None:
        return _STARTING
    text = f"cost {progress.cost:,.2f}"
    if progress.bound is not None:
        text += f"  at least {progress.bound:,.2f}"
    if progress.gap is not None:
        text += f"  gap {100 * progress.gap:.1f} %"
    return text


def watcher(quiet: bool) -> Interruptible:
    """Return what watches a run: a line on a terminal, nothing elsewhere or where ``quiet``."""
    if quiet or not _is_terminal(sys.stderr):
        return Interruptible()
    from rich.console import Console

    return Screen(Console(stderr=True, highlight=False))


def _is_terminal(stream: Any) -> bool:
    try:
        return bool(stream.isatty())
    except (AttributeError, ValueError):
        return False

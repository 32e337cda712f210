"""Hooks into a run. The methods here do nothing; a terminal or a page overrides what it needs."""

from typing import TYPE_CHECKING

from nester.solve.stop import Progress

if TYPE_CHECKING:
    from nester.problem import Problem
    from nester.solve.result import Result


class Callbacks:
    """No-op hooks."""

    def start(self, problem: "Problem") -> None:
        """Called once, before anything is tried."""

    def compiling(self) -> None:
        """Called before ``start`` where the kernels must first be compiled, which takes a while."""

    def progress(self, progress: Progress) -> None:
        """Called after every round, and at least twice a second."""

    def end(self, result: "Result") -> None:
        """Called once, with what came of it."""

    def should_stop(self) -> bool:
        """Return True to stop at the next occasion, with the best so far."""
        return False

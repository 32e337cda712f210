"""What a planning run tells those who watch it."""

import pytest

from nester import planning
from nester.problem import Problem
from nester.solve.callbacks import Callbacks
from nester.solve.result import Result
from nester.solve.stop import Progress, Work
from tests.nester.check.things import board, part, project


class Told(Callbacks):
    """Remembers what was called."""

    def __init__(self) -> None:
        self.calls: list[str] = []

    def start(self, problem: Problem) -> None:
        """Remember the start."""
        self.calls.append("start")

    def compiling(self) -> None:
        """Remember that there was something to compile."""
        self.calls.append("compiling")

    def progress(self, progress: Progress) -> None:
        """Remember only the first progress."""
        if self.calls[-1] != "progress":
            self.calls.append("progress")

    def end(self, result: Result) -> None:
        """Remember the end."""
        self.calls.append("end")


@pytest.mark.parametrize("compiled", [False, True])
def test_compiling_is_told_first_and_only_where_needed(
    compiled: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Kernels that are not at hand are told before the run starts; those at hand are not."""
    monkeypatch.setattr(planning, "is_compiled", lambda: compiled)
    told = Told()
    made = planning.make_plan(
        project(part("rail", 30, 3)),
        [board("W-1", price=5)],
        stop=Work(1),
        workers=1,
        callbacks=told,
        made="2026-11-25T10:00:00Z",
    )
    assert [layout.stock for layout in made.layouts] == ["W-1"]
    first = [] if compiled else ["compiling"]
    assert told.calls == [*first, "start", "progress", "end"]

"""A bound by sets of boards that are bought whole: what the cheapest set costs at the least.

Few boards make few sets, so all are listed (``board_sets``). Prices of blanks, which are a cut for
all sets, come from whole boards with flaws where they lie (``by_rows``), or from sections of strips
where boards are too long for that (``by_sections``).
"""

from time import monotonic

from nester.problem import Problem
from nester.solve.bound.board_sets import BoardSets
from nester.solve.bound.by_rows import ByRows
from nester.solve.bound.by_sections import BySections
from nester.solve.lp import CELLS_A_MASTER

MOST_CELLS = 30_000_000
"""Programme cells of pricing boards once up to which this is tried."""


class Bought:
    """Raises a bound round by round."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.last_work = 0
        self.boards = BoardSets(problem)
        self.done = not 0 < sum(alike.cells for alike in self.boards.alike) <= MOST_CELLS
        self.stage: BySections | ByRows | None = None  # it takes a while to begin with

    @property
    def bound(self) -> int:
        """What is proven so far [ticks]."""
        return 0 if self.stage is None else self.boards.bound

    def go_on(self, cells: int, seconds: float) -> int:
        """Make steps until they have taken so many programme cells, or seconds; return the cells.

        A step that is underway then is made to its end.
        """
        until, work = monotonic() + seconds, 0
        while work < cells and not self.done and monotonic() < until:
            self.step()
            work += self.last_work + CELLS_A_MASTER
        return work

    def step(self) -> None:
        """Look for better prices once more."""
        if self.done:
            return
        if self.stage is None:
            rows = ByRows(self.problem, self.boards)
            self.stage = BySections(self.boards) if rows.done else rows
        else:
            self.stage.step()
        self.last_work = self.stage.last_work
        self.done = self.stage.done

"""A bound by sets of boards that are bought whole: what the cheapest set costs at the least.

Few boards make few sets, so all are listed (``board_sets``). Prices of blanks, which are a cut for
all sets, come from sections of strips first (``by_sections``), then from whole boards with flaws
where they lie (``by_rows``).
"""

from collections.abc import Sequence
from concurrent.futures import Executor

from nester.problem import Problem
from nester.solve.bound.board_sets import BoardSets
from nester.solve.bound.by_rows import ByRows
from nester.solve.bound.by_sections import BySections
from nester.solve.columns import Column

MOST_CELLS = 30_000_000
"""Programme cells of pricing boards once up to which this is tried."""


class Bought:
    """Raises a bound round by round."""

    again = False
    expected = 0

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.last_work = 0
        self.boards = BoardSets(problem)
        self.done = not 0 < sum(alike.cells for alike in self.boards.alike) <= MOST_CELLS
        self.stage: BySections | ByRows | None = None if self.done else BySections(self.boards)

    @property
    def bound(self) -> int:
        """What is proven so far [ticks]."""
        return 0 if self.stage is None else self.boards.bound

    @property
    def next_work(self) -> int:
        """About how many programme cells the next round fills."""
        return self.last_work

    def round(self, pool: Executor, columns: Sequence[Column], best: int) -> None:
        """Make a step on the pool, which has no other use for ``columns`` and ``best``."""
        self.step(pool)

    def step(self, pool: Executor | None = None) -> None:
        """Look for better prices once more, on the ``pool`` where there is one."""
        if self.stage is None or self.done:
            return
        if isinstance(self.stage, ByRows):
            self.stage.step(pool)
        elif pool is None:
            self.stage.step()
        else:
            pool.submit(self.stage.step).result()
        self.last_work = self.stage.last_work
        if self.stage.done and isinstance(self.stage, BySections):
            self.stage = ByRows(self.problem, self.boards)
        self.done = self.stage.done

"""More layouts, at the prices of those known: column generation with layouts that can be sawn.

What pricing for the bound proposes is often no layout, or less of one once it is drawn: sixty
boards had lost a fifth of what each proposal was worth. So the linear programme over the layouts
known gives prices too, and beam search looks for a layout of each piece of stock that is worth more
at these than it costs. After Gilmore and Gomory (1961), "A linear programming approach to the
cutting-stock problem"; the choice among them all is what Joncour, Michel, Sadykov, Sverdlov and
Vanderbeck (2010), "Column generation based primal heuristics", call the restricted master.
"""

from collections.abc import Iterable, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.columns import Column, column
from nester.solve.decode import Known, decode
from nester.solve.kernels import columns as k
from nester.solve.lp import GrowingLp
from nester.solve.pack import Manner, moved, searched

NARROWEST, WIDEST = 60, 1_600
"""Nodes kept a level, at first and at the most: twice as many whenever little has come."""

LITTLE = 1 / 16
"""That is: new layouts for no more than this share of the groups of stock."""

AHEADS = (3, 0, 7)
"""What is looked at for waste to come, in turn (``kernels.children.score``)."""

ENDS = 2
"""Ends of a search that are worked out in full."""

WORTH_IT = 1e-7
"""How much less than its blanks are worth a layout must cost, in prices of the dearest."""

PLACINGS_A_SEARCH = 4_000
"""Placings that take the time of what goes with each search."""


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """What each blank is worth, and what each group's piece costs beyond its own price [ticks].

    ``cost`` is that of the programme; ``least``: how much less than its worth a layout must cost.
    """

    blanks: NDArray[np.float64]
    groups: NDArray[np.float64]
    least: float
    cost: float


@dataclass(frozen=True, slots=True)
class Grown:
    """A layout that costs less than its blanks are worth, if there is one; the placings tried."""

    column: Column | None
    work: int


class Generating:
    """Looks for further layouts, a step at a time."""

    def __init__(self, problem: Problem, found: Arrays, groups: Sequence[tuple[int, ...]]) -> None:
        self.problem, self.found, self.groups = problem, found, groups
        self.group_of = {s: g for g, group in enumerate(groups) for s in group}
        self.counts = [sum(problem.stock[s].count for s in group) for group in groups]
        self.width = NARROWEST
        self.steps = 0
        self.idle = 0  # steps in succession that have found nothing

    def begin(self, pool: Executor, known: Sequence[Column], bound: int) -> "list[Future[Grown]]":
        """Begin a step: one search for each group of stock.

        There is none where no choice of the layouts known need cost more than the ``bound``.
        """
        prices = self.prices(known)
        if prices is None or prices.cost <= bound:
            return []
        self.steps += 1
        ahead = AHEADS[self.steps % len(AHEADS)]
        return [
            pool.submit(self._grown, g, prices, self.width, ahead) for g in range(len(self.groups))
        ]

    def end(self, step: Iterable[Grown]) -> list[Column]:
        """Return the layouts that a step has found."""
        columns = [grown.column for grown in step if grown.column is not None]
        self.idle = 0 if columns else self.idle + 1
        if len(columns) <= LITTLE * len(self.groups):
            self.width = min(WIDEST, 2 * self.width)
        return columns

    def prices(self, known: Sequence[Column]) -> Prices | None:
        """Return the prices of the linear programme over layouts; None where they do not do."""
        problem = self.problem
        n = len(problem.demands)
        scale = float(max((c.cost for c in known), default=1)) or 1.0
        lp = GrowingLp(
            [*(float(d.copies) for d in problem.demands), *(0.0 for _ in self.groups)],
            [*(np.inf for _ in problem.demands), *(float(count) for count in self.counts)],
        )
        entries = np.zeros((len(known), n + len(self.groups)))
        entries[:, :n] = [c.counts for c in known]
        entries[np.arange(len(known)), [n + self.group_of[c.stock] for c in known]] = 1.0
        lp.add_all(np.array([c.cost / scale for c in known]), entries)
        if not lp.solve():
            return None
        duals = lp.duals * scale
        return Prices(np.maximum(0.0, duals[:n]), duals[n:], WORTH_IT * scale, lp.objective * scale)

    def _grown(self, group: int, prices: Prices, width: int, ahead: int) -> Grown:
        stock = self.groups[group][0]
        columns, work = self.most_worth(stock, prices.blanks, width, ahead)
        best, lowest = None, -prices.least
        for made in columns:
            reduced = made.cost - float(prices.blanks @ made.counts) - float(prices.groups[group])
            if reduced < lowest:
                best, lowest = made, reduced
        return Grown(best, work + PLACINGS_A_SEARCH)

    def most_worth(
        self, stock: int, blanks: NDArray[np.float64], width: int, ahead: int
    ) -> tuple[list[Column], int]:
        """Return a few layouts of a stock item that are worth most at prices; and the work."""
        found, problem = self.found, self.problem
        order = [c for c, d in enumerate(found.directions) if d.stock == stock and not d.bound_only]
        wanted = self._wanted(stock, blanks)
        if not order or not wanted.any():
            return [], 0
        copies = np.zeros(len(problem.stock), np.int16)
        copies[stock] = 1
        manner = Manner(width, slack=0.0, open_most=len(order), ahead=ahead)
        classes = np.array(order, np.int32)
        weight = blanks / blanks.sum()
        record, _, work = searched(found, wanted, weight, copies, classes, manner)
        known: Known = {}
        made: list[Column] = []
        worth = _worth(found, record, blanks)
        for row in np.argsort(-worth, kind="stable")[:ENDS]:
            for cls, layout in decode(record, int(row), found, problem.stock, known):
                own = found.directions[cls].stock
                made.append(moved(problem, column(problem, own, layout)))
        return made, work

    def _wanted(self, stock: int, blanks: NDArray[np.float64]) -> NDArray[np.int16]:
        """Return how many of each blank one piece may give: no more than has room in it."""
        most = self.found.room[stock] // np.maximum(1, self.found.takes)
        copies = np.array([d.copies for d in self.problem.demands], np.int64)
        wanted = np.where(blanks > 0, np.minimum(copies, most), 0)
        return wanted.astype(np.int16)


def _worth(
    found: Arrays, record: NDArray[np.int32], blanks: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return what the layout up to each placement is worth, the offcut at its far end included."""
    worth = np.zeros(len(record))
    worth[1:] = blanks[found.options[record[1:, k.P_OPTION], 0]]
    far = record[:, k.P_U2].astype(np.int64)
    before = np.maximum(record[:, k.P_PARENT], 0)
    while before.any():
        worth += worth[before]
        far = np.maximum(far, far[before])
        before = before[before]
    table = found.classes[record[1:, k.P_CLASS]].astype(np.int64)
    rest = table[:, k.C_U2] - far[1:] - table[:, k.C_KU]
    kept = (table[:, k.C_OFF_FULL] == 1) & (rest >= table[:, k.C_OFF_U])
    worth[1:] += kept * found.money[record[1:, k.P_CLASS], 2] * rest * table[:, k.C_V2]
    return worth

"""A linear programme that grows by columns and is solved again from where it stood."""

from collections.abc import Sequence
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray

CELLS_A_MASTER = 1_000_000
"""Programme cells that are filled in the time that one solution takes, about."""

LONGEST = 60.0
"""Seconds after which a programme is given up, lest one that stalls holds the whole run."""


class GrowingLp:
    """Minimise cost over rows with bounds; columns are added, the basis is kept (HiGHS)."""

    def __init__(self, lower: Sequence[float], upper: Sequence[float]) -> None:
        self.highs = highspy.Highs()
        self.highs.setOptionValue("output_flag", False)
        self.highs.setOptionValue("threads", 1)
        self.highs.setOptionValue("time_limit", LONGEST)
        self.rows = len(lower)
        none, zero = np.empty(0, np.int32), np.empty(0)
        for low, high in zip(lower, upper, strict=True):
            self.highs.addRow(
                -highspy.kHighsInf if low == -np.inf else low,
                highspy.kHighsInf if high == np.inf else high,
                0,
                none,
                zero,
            )

    def add(self, cost: float, upper: float, entries: dict[int, float]) -> None:
        """Add a column between 0 and ``upper`` with its entries by row."""
        rows = sorted(entries)
        self.highs.addCol(
            cost,
            0.0,
            highspy.kHighsInf if upper == np.inf else upper,
            len(rows),
            np.array(rows, np.int32),
            np.array([entries[r] for r in rows], np.float64),
        )

    def add_all(self, costs: NDArray[np.float64], entries: NDArray[Any]) -> None:
        """Add columns, one a row of ``entries``, with no limit above."""
        rows, places = np.nonzero(entries)
        starts = np.searchsorted(rows, np.arange(len(entries)))
        self.highs.addCols(
            len(entries),
            costs.astype(np.float64),
            np.zeros(len(entries)),
            np.full(len(entries), highspy.kHighsInf),
            len(rows),
            starts.astype(np.int32),
            places.astype(np.int32),
            entries[rows, places].astype(np.float64),
        )

    def set_rows(self, lower: NDArray[np.float64], upper: NDArray[np.float64]) -> None:
        """Give all rows other bounds."""
        rows = np.arange(len(lower), dtype=np.int32)
        self.highs.changeRowsBounds(len(rows), rows, lower, np.minimum(upper, highspy.kHighsInf))

    def set_uppers(self, upper: NDArray[np.float64]) -> None:
        """Give all columns other upper bounds."""
        columns = np.arange(len(upper), dtype=np.int32)
        most = np.minimum(upper, highspy.kHighsInf)
        self.highs.changeColsBounds(len(columns), columns, np.zeros(len(columns)), most)

    def set_row(self, row: int, lower: float, upper: float) -> None:
        """Give a row other bounds."""
        low = -highspy.kHighsInf if lower == -np.inf else lower
        high = highspy.kHighsInf if upper == np.inf else upper
        self.highs.changeRowBounds(row, low, high)

    def set_cost(self, column: int, cost: float) -> None:
        """Give a column another cost."""
        self.highs.changeColCost(column, cost)

    def set_costs(self, costs: NDArray[np.float64]) -> None:
        """Give the first columns other costs."""
        columns = np.arange(len(costs), dtype=np.int32)
        self.highs.changeColsCost(len(costs), columns, costs)

    def solve(self) -> bool:
        """Solve again; False where no optimum was found."""
        self.highs.run()
        return bool(self.highs.getModelStatus() == highspy.HighsModelStatus.kOptimal)

    @property
    def objective(self) -> float:
        """The value of the last solution."""
        return float(self.highs.getInfo().objective_function_value)

    @property
    def duals(self) -> NDArray[np.float64]:
        """The dual of each row."""
        return np.array(self.highs.getSolution().row_dual, np.float64)

    @property
    def activities(self) -> NDArray[np.float64]:
        """The value of each row."""
        return np.array(self.highs.getSolution().row_value, np.float64)

    @property
    def values(self) -> NDArray[np.float64]:
        """The value of each column."""
        return np.array(self.highs.getSolution().col_value, np.float64)

"""Layouts that the search found, offered to the master programme: they cost no pricing."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.solve.columns import Column

MOST = 3
"""Layouts of a group that the master takes over at a time."""

REMEMBERED = 4_000

WORTH_IT = 1e-6
"""How much less than its blanks are worth a layout must cost, in prices of the dearest item."""


@dataclass(frozen=True, slots=True, eq=False)
class Offer:
    """A layout by its group, what it costs and the blanks it gives."""

    group: int
    cost: int
    counts: NDArray[np.int64]


class Offers:
    """The layouts not yet taken over."""

    def __init__(
        self, group_of: Mapping[int, int], counted: Callable[[Column], NDArray[np.int64]]
    ) -> None:
        self.group_of = group_of
        self.counted = counted
        self.columns: list[Column] = []
        self.tables: tuple[NDArray[np.int64], ...] | None = None

    def more(self, columns: Sequence[Column]) -> None:
        """Remember new ones."""
        if columns:
            self.columns = [*self.columns, *columns][-REMEMBERED:]
            self.tables = None

    def clear(self) -> None:
        """Forget all: a new master programme begins with every layout known."""
        self.columns, self.tables = [], None

    def good(self, duals: NDArray[np.float64], scale: float) -> list[Offer]:
        """Return those that cost least beyond what their blanks are worth, if that is below 0.

        ``duals``: of the blanks, then of the groups; costs are divided by ``scale``.
        """
        if not self.columns:
            return []
        if self.tables is None:
            self.tables = (
                np.array([self.group_of[column.stock] for column in self.columns]),
                np.array([column.cost for column in self.columns]),
                np.array([self.counted(column) for column in self.columns]),
            )
        groups, costs, counts = self.tables
        kinds = counts.shape[1]
        reduced = costs / scale - counts @ duals[:kinds] - duals[kinds + groups]
        found: list[Offer] = []
        taken: dict[int, int] = {}
        for i in np.argsort(reduced, kind="stable"):
            if reduced[i] >= -WORTH_IT:
                break
            group = int(groups[i])
            taken[group] = taken.get(group, 0) + 1
            if taken[group] <= MOST:
                found.append(Offer(group, int(costs[i]), counts[i]))
        return found

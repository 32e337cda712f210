"""The cheapest strips for a panel, at given prices of strips."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nester.problem.choice import Glue

NEVER = 2**61
"""A price that no panel reaches."""


class Panels:
    """Chooses strips for panels of one kind.

    ``kinds`` and ``widths`` [1/320 mm] are the strips to choose from; a width may be more than the
    strip's own, where it stands for all strips up to that width.
    """

    def __init__(self, glue: Glue, kinds: Sequence[int], widths: Sequence[int], grid: int) -> None:
        self.kinds = np.array(kinds, np.int64)
        self.cells = np.array(widths, np.int64) // grid
        self.most = glue.most
        # Enough with n strips: their widths together, less per_strip for each, reach the need.
        self.needs = [-(-(glue.need + n * glue.per_strip) // grid) for n in range(glue.most + 1)]
        self._last: tuple[bytes, list[tuple[int, tuple[int, ...]]]] = (b"", [])

    def cheapest(self, prices: NDArray[np.int64]) -> tuple[int, tuple[int, ...]]:
        """Return the least price of a panel and its strips by kind, ascending in width.

        ``prices`` are by kind of blank. Where no panel can be made the price is ``NEVER`` or more.
        """
        return min(self.by_number(prices), key=lambda panel: panel[0], default=(NEVER, ()))

    def by_number(self, prices: NDArray[np.int64]) -> list[tuple[int, tuple[int, ...]]]:
        """Return the cheapest panel of every number of strips of which one can be made."""
        if len(self.kinds) == 0:
            return []
        own = np.minimum(prices[self.kinds], NEVER // 64)
        key = own.tobytes()
        if key != self._last[0]:  # the same prices are asked for twice in a row
            self._last = (key, self._by_number(own))
        return self._last[1]

    def _by_number(self, own: NDArray[np.int64]) -> list[tuple[int, tuple[int, ...]]]:
        top = max(self.needs)
        places = np.arange(top + 1)
        before = np.maximum(places[None, :] - self.cells[:, None], 0)
        table = np.full(top + 1, NEVER, np.int64)
        table[0] = 0
        picks: list[NDArray[np.int64]] = []
        costs_of: dict[int, int] = {}
        for n in range(1, self.most + 1):
            costs = np.minimum(own[:, None] + table[before], NEVER)
            pick = costs.argmin(axis=0)
            table = costs[pick, places]
            picks.append(pick)
            if n >= 2 and table[self.needs[n]] < NEVER:
                costs_of[n] = int(table[self.needs[n]])
        return [(cost, self._strips(n, picks)) for n, cost in costs_of.items()]

    def _strips(self, number: int, picks: Sequence[NDArray[np.int64]]) -> tuple[int, ...]:
        left, strips = self.needs[number], []
        for n in range(number, 0, -1):
            k = int(picks[n - 1][left])
            strips.append(k)
            left = max(0, left - int(self.cells[k]))
        return tuple(int(self.kinds[k]) for k in sorted(strips))

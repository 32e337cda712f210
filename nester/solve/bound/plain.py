"""Pricing of boards as if they had no flaws: three stages, and nothing depends on the place.

For boards that have none it tells all; for others it is quick and looser than section pricing.
"""

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.earned import Earned, anywhere
from nester.solve.bound.level import Level, Told
from nester.solve.bound.places import Places, option_rows, places, rising
from nester.solve.bound.pricing import Priced
from nester.solve.bound.sizes import far_limit, plate_size
from nester.solve.kernels import columns as k
from nester.solve.kernels.plain_sections import plain_sections
from nester.solve.lazy import Lazy


class PlainPricer:
    """Any three-stage layout of a board, flaws not looked at, sizes rounded down to steps."""

    def __init__(self, found: Arrays, cls: int, item: StockItem, demands: int, step: int) -> None:
        self.step = step
        self.level = PlainLevel(found, cls, item, step, 1)
        self.found = found
        self.demands = demands
        self.beyond = item.cell_credit * item.beyond
        self.work = plain_work(found, cls, step)

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced:
        prices = rising(prices, self.found)
        reached, came, _, work = self.level.filled(prices)
        sketch = self.level.sketch(prices, came)
        counts = np.zeros(self.demands, np.int32)
        for placed in sketch.sections:
            np.add.at(counts, self.level.tables.owner[placed[:, 0]], 1)
        value = int(reached[-1]) + self.beyond
        credit = value - int(np.dot(counts.astype(np.int64), prices))
        return Priced(value, counts, credit, work, sketch=sketch)


class PlainLevel(Level):
    """Section pricing without flaws."""

    @Lazy
    def tables(self) -> Places:
        """Where each blank may lie: anywhere."""
        far = int(far_limit(self.found, self.cls).max(initial=0))
        return places(self.found, self.cls, *self.steps, far)

    @Lazy
    def earned(self) -> Earned:
        """What leftovers earn: all their cells."""
        return anywhere(self.found, self.cls, self.tables, self.least_width)

    def filled(
        self, prices: NDArray[np.int64]
    ) -> tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int64], int]:
        """Return what ``kernels.plain_sections`` does."""
        found: tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.int64], int]
        found = plain_sections(self.read, prices[self.tables.owner])
        return found

    def told(self, prices: NDArray[np.int64]) -> Told:
        """Return what is known at these prices of layouts with flaws, before they are looked at."""
        reached, _, inside, work = self.filled(prices)
        table = self.found.classes[self.cls]
        span = int(table[k.C_U2] - table[k.C_U1] + table[k.C_KU])
        return Told(self.steps[0], span, reached, inside, work)

    def walked(self, prices: NDArray[np.int64], us: int, ue: int) -> NDArray[np.int32]:
        """Return the blanks of a section, which is filled as if it lay at the beginning."""
        placed = super().walked(prices, 0, ue - us)
        placed[:, 1] += us
        return placed


def plain_work(found: Arrays, cls: int, step: int) -> int:
    """Return about how many programme cells pricing without flaws takes."""
    nx, ny = plate_size(found, cls)
    rows = option_rows(found, cls)
    widths = len(np.unique(rows[:, 2]))
    return (nx // step) * (2 * ny + len(rows)) * widths + (nx // step) ** 2 // 2

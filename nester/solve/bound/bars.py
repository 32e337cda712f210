"""Pricing of stock in which blanks can only lie end to end, each at most as often as wanted."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nester.problem import StockItem
from nester.solve.arrays import Arrays
from nester.solve.bound.places import option_rows
from nester.solve.bound.pricing import Priced
from nester.solve.bound.sizes import edge_rows, is_plain, least_offcut, plate_size
from nester.solve.kernels import columns as k
from nester.solve.kernels.bar import best_bar

MOST_CELLS = 20_000_000
"""Cells times kinds of blanks up to which the programme's table is kept in memory."""


def is_bar(found: Arrays, cls: int, item: StockItem) -> bool:
    """Whether a class is crosscut first and too narrow for two blanks, or a blank and an offcut."""
    if int(found.classes[cls, k.C_RIP_FIRST]) == 1 or not is_plain(found, cls):
        return False
    rows = option_rows(found, cls)
    _, ny = plate_size(found, cls)
    narrow = int(rows[:, 2].min()) + int(found.classes[cls, k.C_KV])
    if 2 * narrow <= ny:
        return False
    if item.cell_credit > 0:
        _, least = least_offcut(found, cls, item)
        if item.off_either or ny - narrow + edge_rows(found, cls, item) >= least:
            return False
    return plate_size(found, cls)[0] * len(rows) <= MOST_CELLS


class BarPricer:
    """Any cutting of a plain bar that takes no blank more often than it is asked for: exact."""

    step = 1

    def __init__(self, found: Arrays, cls: int, item: StockItem, copies: Sequence[int]) -> None:
        rows = option_rows(found, cls)
        kerf = int(found.classes[cls, k.C_KU])
        self.nx, _ = plate_size(found, cls)
        self.owner = rows[:, 0].astype(np.int32)
        self.lengths = (rows[:, 1] + kerf).astype(np.int32)
        self.copies = np.array([copies[d] for d in self.owner], np.int32)
        self.demands = len(copies)
        self.rate = item.cell_credit * item.ny
        self.beyond = item.cell_credit * item.beyond
        self.off = least_offcut(found, cls, item)[0] + kerf
        self.kerf = kerf
        most = np.minimum(self.copies, self.nx // self.lengths)
        self.work = self.nx * sum(int(n).bit_length() for n in most)

    def __call__(
        self,
        prices: NDArray[np.int64],
        least: int = 0,
        wanted: NDArray[np.int64] | None = None,
    ) -> Priced:
        copies = self.copies if wanted is None else wanted[self.owner].astype(np.int32)
        worth, credit, held = best_bar(
            self.nx,
            self.lengths,
            prices[self.owner],
            copies,
            self.rate,
            self.off,
            self.kerf,
        )
        counts = np.zeros(self.demands, np.int32)
        np.add.at(counts, self.owner, held)
        return Priced(int(worth) + self.beyond, counts, int(credit) + self.beyond, self.work)

"""What may be cut from one plate, as arrays: pieces, their copies, and the positions they reach."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.solve.sums import floors, sums

Ints = NDArray[np.int32]
Longs = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A blank: its ways to lie (length and width, kerf in them), what one is worth, and copies."""

    ways: tuple[tuple[int, int], ...]
    value: int
    copies: int


class Pieces:
    """What fits a plate and is worth something: ways to lie, and what all ways of one share."""

    def __init__(self, length: int, width: int, wanted: Sequence[Wanted]) -> None:
        self.length, self.width = length, width
        ways: list[tuple[int, int, int]] = []
        kept: list[tuple[int, int, int, int]] = []
        for index, want in enumerate(wanted):
            lies = [(a, b) for a, b in dict.fromkeys(want.ways) if a <= length and b <= width]
            area = min((a * b for a, b in lies), default=length * width)
            copies = min(want.copies, length * width // area)
            if lies and copies > 0 and want.value > 0:
                ways += [(a, b, len(kept)) for a, b in lies]
                kept.append((index, want.value, copies, area))
        self.index = tuple(index for index, _, _, _ in kept)
        self.values = np.array([value for _, value, _, _ in kept], np.int64)
        self.copies = np.array([copies for _, _, copies, _ in kept], np.int32)
        self.areas = np.array([area for _, _, _, area in kept], np.int64)
        self.lengths, self.widths, self.owner = (
            np.ascontiguousarray(column) for column in np.array(ways, np.int32).reshape(-1, 3).T
        )
        each = self.copies[self.owner]
        self.xs, self.ys = sums(length, self.lengths, each), sums(width, self.widths, each)
        self.floor_x, self.floor_y = floors(self.xs, length), floors(self.ys, width)

    @property
    def grid(self) -> tuple[Ints, Ints, Ints, Ints]:
        """The positions along and across, and the last one up to each length and width."""
        return self.xs, self.ys, self.floor_x, self.floor_y

    @property
    def cells(self) -> int:
        """How many pairs of positions there are."""
        return len(self.xs) * len(self.ys)

    @property
    def table_work(self) -> int:
        """About how many steps it takes to fill a table over all pairs of positions."""
        return self.cells * (len(self.xs) + len(self.ys)) // 4

    def ways(self, values: Longs) -> tuple[Ints, Ints, Longs, Ints]:
        """Return lengths, widths, values and owners of what is worth something, densest first."""
        each = values[self.owner]
        order = np.lexsort((self.owner, -each / self.areas[self.owner]))
        order = order[each[order] > 0]
        return self.lengths[order], self.widths[order], each[order], self.owner[order]

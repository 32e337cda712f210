"""Where a blank in a strip may lie over a flaw that its cutaway takes away, never too few places.

The programme of sections knows a strip's rows from v1 to v2 and a blank's start, at its needed
length. A true blank may be longer and its strip wider, which moves its cutaways. Any blank holds
one of the needed size that begins where a strip of the programme may, and this is asked of it: the
sides that the true blank has in common with it must suit, the others may lie farther out.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray


class Numbers:
    """A set of whole numbers: every other one from the first of a range to its last, for each."""

    def __init__(self, ranges: Sequence[Sequence[int]]) -> None:
        self.low = min((low for low, _ in ranges), default=0)
        self.most = max((most for _, most in ranges), default=self.low - 1)
        self.table = np.zeros(self.most + 1 - self.low, bool)
        for low, most in ranges:
            self.table[low - self.low : most + 1 - self.low : 2] = True

    def among(self, numbers: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Return which of ``numbers`` are in the set."""
        found = np.zeros(len(numbers), bool)
        near = (numbers >= self.low) & (numbers <= self.most)
        found[near] = self.table[numbers[near] - self.low]
        return found


class Loose:
    """The places of one excuse, as they stand in the table of blocks (``kernels.fit``)."""

    def __init__(self, blocks: NDArray[np.int32], row: int) -> None:
        first, edges, ranges, self.side, beyond = (int(value) for value in blocks[row])
        # A blank that ends beyond the last whole cells may lie between the places of the table, and
        # what suits one part of a run may not suit the next.
        self.anywhere = beyond == 1
        found = blocks[row + 1 : row + 1 + 2 * edges * ranges, :2].reshape(2 * edges, ranges, 2)
        held = found[:, :, 0] <= found[:, :, 1]
        self.edges = Numbers(
            [(first + k // 2, first + k // 2) for k in np.flatnonzero(held.any(axis=1)).tolist()]
        )
        self.sums = Numbers(found[held].tolist())

    def may(self, first: NDArray[np.int64], width: int) -> NDArray[np.bool_]:
        """Return from which rows some blank may lie over the block: ``width`` rows or farther."""
        if self.anywhere:
            return np.ones(len(first), bool)
        if self.side == 0:
            return self.edges.among(first)
        if self.side == 1:
            return first + width <= self.edges.most
        return 2 * first + width <= self.sums.most

    def starts(self, starts: NDArray[np.int64], length: int) -> NDArray[np.bool_]:
        """Return at which of ``starts`` a blank ``length`` long may lie over the block."""
        if self.anywhere:
            return np.ones(len(starts), bool)
        if self.side == 2:
            return self.edges.among(starts)
        if self.side == 3:
            return self.edges.among(starts + length)
        # Of a blank with an odd excess the middle one of the needed size is half a cell off.
        sums = 2 * starts + length
        return self.sums.among(sums) | self.sums.among(sums + 1)

"""Where a blank in a strip may lie over a flaw that its cutaway takes away, never too few places.

The programme of sections knows a strip's rows from v1 to v2 and a blank's start, at its needed
length. A true blank may be longer and its strip wider, which moves its cutaways. Any blank holds
one of the needed size that begins where a strip of the programme may, and this is asked of it: the
sides that the true blank has in common with it must suit, the others may lie farther out.
"""

import numpy as np
from numpy.typing import NDArray


class Loose:
    """The places of one excuse, as they stand in the table of blocks (``kernels.fit``)."""

    def __init__(self, blocks: NDArray[np.int32], row: int) -> None:
        first, edges, ranges, self.side, beyond = (int(value) for value in blocks[row])
        # A blank that ends beyond the last whole cells may lie between the places of the table, and
        # what suits one part of a run may not suit the next.
        self.anywhere = beyond == 1
        found = blocks[row + 1 : row + 1 + 2 * edges * ranges, :2].reshape(2 * edges, ranges, 2)
        some = (found[:, :, 0] <= found[:, :, 1]).any(axis=1)
        self.edges = {first + int(k) // 2 for k in np.flatnonzero(some)}
        self.sums = {
            int(total)
            for low, most in found.reshape(-1, 2)
            for total in range(int(low), int(most) + 1, 2)
        }

    def may(self, v1: int, v2: int) -> bool:
        """Whether some blank in rows from v1 to v2, or farther, may lie over the block."""
        if self.anywhere:
            return True
        if self.side == 0:
            return v1 in self.edges
        if self.side == 1:
            return max(self.edges) >= v2
        return max(self.sums) >= v1 + v2

    def starts(self, starts: NDArray[np.int64], length: int) -> NDArray[np.bool_]:
        """Return at which of ``starts`` a blank ``length`` long may lie over the block."""
        if self.anywhere:
            return np.ones(len(starts), bool)
        if self.side == 2:
            return np.isin(starts, list(self.edges))
        if self.side == 3:
            return np.isin(starts + length, list(self.edges))
        # Of a blank with an odd excess the middle one of the needed size is half a cell off.
        sums = 2 * starts + length
        known = list(self.sums)
        return np.isin(sums, known) | np.isin(sums + 1, known)

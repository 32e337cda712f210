"""Which sums the sizes of blanks make: the only places where a plain sheet need be cut.

Herz (1972), "Recursive computational procedure for two-dimensional stock cutting".
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

Places = NDArray[np.int32]


def sums(most: int, sizes: Iterable[int], copies: Iterable[int]) -> Places:
    """Return all sums up to ``most``, rising from 0, each size at most so many ``copies`` times."""
    mask = (1 << (most + 1)) - 1
    reached = 1
    for size, count in zip(sizes, copies, strict=True):
        for _ in range(min(int(count), most // int(size))):
            reached |= reached << int(size) & mask
    bits = np.frombuffer(reached.to_bytes(most // 8 + 1, "little"), np.uint8)
    return np.flatnonzero(np.unpackbits(bits, bitorder="little")).astype(np.int32)


def floors(places: Places, most: int) -> Places:
    """Return for each size up to ``most`` which of the ``places`` is the last that is no more."""
    return (np.searchsorted(places, np.arange(most + 1), side="right") - 1).astype(np.int32)

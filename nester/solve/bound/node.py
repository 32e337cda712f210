"""A node of the branching on how much stock is used."""

from dataclasses import dataclass, field
from math import ceil, floor
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

NOTHING = -(2**62)
"""Less than any bound: nothing is proven yet."""

Pieces: TypeAlias = tuple[int, ...]
"""Pieces of each kind of stock."""


@dataclass(order=True)
class Node:
    """How many pieces of each kind of stock are used, what that costs at the least, and prices.

    ``reached`` is what the prices prove on this rung, ``corner`` the price of a broken corner that
    goes with them; the bound may come from a looser rung.
    """

    bound: int
    serial: int
    low: Pieces = field(compare=False)
    high: Pieces = field(compare=False)
    prices: NDArray[np.int64] = field(compare=False)
    reached: int = field(default=NOTHING, compare=False)
    corner: int = field(default=0, compare=False)

    def halves(self, kind: int, pieces: float) -> tuple[tuple[Pieces, Pieces], ...]:
        """Return the limits of two nodes: no more, and no fewer, of a kind than a fraction."""
        below, above = list(self.high), list(self.low)
        below[kind], above[kind] = floor(pieces), ceil(pieces)
        return (self.low, tuple(below)), (tuple(above), self.high)

"""Where the next prices may lie: near the best ones known, as far as the master can be trusted.

With few layouts known the master's prices swing from one end to the other, and what they prove is
worth nothing. After Marsten, Hogan and Blankenship (1975), "The boxstep method for large-scale
optimization".
"""

import numpy as np
from numpy.typing import NDArray

START = 0.2
"""The part of itself by which a price may change at first."""

FAR = 1.0
"""The same where pricing has become another, so that the best prices may be far off."""

WIDEST = 4.0
"""Beyond this the region has no end."""

KEPT = 0.25
"""The share of what the master promised that must come true for the region to grow."""

IN_VAIN = 0.01
"""Prices that gain less than this share of what was promised were in vain."""

LEAST = 0.25
"""A price may change as if it were at least so much of the first one."""


class Region:
    """A box around the best prices, all in the master's unit; ``low`` and ``high`` by blank."""

    def __init__(self, first: NDArray[np.float64]) -> None:
        """Begin with the ``first`` prices, one for each blank."""
        self.least = LEAST * first
        self.share = START
        self.low = np.zeros(len(first))
        self.high = np.zeros(len(first))

    def begin(self) -> None:
        """Start with a small one."""
        self.share = START

    def reach(self) -> None:
        """Let prices go far: pricing has become another."""
        self.share = FAR

    def learn(self, promised: float, gained: float) -> None:
        """Make it larger where the master kept what it promised, smaller where it failed."""
        if gained > KEPT * promised:
            self.share *= 2
        elif gained < -promised:
            self.shrink()

    def vain(self, promised: float, gained: float) -> bool:
        """Whether prices in it have proven next to nothing of what was promised."""
        return gained < IN_VAIN * promised

    def shrink(self) -> None:
        """Make it smaller: prices in it are too far off."""
        self.share /= 2

    def widen(self) -> None:
        """Make it larger, since nothing is left to be gained in it."""
        self.share *= 4

    def around(self, prices: NDArray[np.float64], dear: NDArray[np.float64]) -> None:
        """Lay it around prices, none of which may be more than ``dear``."""
        each = self.share * np.maximum(prices, self.least)
        self.low = np.maximum(0.0, prices - each)
        self.high = np.minimum(np.maximum(dear, prices), prices + each)
        if self.share > WIDEST:
            self.low, self.high = np.zeros(len(prices)), dear.copy()

    def holds(self, values: NDArray[np.float64], dear: NDArray[np.float64]) -> bool:
        """Whether prices would lie outside if they could.

        ``values`` of the master begin with how much of each blank is left out at the highest price,
        then with how much is spare at the lowest.
        """
        n = len(self.low)
        short = (values[:n] > 1e-9) & (self.high < dear)
        spare = (values[n : 2 * n] > 1e-9) & (self.low > 0)
        return bool(short.any() or spare.any())

"""A node of the branching on how much stock is used."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

NOTHING = -(2**62)
"""Less than any bound: nothing is proven yet."""


@dataclass(order=True)
class Node:
    """How many pieces of each kind of stock are used, what that costs at the least, and prices.

    ``reached`` is what the prices prove on this rung, ``corner`` the price of a broken corner that
    goes with them; the bound may come from a looser rung.
    """

    bound: int
    serial: int
    low: tuple[int, ...] = field(compare=False)
    high: tuple[int, ...] = field(compare=False)
    prices: NDArray[np.int64] = field(compare=False)
    reached: int = field(default=NOTHING, compare=False)
    corner: int = field(default=0, compare=False)

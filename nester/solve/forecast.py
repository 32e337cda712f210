"""How much of the blanks a set of boards will leave out, learned from the sets filled before.

Sets differ by more than their room tells: of those that cost as much above what is proven, the
first search fills one in three, or none. A board does about as well in one set as in another, so a
linear model of boards says half of it for sets that were never tried: least squares about a first
guess (ridge regression, Hoerl and Kennard 1970, "Biased estimation for nonorthogonal problems").
"""

import numpy as np
from numpy.typing import NDArray

NOTHING_OVER, EACH_OVER = 0.06, -1.25
"""The first guess, as a share of all area: what a set leaves out that costs what it is proven to,
and what it leaves out more for each share of its price that it costs more."""

UNSURE = (0.02, 0.5)
"""How far from that guess they may be."""

BOARDS = 0.01
"""How much more or less one board leaves out than another, about."""

SEARCHES, SETS = 0.012, 0.007
"""How much one search leaves out more or less than another on the same set, and a set than its
boards tell."""

MOST_OVER = 0.2

NEAR = 0.011
"""A set that will leave out so much is filled three times where one with room is filled five."""


class Forecast:
    """Learns from first searches on ``sets``: a row each, how often it has each board."""

    def __init__(self, sets: NDArray[np.int64]) -> None:
        self.sets = sets.astype(np.float64)
        self.tried: list[int] = []
        self.left: list[float] = []

    def learn(self, number: int, left: float) -> None:
        """Note which share of all area a first search left out of a set."""
        self.tried.append(number)
        self.left.append(left)

    def expected(self, over: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return which share of all area each set will leave out.

        ``over``: which share of its price a set costs more than it is proven to.
        """
        told = np.column_stack(
            [np.ones(len(over)), np.clip(over, -MOST_OVER, MOST_OVER), self.sets]
        )
        boards = self.sets.shape[1]
        guess = np.array([NOTHING_OVER, EACH_OVER, *[0.0] * boards])
        sure = np.array([*UNSURE, *[BOARDS] * boards]) ** -2.0
        seen, left = told[self.tried], np.array(self.left)
        known = seen.T @ seen / SEARCHES**2 + np.diag(sure)
        model = np.linalg.solve(known, seen.T @ left / SEARCHES**2 + sure * guess)
        expected = np.asarray(told @ model)
        beyond, times = np.zeros(len(over)), np.zeros(len(over))
        np.add.at(beyond, self.tried, left - expected[self.tried])
        np.add.at(times, self.tried, 1.0)
        return expected + beyond / (times + (SEARCHES / SETS) ** 2)


def chance(left: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how often sets are filled that will leave out so much, one against another."""
    return np.asarray(np.exp(-0.5 * (np.maximum(0.0, left) / NEAR) ** 2))

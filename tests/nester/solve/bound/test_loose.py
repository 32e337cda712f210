"""What the bound knows of cutaways over flaws: never fewer places than there are."""

from itertools import product
from random import Random

import numpy as np
import pytest
from numpy.typing import NDArray

from nester.solve.bound.loose import Loose
from nester.solve.kernels import fit
from tests.nester.solve.kernels.outside import outside

excused = outside(fit.excused)


def random_places(rng: Random, side: int) -> NDArray[np.int32]:
    """Return places of excuse as they stand in the table of blocks."""
    edges, ranges = rng.randint(1, 3), rng.randint(1, 2)
    rows = [[rng.randint(2, 6), edges, ranges, side, 0]]
    for k in range(2 * edges * ranges):
        low = rng.randrange(6, 20)
        # The ranges of even and of odd sums hold only such.
        low += (low - k // ranges) % 2
        rows.append([low, low + 2 * rng.choice((-1, 0, 0, 1, 2)), 0, 0, 0])
    return np.array(rows, np.int32)


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_a_blank_holds_one_of_the_needed_size(first: int) -> None:
    """Whatever excuses a blank excuses one of the needed size in it, in a strip from its edge on.

    All blanks up to 3 longer and 2 wider than needed are tried.
    """
    seen = 0
    for seed in range(first, first + 10):
        rng = Random(seed)
        side, a, b = seed % 4, rng.randint(2, 6), rng.randint(2, 4)
        blocks = random_places(rng, side)
        loose = Loose(blocks, 0)
        ends = product(range(12), range(a, a + 4), range(12), range(b, b + 3))
        for u1, length, v1, width in ends:
            if excused(blocks, 0, u1, v1, u1 + length, v1 + width):
                seen += 1
                assert loose.may(np.array([v1]), b).all()
                assert loose.starts(np.arange(u1, u1 + length - a + 1), a).any()
    assert seen > 100


def test_places_that_cannot_be() -> None:
    """Rows and starts from which no blank can lie over the flaw are not offered."""
    # Excused where the blank begins at row 4 and its ends sum up to 20 or 22.
    blocks = np.array([[4, 1, 1, 0, 0], [20, 22, 0, 0, 0], [1, 0, 0, 0, 0]], np.int32)
    loose = Loose(blocks, 0)
    assert loose.may(np.array([3, 4]), 3).tolist() == [False, True]
    assert loose.starts(np.arange(12), 6).nonzero()[0].tolist() == [7, 8]
    # An odd length: the middle of a blank one cell longer is half a cell on.
    assert loose.starts(np.arange(12), 5).nonzero()[0].tolist() == [7, 8]


def test_stock_beyond_its_last_cells() -> None:
    """Where a blank may end beyond the last whole cells, every place is offered."""
    blocks = np.array([[4, 1, 1, 0, 1], [20, 22, 0, 0, 0], [1, 0, 0, 0, 0]], np.int32)
    loose = Loose(blocks, 0)
    assert loose.may(np.array([0]), 3).all()
    assert loose.starts(np.arange(12), 6).all()

"""Sums of sizes, against sums by hand and all choices there are."""

from itertools import product
from random import Random

import numpy as np

from nester.solve.sums import floors, sums


def test_which_lengths_are_sums_of_blanks() -> None:
    """Of two of 4 and one of 7: 0, 4, 7, 8, 11 and 15; 12 would take a third 4."""
    assert list(sums(16, [4, 7], [2, 1])) == [0, 4, 7, 8, 11, 15]


def test_sums_of_blanks_are_all_there() -> None:
    """For drawn lengths and copies, exactly the sums of all choices up to the length."""
    rng = Random(3)
    for _ in range(50):
        sizes = [rng.randint(1, 12) for _ in range(4)]
        copies = [rng.randint(1, 3) for _ in range(4)]
        full = rng.randint(5, 40)
        all_sums = {
            sum(n * size for n, size in zip(counts, sizes, strict=True))
            for counts in product(*(range(n + 1) for n in copies))
        }
        assert list(sums(full, sizes, copies)) == sorted(s for s in all_sums if s <= full)


def test_the_last_sum_that_is_no_more() -> None:
    """Of the sums 0, 4 and 7 it is the first up to 3, the second up to 6, then the last."""
    places = np.array([0, 4, 7], np.int32)
    assert list(floors(places, 9)) == [0, 0, 0, 0, 1, 1, 1, 2, 2, 2]

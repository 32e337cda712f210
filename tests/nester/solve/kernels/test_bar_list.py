"""Listing cuttings of a bar: against every choice there is."""

from itertools import product
from random import Random

import numpy as np

from nester.solve.kernels.bar_list import worthy_bars


def listed(
    nx: int, blanks: list[tuple[int, int, int]], least: int, most: int = 1000, steps: int = 100_000
) -> tuple[list[tuple[int, ...]], int]:
    """Call the kernel with blanks (length, value, copies), the longest first."""
    lengths, values, copies = (np.array(each) for each in zip(*blanks, strict=True))
    counts, number, _ = worthy_bars(
        nx,
        lengths.astype(np.int32),
        values.astype(np.int64),
        copies.astype(np.int32),
        least,
        most,
        steps,
    )
    return [tuple(int(c) for c in row) for row in counts], number


def every_one(nx: int, blanks: list[tuple[int, int, int]], least: int) -> set[tuple[int, ...]]:
    """Return all counts that fit, leave room for none more, and are worth enough."""
    found = set()
    for counts in product(*(range(copies + 1) for _, _, copies in blanks)):
        room = nx - sum(c * b[0] for c, b in zip(counts, blanks, strict=True))
        more = any(c < b[2] and b[0] <= room for c, b in zip(counts, blanks, strict=True))
        worth = sum(c * b[1] for c, b in zip(counts, blanks, strict=True))
        if room >= 0 and not more and worth >= least:
            found.add(counts)
    return found


def test_all_are_listed_and_none_twice() -> None:
    """For two hundred small bars the list is what trying all counts gives."""
    rng = Random(5)
    some = 0
    for _ in range(200):
        nx = rng.randint(5, 40)
        blanks = [
            (rng.randint(2, 15), rng.randint(0, 20), rng.randint(0, 3))
            for _ in range(rng.randint(1, 5))
        ]
        blanks.sort(reverse=True)
        least = rng.randint(1, 40)
        rows, number = listed(nx, blanks, least)
        assert number == len(rows) == len(set(rows))
        assert set(rows) == every_one(nx, blanks, least)
        some += number > 1
    assert some > 20


def test_too_many_are_not_listed() -> None:
    """Three blanks of one size each once on a bar for two: three ways, which is more than two."""
    blanks = [(5, 4, 1), (5, 3, 1), (5, 2, 1)]
    assert listed(10, blanks, 5)[1] == 3
    assert listed(10, blanks, 5, most=2) == ([], -1)
    assert listed(10, blanks, 5, steps=2) == ([], -1)


def test_what_is_worth_too_much_is_not_there() -> None:
    """Nothing on the bar is worth ten."""
    assert listed(10, [(5, 4, 2)], 10) == ([], 0)

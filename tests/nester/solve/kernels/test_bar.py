"""Cutting a bar: against every choice there is, and against the plate programme."""

from itertools import product
from random import Random

import numpy as np

from nester.solve.kernels.bar import best_bar
from nester.solve.kernels.plate import plate_values


def every_way(
    nx: int,
    lengths: list[int],
    values: list[int],
    copies: list[int],
    rate: int = 0,
    off: int = 1,
    lost: int = 0,
) -> int:
    """Return the most that a bar is worth over all counts that fit."""
    best = 0
    for counts in product(*(range(n + 1) for n in copies)):
        left = nx - sum(c * length for c, length in zip(counts, lengths, strict=True))
        if left >= 0:
            kept = rate * (left - lost) if rate and left >= off else 0
            best = max(best, kept + sum(c * v for c, v in zip(counts, values, strict=True)))
    return best


def bar(nx: int, lengths: list[int], values: list[int], copies: list[int], *end: int):  # type: ignore[no-untyped-def]
    """Call the kernel with lists."""
    ints = [np.array(each, np.int32) for each in (lengths, copies)]
    return best_bar(nx, ints[0], np.array(values, np.int64), ints[1], *(end or (0, 1, 0)))


def test_no_blank_is_taken_more_often_than_wanted() -> None:
    """Ten cells, one blank of 3 worth 5 wanted once and one of 2 worth 1: 5 + 3 x 1."""
    worth, credit, counts = bar(10, [3, 2], [5, 1], [1, 9])
    assert (worth, credit, list(counts)) == (8, 0, [1, 3])


def test_the_end_is_worth_more_than_another_blank() -> None:
    """Ten cells at 2 a cell from 6 on: one blank of 4 and an end of 6 beat two blanks."""
    worth, credit, counts = bar(10, [4], [9], [2], 2, 6, 0)
    assert (worth, credit, list(counts)) == (21, 12, [1])


def test_against_every_choice_there_is() -> None:
    """For a hundred small bars the value is the best of all counts, and the counts have it."""
    rng = Random(7)
    for _ in range(100):
        kinds = rng.randint(1, 4)
        nx = rng.randint(5, 40)
        lengths = [rng.randint(2, 15) for _ in range(kinds)]
        values = [rng.randint(0, 30) for _ in range(kinds)]
        copies = [rng.randint(0, 3) for _ in range(kinds)]
        end = (rng.randint(0, 2), rng.randint(1, 12), rng.randint(0, 1))
        worth, credit, counts = bar(nx, lengths, values, copies, *end)
        assert worth == every_way(nx, lengths, values, copies, *end)
        assert worth == credit + sum(int(c) * v for c, v in zip(counts, values, strict=True))
        assert all(c <= n for c, n in zip(counts, copies, strict=True))


def test_without_limits_a_bar_is_a_plate_one_cell_wide() -> None:
    """Gilmore and Gomory's plate programme gives the same where copies do not run out."""
    rng = Random(8)
    for _ in range(30):
        nx = rng.randint(10, 200)
        lengths = [rng.randint(3, 60) for _ in range(5)]
        values = [rng.randint(1, 99) for _ in range(5)]
        worth, _, _ = bar(nx, lengths, values, [100] * 5)
        ones = np.ones(5, np.int32)
        off = np.array([2**30, 2**30, 2**30, 2**30, 0, 0], np.int32)
        table = plate_values(
            nx, 1, np.array(lengths, np.int32), ones, np.array(values, np.int64), 0, off
        )
        assert worth == table[nx, 1]

"""Rows of sections on boards with flaws, by trying all of them cell by cell."""

from functools import cache
from random import Random

import numpy as np
import pytest

from nester.solve.bound.flawed import tables
from nester.solve.kernels.flawed import by_length, flawed_section
from nester.solve.kernels.flawed_rows import best_row
from nester.solve.kernels.strips import (
    row_worth,
    section_worths,
    strip_worths,
    with_leftovers,
)
from tests.nester.solve.kernels.test_strips import Trial

Box = tuple[int, int, int, int]


class FlawedTrial(Trial):
    """A board ``long`` and ``broad`` with its kerf, a few blanks, and where flaws lie."""

    def __init__(self, seed: int) -> None:
        super().__init__(seed)
        rng = Random(seed)
        self.long, self.broad = rng.randint(6, 22), rng.randint(3, 8)
        self.flaws: list[Box] = []
        for _ in range(rng.choice((0, 1, 1, 2, 3))):
            x, y = rng.randrange(self.long), rng.randrange(self.broad)
            right = min(self.long, x + rng.randint(1, 5))
            self.flaws.append((x, y, right, min(self.broad, y + rng.randint(1, 3))))
        self.flaws.sort()

    def met(self, u: int, v: int, long: int, wide: int) -> bool:
        """Whether a rectangle lies over a flaw."""
        return any(
            x1 < u + long and u < x2 and y1 < v + wide and v < y2 for x1, y1, x2, y2 in self.flaws
        )

    def most(self, anew: bool) -> float:
        """Return the most that a row is worth, by every place of every section, strip and blank.

        ``anew``: copies in a strip are counted anew behind each flaw.
        """
        (kx, ky), (off_x, off_y) = self.kerf, self.off

        @cache
        def strip(u: int, end: int, v: int, wide: int, left: tuple[int, ...]) -> float:
            if u >= end:
                return 0.0
            fresh = tuple(self.copies) if anew and self.met(u, v, 1, wide) else left
            most = strip(u + 1, end, v, wide, fresh)
            for long in range(off_x, end - u - kx + 1) if wide >= off_y else ():
                over = anew and any(self.met(x, v, 1, wide) for x in range(u, u + long + kx))
                after = strip(u + long + kx, end, v, wide, tuple(self.copies) if over else left)
                most = max(most, self.rate * long * wide + after)
            for d, (long, own) in enumerate(self.blanks):
                fits = own <= wide and u + long + kx <= end and not self.met(u, v, long, wide)
                if left[d] and fits:
                    rest = (*left[:d], left[d] - 1, *left[d + 1 :])
                    over = anew and any(
                        self.met(x, v, 1, wide) for x in range(u + long, u + long + kx)
                    )
                    after = strip(u + long + kx, end, v, wide, tuple(self.copies) if over else rest)
                    most = max(most, self.value[d] + after)
            return most

        @cache
        def section(u: int, end: int, v: int) -> float:
            if v >= self.broad:
                return 0.0
            most = section(u, end, v + 1)
            for wide in range(1, self.broad - ky - v + 1):
                own = strip(u, end, v, wide, tuple(self.copies))
                most = max(most, own + section(u, end, v + wide + ky))
            return most

        @cache
        def row(u: int) -> float:
            if u >= self.long:
                return 0.0
            ends = range(u + 1, self.long + 1)
            return max(row(u + 1), *(section(u, end, 0) + row(end) for end in ends))

        return row(0)


@pytest.mark.parametrize("seed", range(120))
def test_against_every_row(seed: int) -> None:
    """The most is no less than there is; the row named is worth as much, and so are its blanks.

    It is no more than without flaws, nor, where offcuts earn nothing, than with copies anew.
    """
    trial = FlawedTrial(seed)
    wide, *blanks = trial.tables()
    value = np.array(trial.value)
    high = trial.broad - trial.kerf[1]
    worth, _ = strip_worths(*blanks, value, trial.long)
    ended = with_leftovers(worth, wide, *trial.off, trial.kerf[0], trial.rate, high)
    found, _ = section_worths(worth, ended, wide, trial.off, trial.kerf, trial.rate, trial.broad)
    flaws = np.array(trial.flaws, np.int64).reshape(-1, 4)
    table = tables(flaws, wide, trial.broad, trial.kerf, trial.off)
    strips = by_length(worth, ended, wide, trial.rate, high)
    most, low, came, _ = best_row(table, strips, found[:, trial.broad].copy(), 0.0, 0.0)
    assert trial.most(anew=False) <= most + 1e-9
    assert most <= row_worth(found[:, trial.broad].copy()) + 1e-9
    if not trial.rate:
        assert most <= trial.most(anew=True) + 1e-9
    assert low == pytest.approx(most)
    total, end = 0.0, trial.long
    while end > 0:
        start = came[end]
        if start >= 0:
            given = (*blanks, value)
            counts, credit = flawed_section(table, strips, start, end, worth, given)
            total += float(counts @ value) + trial.rate * credit
        end = start if start >= 0 else end - 1
    assert total == pytest.approx(low)

"""Sections of strips, by trying all of them."""

from functools import cache
from itertools import product
from random import Random

import numpy as np
import pytest
from numpy.typing import NDArray

from nester.solve.kernels.strips import (
    best_section,
    row_worth,
    section_worths,
    strip_worths,
    with_leftovers,
)

LONG, BROAD = 12, 8
"""The longest and widest section, kerfs in it."""


class Trial:
    """A few blanks with copies and values, kerfs, and offcuts that earn something."""

    def __init__(self, seed: int) -> None:
        rng = Random(seed)
        self.kerf = (rng.choice((0, 1)), rng.choice((0, 1)))
        self.off = (rng.randint(2, 5), rng.randint(1, 4))
        self.rate = rng.choice((0.0, 0.3, 1.0))
        kinds = range(rng.randint(1, 4))
        self.blanks = [(rng.randint(2, 6), rng.randint(1, 4)) for _ in kinds]
        self.copies = [rng.choice((1, 1, 2, 5)) for _ in kinds]
        self.value = [rng.choice((0.0, 2.0, 5.0, 9.5, float(a * b))) for a, b in self.blanks]

    def tables(self) -> tuple[NDArray[np.int64], ...]:
        """Return the blanks by the width of strips that hold them."""
        wide = sorted({width for _, width in self.blanks})
        first, owner, size = [0], [], []
        for width in wide:
            held = [d for d, (_, own) in enumerate(self.blanks) if own <= width]
            owner += held
            size += [self.blanks[d][0] + self.kerf[0] for d in held]
            first.append(len(owner))
        return tuple(np.array(a, np.int64) for a in (wide, first, owner, size, self.copies))

    def strip(self, long: int, width: int) -> float:
        """Return the most that a strip is worth, by every number of copies of every blank."""
        kerf, most = self.kerf[0], 0.0
        for held in product(*(range(n + 1) for n in self.copies)):
            taken = sum(
                n * (length + kerf) for n, (length, _) in zip(held, self.blanks, strict=True)
            )
            fits = all(own <= width for n, (_, own) in zip(held, self.blanks, strict=True) if n)
            if not fits or taken > long:
                continue
            rest = long - taken - kerf
            kept = rest >= self.off[0] and width >= self.off[1]
            worth = sum(n * v for n, v in zip(held, self.value, strict=True))
            most = max(most, worth + (self.rate * rest * width if kept else 0.0))
        return most

    def section(self, long: int, broad: int) -> float:
        """Return the most that a section is worth, by every row of strips."""
        kerf = self.kerf[1]
        strips = {width: self.strip(long, width) for width in range(1, broad + 1)}

        @cache
        def best(left: int) -> float:
            ways = (strips[w] + best(left - w - kerf) for w in strips if w + kerf <= left)
            return max(ways, default=0.0)

        return best(broad)


@pytest.mark.parametrize("seed", range(60))
def test_against_every_section(seed: int) -> None:
    """All lengths and widths; the blanks and the credit named are worth as much."""
    trial = Trial(seed)
    wide, first, owner, size, copies = trial.tables()
    value = np.array(trial.value)
    worth, _ = strip_worths(first, owner, size, copies, value, LONG)
    ended = with_leftovers(
        worth, wide, *trial.off, trial.kerf[0], trial.rate, BROAD - trial.kerf[1]
    )
    found, _ = section_worths(worth, ended, wide, trial.off, trial.kerf, trial.rate, BROAD)
    blanks = (first, owner, size, copies, value)
    for long, broad in product(range(1, LONG + 1), range(1, BROAD + 1)):
        most = trial.section(long, broad)
        assert found[long, broad] == pytest.approx(most), (long, broad)
        counts, credit = best_section(
            long, worth, ended, wide, trial.off, trial.kerf, trial.rate, broad, blanks
        )
        assert counts @ value + trial.rate * credit == pytest.approx(most), (long, broad)


@pytest.mark.parametrize("seed", range(10))
def test_against_every_row_of_sections(seed: int) -> None:
    """Sections of all lengths, as often as they go."""
    rng = Random(seed)
    worth = np.array([0.0, *(rng.choice((0.0, 1.0, 3.0, float(q * q))) for q in range(1, 9))])

    def best(left: int) -> float:
        return max((worth[q] + best(left - q) for q in range(1, left + 1)), default=0.0)

    assert row_worth(worth) == best(8)

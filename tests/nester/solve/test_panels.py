"""The cheapest strips of a panel, against trying them all."""

from itertools import combinations_with_replacement

import numpy as np
import pytest

from nester.problem.choice import Glue
from nester.problem.inner import Slot
from nester.solve.panels import NEVER, Panels


@pytest.mark.parametrize("seed", range(30))
def test_the_cheapest_of_all(seed: int) -> None:
    """Every multiset of two strips or more that adds up is tried, and none is cheaper."""
    rng = np.random.default_rng(seed)
    widths = sorted(int(w) for w in rng.choice(np.arange(2, 12), size=4, replace=False))
    need, per_strip = int(rng.integers(5, 40)), int(rng.integers(0, 3))
    most = int(rng.integers(2, 6))
    glue = Glue(9, tuple(enumerate(widths)), widths[-1], need, per_strip, most, 1, Slot(0))
    prices = rng.integers(1, 100, size=10).astype(np.int64)
    best = min(
        (
            sum(int(prices[k]) for k in strips)
            for n in range(2, most + 1)
            for strips in combinations_with_replacement(range(4), n)
            if sum(widths[k] - per_strip for k in strips) >= need
        ),
        default=None,
    )
    cost, strips = Panels(glue, range(4), widths, 1).cheapest(prices)
    if best is None:
        assert cost >= NEVER
        return
    assert cost == best == sum(int(prices[k]) for k in strips)
    assert sum(widths[k] - per_strip for k in strips) >= need
    assert 2 <= len(strips) <= most

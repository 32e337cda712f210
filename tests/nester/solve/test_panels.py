"""The cheapest strips of a panel, against trying them all."""

from itertools import combinations_with_replacement

import numpy as np
import pytest

from nester.problem.choice import Glue
from nester.problem.inner import Slot
from nester.solve.panels import NEVER, Panels


@pytest.mark.parametrize("seed", range(30))
def test_the_cheapest_of_all(seed: int) -> None:
    """Every multiset of two strips or more that adds up is tried: none of its number is cheaper."""
    rng = np.random.default_rng(seed)
    widths = sorted(int(w) for w in rng.choice(np.arange(2, 12), size=4, replace=False))
    need, per_strip = int(rng.integers(5, 40)), int(rng.integers(0, 3))
    most = int(rng.integers(2, 6))
    glue = Glue(9, tuple(enumerate(widths)), widths[-1], need, per_strip, most, 1, Slot(0))
    prices = rng.integers(1, 100, size=10).astype(np.int64)
    best: dict[int, int] = {}
    for n in range(2, most + 1):
        for strips in combinations_with_replacement(range(4), n):
            if sum(widths[k] - per_strip for k in strips) >= need:
                price = sum(int(prices[k]) for k in strips)
                best[n] = min(best.get(n, price), price)
    panels = Panels(glue, range(4), widths, 1)
    found = panels.by_number(prices)
    assert {len(strips): cost for cost, strips in found} == best
    for cost, strips in found:
        assert cost == sum(int(prices[k]) for k in strips)
        assert sum(widths[k] - per_strip for k in strips) >= need
    assert panels.cheapest(prices)[0] == min(best.values(), default=NEVER)

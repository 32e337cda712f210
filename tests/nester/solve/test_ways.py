"""The cheapest way to make a match, against trying them all."""

from itertools import product

import numpy as np
import pytest

from nester.problem.choice import Arc, Choice
from nester.solve.ways import cheapest_way

NAMES = tuple((f"part {i}", 1) for i in range(4))


def ring(rng: np.random.Generator) -> Choice:
    """Return a wrap of four of which some runs cannot be had."""
    arcs = [Arc(i, 1, i, 1) for i in range(4)]
    for count in (2, 3):
        arcs += [Arc(i, count, 0, 1) for i in range(4) if rng.random() < 0.7]
    if rng.random() < 0.5:
        arcs.append(Arc(0, 4, 0, 1))
    arcs = [Arc(a.start, a.count, d, a.broken) for d, a in enumerate(arcs)]
    return Choice("case", (NAMES,), tuple(arcs), 0, 0, 1)


@pytest.mark.parametrize("seed", range(30))
def test_the_cheapest_of_all(seed: int) -> None:
    """Every choice of arcs that holds each part once is tried, and none is cheaper."""
    rng = np.random.default_rng(seed)
    choice = ring(rng)
    prices = [int(p) for p in rng.integers(1, 60, size=len(choice.arcs))]
    corner = int(rng.integers(0, 30))
    best = None
    for picked in product((False, True), repeat=len(choice.arcs)):
        own = [a for a, pick in enumerate(picked) if pick]
        held = [(choice.arcs[a].start + i) % 4 for a in own for i in range(choice.arcs[a].count)]
        if sorted(held) == [0, 1, 2, 3]:
            cost = sum(prices[a] + corner * choice.arcs[a].broken for a in own)
            best = cost if best is None else min(best, cost)
    found = cheapest_way(choice, lambda arc: prices[arc.demand], corner)
    assert found is not None
    assert found[0] == best
    held = [(choice.arcs[a].start + i) % 4 for a in found[1] for i in range(choice.arcs[a].count)]
    assert sorted(held) == [0, 1, 2, 3]


def test_no_way() -> None:
    """A required match whose one run no stock gives has no way at all."""
    assert cheapest_way(Choice("case", (NAMES,), (), 0, 0, 1), lambda arc: 1, 1) is None


def test_corners_of_a_row_that_is_whole() -> None:
    """A row in one piece breaks no corner, though its one run ends."""
    choice = Choice("row", (NAMES,), (Arc(0, 4, 0, 1),), 1, 0, 1)
    assert cheapest_way(choice, lambda arc: 5, 100) == (5, (0,))

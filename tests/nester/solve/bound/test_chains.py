"""Strips of many widths: a wider one does for a narrower one, so narrower ones are passed over."""

from dataclasses import replace

import numpy as np
import pytest

from nester.problem.build import build
from nester.problem.choice import Glue, chains
from nester.problem.inner import Slot
from nester.solve.arrays import arrays
from nester.solve.bound.mixed import carried, reduced
from nester.solve.bound.places import rising
from nester.solve.bound.sections import SectionPricer
from tests.bench.sets.matched import case

STEPS = ((16, 1), (8, 1))


def glue(*strips: tuple[int, int]) -> Glue:
    """Return panels glued up from strips by kind and width."""
    return Glue(0, strips, strips[-1][1], 50, 1, 4, 100, Slot(0, turned=False))


def test_panels_that_share_strips_have_one_chain() -> None:
    """Strips of two panels that have one in common stand in one chain, ascending in width."""
    found = chains([glue((5, 10), (6, 30)), glue((9, 20), (6, 30)), glue((7, 15), (8, 25))])
    assert sorted(found) == [[5, 9, 6], [7, 8]]


@pytest.mark.parametrize("seed", range(4))
def test_passing_over_narrower_strips_loses_nothing(seed: int) -> None:
    """At prices that rise with the width the best layout is worth as much with all strips."""
    job = case("wall shelf")
    problem = build(job.project.parts, job.stock, job.project.shop, job.project.matches)
    small = reduced(problem, 10).problem
    known = arrays(small)
    every = replace(known, chains=())
    rng = np.random.default_rng(seed)
    drawn = rng.integers(0, small.stock[0].value // 3, len(small.demands))
    prices = rising(drawn.astype(np.int64), known)
    for cls, direction in enumerate(known.directions):
        item = small.stock[direction.stock]
        one, other = (
            SectionPricer(found, cls, item, len(small.demands), STEPS)(prices)
            for found in (known, every)
        )
        assert one.found
        assert one.value == other.value
        assert one.work < other.work


def test_prices_of_few_widths_serve_for_all() -> None:
    """A strip's worth holds for the widest that it stood for; no wider strip is worth less."""
    job = case("wall shelf")
    problem = build(job.project.parts, job.stock, job.project.shop, job.project.matches)
    few, every = reduced(problem, 4), reduced(problem, 64)
    grid = problem.grid
    own = few.problem.glues[0].strips
    prices = np.zeros(len(few.kinds))
    for i, (kind, _) in enumerate(own):
        prices[kind] = 1000.0 * (i + 1)
    found = carried(few, every, prices)
    worth = {width: found[kind] for kind, width in every.problem.glues[0].strips}
    for i, (_, width) in enumerate(own[1:]):
        assert worth[width - grid] == pytest.approx(1000.0 * (i + 1))
    assert sorted(worth.values()) == [worth[width] for width in sorted(worth)]
    assert len(worth) > len(own) == 4

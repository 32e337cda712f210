"""The bound where matches and panels may be made in more ways than one."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np

from nester.problem.build import build
from nester.solve.bound.mixed import MixedBounding
from nester.solve.bound.places import rising
from nester.solve.ways import cheapest_way
from tests.bench.sets.matched import case

MOST = 200
"""Rounds within which the second rung is surely reached."""
DEAR = 10**15
"""What no plan costs [ticks]."""
ANY_BROKEN = 1000
"""More corners than a project has, so that none is kept out."""
DRAWN = 10**9
"""The most that a blank is worth in drawn prices [ticks]."""


def bounding_at(rung: int, name: str) -> MixedBounding:
    """Return the bound of a project of the benchmark, priced until it came to a rung."""
    job = case(name)
    problem = build(job.project.parts, job.stock, job.project.shop, job.project.matches)
    bounding = MixedBounding(problem, np.zeros(len(problem.demands)), ANY_BROKEN)
    with ThreadPoolExecutor(1) as pool:
        for _ in range(MOST):
            bounding.round(pool, [], DEAR)
            if bounding.rung_at == rung:
                break
    assert bounding.rung_at == rung
    return bounding


def test_a_finer_rung_knows_no_layouts_of_a_looser_one() -> None:
    """What pricing knows is in the master, so at its prices no known layout beats the master."""
    bounding = bounding_at(1, "two trays")
    assert bounding.lp is not None
    assert bounding.lp.solve()
    n, duals = len(bounding.wanted), bounding.lp.duals
    for layout in bounding.proposals:
        worth = float(duals[:n] @ layout.counts) + float(duals[n + layout.group])
        assert layout.cost / bounding.scale >= worth - 1e-6


def test_layouts_that_a_rung_takes_over_are_its_own() -> None:
    """Whatever the prices, no layout in the master is worth more than the best that is priced."""
    bounding = bounding_at(2, "wall shelf")
    assert bounding.rung is not None
    taken = [layout for layout in bounding.proposals if layout.counts.any()]
    assert taken
    rng = np.random.default_rng(0)
    for _ in range(3):
        drawn = rng.integers(0, DRAWN, len(bounding.wanted)).astype(np.int64)
        prices = rising(drawn, bounding.found)
        for g, pricers in enumerate(bounding.rung.pricers):
            most = max((pricer(prices).value for pricer in pricers), default=0)
            value = bounding.problem.stock[bounding.groups[g][0]].value
            for layout in taken:
                if layout.group == g:
                    assert int(layout.counts @ prices) + value - layout.cost <= most


def test_stock_is_priced_when_no_panel_and_no_way_would_help() -> None:
    """At the duals that stock is priced by, no panel and no way of a match has a profit."""
    bounding = bounding_at(1, "apothecary chest")
    assert bounding.prices is not None
    problem, duals = bounding.problem, bounding.prices.duals
    prices = np.floor(np.maximum(0.0, duals[: len(bounding.wanted)]) * bounding.scale).astype(int)
    rounding = 1000  # [ticks]: prices are whole, and a panel has but few strips
    assert problem.glues
    for glue, panels in zip(problem.glues, bounding.panels, strict=True):
        assert panels.cheapest(prices)[0] >= prices[glue.demand] - rounding
    first = len(bounding.wanted) + len(bounding.groups)
    assert problem.choices
    for c, choice in enumerate(problem.choices):
        found = cheapest_way(choice, lambda arc: int(prices[arc.demand]), bounding.corner)
        assert found is not None
        assert found[0] >= duals[first + c] * bounding.scale - rounding

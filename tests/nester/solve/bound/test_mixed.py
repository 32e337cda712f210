"""The bound where matches and panels may be made in more ways than one."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np

from nester.problem.build import build
from nester.solve.bound.mixed import MixedBounding
from tests.bench.sets.matched import case

MOST = 200
"""Rounds within which the second rung is surely reached."""
DEAR = 10**15
"""What no plan costs [ticks]."""


def test_a_finer_rung_knows_no_layouts_of_a_looser_one() -> None:
    """What pricing knows is in the master, so at its prices no known layout beats the master."""
    job = case("two trays")
    problem = build(job.project.parts, job.stock, job.project.shop, job.project.matches)
    broken = sum(choice.copies for choice in problem.choices)
    bounding = MixedBounding(problem, np.zeros(len(problem.demands)), broken)
    with ThreadPoolExecutor(1) as pool:
        for _ in range(MOST):
            bounding.round(pool, [], DEAR)
            if bounding.rung_at == 1:
                break
    assert bounding.rung_at == 1
    assert bounding.lp is not None
    assert bounding.lp.solve()
    n, duals = len(bounding.wanted), bounding.lp.duals
    for layout in bounding.proposals:
        worth = float(duals[:n] @ layout.counts) + float(duals[n + layout.group])
        assert layout.cost / bounding.scale >= worth - 1e-6

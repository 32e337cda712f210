"""Diving for bars: plans within a cost that is given."""

from random import Random

import numpy as np

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.ladder import groups
from nester.solve.delve import Manner, delve, settle
from nester.solve.dive import Proposal
from nester.solve.lengths import BarFillers, bar_fillers
from tests.bench.plates import bars_job
from tests.nester.maker import board, part, read, shop

PLAIN = {"surface": "S4S", "ends": "square", "edges": "straight"}
MUCH = 10**10


def bars(problem: Problem) -> BarFillers:
    """Return what fills the boards of a problem."""
    found = bar_fillers(problem, arrays(problem), groups(problem))
    assert found is not None
    return found


def triplets(seed: int, boards: int) -> Problem:
    """Return lengths that fill so many boards three by three, without any waste."""
    rng = Random(seed)
    lengths = []
    for _ in range(boards):
        one = rng.randint(380, 490)
        two = rng.randint(250, (1000 - one) // 2)
        lengths += [one, two, 1000 - one - two]
    project, stock = bars_job("trial", 1000, [(length, 1) for length in lengths])
    return build(project.parts, stock, project.shop)


def test_boards_without_waste_are_found() -> None:
    """Lengths that came of 40 boards, three from each, go onto 40 boards again."""
    for seed in (1, 2):
        problem = triplets(seed, 40)
        value = problem.stock[0].value
        fill = bars(problem)
        settled = settle(problem, fill, ())
        known = list(settled.proposals)
        for i in range(6):
            found = delve(problem, fill, known, 40 * value, MUCH, i, Manner(nodes=200))
            assert found.work > 0
            if found.draft is not None:
                break
            known += found.proposals
        assert found.draft is not None
        assert found.draft.complete
        assert found.draft.cost == 40 * value


def test_what_cannot_be_had_is_not_found() -> None:
    """Three lengths of 6 need three boards of 10: two are not enough."""
    project, stock = bars_job("trial", 10, [(6, 3), (4, 2)])
    problem = build(project.parts, stock, project.shop)
    value = problem.stock[0].value
    fill = bars(problem)
    assert delve(problem, fill, (), 2 * value, MUCH, 0, Manner()).draft is None
    found = delve(problem, fill, (), 3 * value, MUCH, 0, Manner()).draft
    assert found is not None
    assert found.complete


def test_prices_of_a_settled_master_are_those_of_its_bars() -> None:
    """Four lengths of 5 on boards of 10, two a board: each is worth half a board."""
    project, stock = bars_job("trial", 10, [(5, 4)])
    problem = build(project.parts, stock, project.shop)
    settled = settle(problem, bars(problem), ())
    assert np.isclose(int(settled.prices[0]), problem.stock[0].value / 2, rtol=1e-6)


def test_few_pieces_of_the_cheap_stock() -> None:
    """One short board at 3 for one part, and two long ones at 8 for two each: 19, not less."""
    boards = board("S-1", length="35", width="4", price=3, per="piece", **PLAIN) + board(
        "L-1", length="70", width="4", price=8, per="piece", count=9, **PLAIN
    )
    asked, stock = read(boards, part(count=5, length="30", width="4"), shop(offcut_credit=0))
    problem = build(asked.parts, stock, asked.shop)
    fill = bars(problem)
    prices = {item.count: item.value for item in problem.stock}
    most = prices[1] + 2 * prices[9]
    found = delve(problem, fill, (), most, MUCH, 0, Manner()).draft
    assert found is not None
    assert found.complete
    assert found.cost == most
    assert delve(problem, fill, (), most - 1, MUCH, 0, Manner()).draft is None


def test_a_dive_is_given_up() -> None:
    """After no node, or no work, there is no plan."""
    problem = triplets(3, 6)
    value = problem.stock[0].value
    fill = bars(problem)
    assert delve(problem, fill, (), 6 * value, MUCH, 0, Manner(nodes=0)).draft is None
    assert delve(problem, fill, (), 6 * value, 0, 0, Manner()).draft is None


def test_without_pricing_only_what_is_known_is_cut() -> None:
    """Lengths of 6 and 4 on boards of 10: found from the right layout, not from a wrong one."""
    project, stock = bars_job("trial", 10, [(6, 3), (4, 3)])
    problem = build(project.parts, stock, project.shop)
    value = problem.stock[0].value
    fill = bars(problem)
    closed = Manner(priced=False)
    pair, lone = (Proposal(0, np.array(counts), value) for counts in ((1, 1), (0, 2)))
    assert delve(problem, fill, [pair], 3 * value, MUCH, 0, closed).draft is not None
    assert delve(problem, fill, [lone], 3 * value, MUCH, 0, closed).draft is None

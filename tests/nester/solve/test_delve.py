"""Diving for bars: plans within a cost that is given."""

from collections.abc import Sequence
from random import Random

import numpy as np

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.ladder import groups
from nester.solve.delve import Delve, Manner, settle
from nester.solve.lengths import bar_makers
from nester.solve.makers import Makers
from nester.solve.plans import Draft
from nester.solve.proposal import Proposal
from tests.bench.plates import bars_job
from tests.nester.maker import board, part, read, shop

PLAIN = {"surface": "S4S", "ends": "square", "edges": "straight"}
MUCH = 10**10


def bars(problem: Problem) -> Makers:
    """Return what fills the boards of a problem."""
    found = bar_makers(problem, arrays(problem), groups(problem))
    assert found is not None
    return found


def delve(
    problem: Problem,
    makers: Makers,
    known: Sequence[Proposal],
    most: int | None,
    manner: Manner,
    seed: int = 0,
) -> Draft | None:
    """Return what a dive comes to."""
    dive = Delve(problem, makers, known, most, seed, manner)
    assert dive.run(MUCH) > 0
    assert dive.ended
    return dive.draft


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
            dive = Delve(problem, fill, known, 40 * value, i, Manner(nodes=200))
            assert dive.run(MUCH) > 0
            known += dive.news()
            if dive.draft is not None:
                break
        assert dive.draft is not None
        assert dive.draft.complete
        assert dive.draft.cost == 40 * value


def test_what_cannot_be_had_is_not_found() -> None:
    """Three lengths of 6 need three boards of 10: two are not enough."""
    project, stock = bars_job("trial", 10, [(6, 3), (4, 2)])
    problem = build(project.parts, stock, project.shop)
    value = problem.stock[0].value
    fill = bars(problem)
    assert delve(problem, fill, (), 2 * value, Manner()) is None
    found = delve(problem, fill, (), 3 * value, Manner())
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
    found = delve(problem, fill, (), most, Manner())
    assert found is not None
    assert found.complete
    assert found.cost == most
    assert delve(problem, fill, (), most - 1, Manner()) is None


def test_a_dive_is_given_up() -> None:
    """After no node there is no plan."""
    problem = triplets(3, 6)
    most = 6 * problem.stock[0].value
    assert delve(problem, bars(problem), (), most, Manner(nodes=0)) is None


def test_a_dive_goes_on_where_it_stood() -> None:
    """Bit by bit it comes to the same plan as at one go, and tells each layout once."""
    problem = triplets(1, 40)
    most = 40 * problem.stock[0].value
    fill = bars(problem)
    found = 0
    for seed in range(6):
        whole, parts = (Delve(problem, fill, (), most, seed, Manner()) for _ in range(2))
        whole.run(MUCH)
        rounds, told = 0, 0
        while not parts.ended:
            assert parts.run(3_000_000) > 0
            told += len(parts.news())
            rounds += 1
        assert rounds > 3
        assert told == len(whole.news())
        made = [d and [c.counts for c in d.columns] for d in (whole.draft, parts.draft)]
        assert made[0] == made[1]
        found += made[0] is not None
        if found:
            break
    assert found


def test_without_pricing_only_what_is_known_is_cut() -> None:
    """Lengths of 6 and 4 on boards of 10: found from the right layout, not from a wrong one."""
    project, stock = bars_job("trial", 10, [(6, 3), (4, 3)])
    problem = build(project.parts, stock, project.shop)
    value = problem.stock[0].value
    fill = bars(problem)
    closed = Manner(priced=False)
    pair, lone = (Proposal(0, np.array(counts), value) for counts in ((1, 1), (0, 2)))
    assert delve(problem, fill, [pair], 3 * value, closed) is not None
    assert delve(problem, fill, [lone], 3 * value, closed) is None

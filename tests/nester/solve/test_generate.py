"""Further layouts, at the prices of those known."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.ladder import groups
from nester.solve.columns import Column
from nester.solve.generate import NARROWEST, Generating
from nester.solve.pack import Manner, pack
from tests.nester.maker import board, part, read, shop


def rack(count: int = 9, short: int = 3) -> Problem:
    """Return boards of 100 in, for blanks of 48 and of 32 in: two or three a board."""
    boards = board("B", length="100", width="4", count=count)
    parts = part("long", count=4, length="48") + part("short", count=short, length="32")
    asked, stock = read(boards, parts, shop())
    return build(asked.parts, stock, asked.shop)


def generating(problem: Problem) -> Generating:
    return Generating(problem, arrays(problem), groups(problem))


def one_each(problem: Problem) -> list[Column]:
    """Return layouts of a board for one blank and no more."""
    found = arrays(problem)
    order = np.array([c for c, d in enumerate(found.directions) if not d.bound_only], np.int32)
    made: list[Column] = []
    for d in range(len(problem.demands)):
        demand = np.zeros(len(problem.demands), np.int16)
        demand[d] = 1
        weight = np.ones(len(problem.demands))
        made += pack(problem, found, demand, weight, found.copies, order, Manner(4)).columns
    return made


@pytest.mark.parametrize(("prices", "counts"), [((1.6, 1.0), (2, 0)), ((1.4, 1.0), (0, 3))])
def test_what_is_worth_most_on_a_board(
    prices: tuple[float, float], counts: tuple[int, int]
) -> None:
    """Two long blanks at 1.6 boards are worth more than three short ones at 1.0, less at 1.4."""
    problem = rack()
    blanks = np.array(prices) * problem.stock[0].value
    found, work = generating(problem).most_worth(0, blanks, NARROWEST, 3)
    assert found[0].counts == counts
    assert work > 0


def test_no_more_is_cut_than_is_wanted() -> None:
    """Where two short blanks are wanted, three are worth no more than two."""
    problem = rack(short=2)
    blanks = np.array([0.0, 1.0]) * problem.stock[0].value
    found, _ = generating(problem).most_worth(0, blanks, NARROWEST, 3)
    assert found[0].counts == (0, 2)


def test_layouts_come_until_the_programme_is_at_its_best() -> None:
    """Four blanks, two to a board and nothing left to keep: the price of two boards.

    At half a board each no layout is worth more than it costs, for an offcut never earns as much as
    its wood costs.
    """
    boards = board("B", length="100", width="4", count=9)
    asked, stock = read(boards, part(count=4, length="48"), shop())
    problem = build(asked.parts, stock, asked.shop)
    generator = generating(problem)
    known = one_each(problem)
    with ThreadPoolExecutor(1) as pool:
        while new := generator.end([job.result() for job in generator.begin(pool, known, 0)]):
            known += new
        prices = generator.prices(known)
        assert prices is not None
        assert prices.cost == pytest.approx(2 * problem.stock[0].value)
        # There is nothing to look for where the bound has come so far.
        assert generator.begin(pool, known, int(prices.cost) + 1) == []
    assert generator.width > NARROWEST


def test_layouts_that_are_not_enough_have_no_prices() -> None:
    """One board cannot give all blanks one by one."""
    problem = rack(count=1)
    assert generating(problem).prices(one_each(problem)) is None

"""What sets of boards cost at the least, by pencil: boards of 60 x 6 for $60 and of $50."""

import numpy as np
import pytest

from nester.solve.bound.board_sets import BoardSets, subsets
from tests.nester.maker import board, part
from tests.nester.solve.bound.test_bought import problem_of


def two_boards() -> tuple[BoardSets, float]:
    """Return the sets of two boards, no offcut earning anything, and how many ticks are a dollar.

    One blank of 25 x 4 is wanted.
    """
    stock = board("M-1") + board("M-2", price=50)
    problem = problem_of(stock, part(length="25", width="4"))
    return BoardSets(problem), float(problem.ticks)


def test_a_set_costs_its_boards() -> None:
    """Nothing holds nothing; one board has room, and costs its price, and so do both."""
    boards, dollar = two_boards()
    assert boards.least[0] == np.inf
    assert boards.least[1:] * boards.scale / dollar == pytest.approx([60, 50, 110])
    assert boards.bound / dollar == pytest.approx(50, rel=1e-5)


def test_prices_of_one_set_are_a_cut_for_all() -> None:
    """The blank at $70: with $65 and $30 that boards are worth 70 - 65 + 60, 70 - 30 + 50, and 85.

    So the first and second would cost more than they do, and both together $85, less than known.
    """
    boards, dollar = two_boards()
    boards.cut(np.array([70.0]) * dollar, np.array([65.0, 30.0]) * dollar)
    assert boards.least[1] == boards.least[2] == np.inf
    assert boards.least[3] * boards.scale / dollar == pytest.approx(110)


def test_what_costs_more_than_its_price_cannot_hold_all() -> None:
    """The second board is proven to cost $51, a dollar more than it does."""
    boards, dollar = two_boards()
    prices, worth = np.array([51.0]) * dollar, {1: 50.0 * dollar}
    assert boards.cut_one(2, prices, worth) * boards.scale / dollar == pytest.approx(51)
    assert boards.least[2] == np.inf
    assert boards.bound / dollar == pytest.approx(60, rel=1e-5)


def test_all_sets_are_listed_once() -> None:
    """Of three there are eight."""
    assert len({tuple(chosen) for chosen in subsets(3).tolist()}) == 8

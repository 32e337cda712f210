"""What sets of boards cost at the least, by pencil: boards of 60 x 6 for $60 and of $50."""

import numpy as np
import pytest

from nester.solve.bound.board_sets import BoardSets, Cut, subsets
from tests.nester.maker import board, part
from tests.nester.solve.bound.test_bought import problem_of


def two_boards() -> tuple[BoardSets, float]:
    """Return the sets of two boards, no offcut earning anything, and how many ticks are a dollar.

    One blank of 25 x 4 is wanted.
    """
    stock = board("M-1") + board("M-2", price=50)
    problem = problem_of(stock, part(length="25", width="4"))
    return BoardSets(problem), float(problem.ticks)


def cut(price: float, worth: tuple[float, float], dollar: float) -> Cut:
    """Return the cut of one price of the blank, at which no board is told closely."""
    told = np.array(worth) * dollar
    return Cut(np.array([price]) * dollar, told, np.zeros(2, bool))


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
    boards.cut(cut(70, (65, 30), dollar))
    assert boards.least[1] == boards.least[2] == np.inf
    assert boards.least[3] * boards.scale / dollar == pytest.approx(110)


def test_a_board_told_more_closely_raises_a_cut() -> None:
    """The blank at $30: with $40 and $45 boards cost 30 - 40 + 60, 30 - 45 + 50, and 55 both.

    All are less than known. That the first is worth $25 makes it $65, more than it costs.
    """
    boards, dollar = two_boards()
    loose = cut(30, (40, 45), dollar)
    boards.cut(loose)
    assert boards.least[1:] * boards.scale / dollar == pytest.approx([60, 50, 110])
    boards.closer(loose, {0: 25.0 * dollar})
    assert loose.close.tolist() == [True, False]
    assert boards.least[1] == np.inf
    assert boards.least[2:] * boards.scale / dollar == pytest.approx([50, 110])
    boards.closer(loose, {0: 35.0 * dollar})
    assert loose.worth[0] == 25.0 * dollar


def test_the_best_cut_of_a_set_proves_most_of_it() -> None:
    """The blank at $10 proves 10 - 5 + 60 and 10 - 9 + 50, at $20 it proves 61 and 57."""
    boards, dollar = two_boards()
    low, high = cut(10, (5, 9), dollar), cut(20, (19, 13), dollar)
    boards.cut(low)
    boards.cut(high)
    assert boards.best_cut(1) is low
    assert boards.best_cut(2) is high


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

"""Stock that blanks would use up: boards without flaws, told by their length in inches."""

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import Arrays, arrays
from nester.solve.offered import chosen_stock
from tests.nester.maker import board, part, read, shop


def job() -> tuple[Problem, Arrays]:
    """Return boards of 30, 40, 50 and 100 in, all as wide and at one price for their size."""
    stock = "".join(board(f"B-{n}", length=str(n), width="6", price=n) for n in (30, 40, 50, 100))
    project, items = read(stock, part(length="20", width="3", count=4), shop(grid="1/2"))
    problem = build(project.parts, items, project.shop)
    return problem, arrays(problem)


def test_blanks_and_boards_are_larger_by_a_kerf() -> None:
    """One cell of 1/2 in each way: 40 x 6 cells are 41 x 7, and boards of 60 x 12 are 61 x 13."""
    _, found = job()
    assert found.takes.tolist() == [41 * 7]
    assert found.room.tolist() == [(2 * n + 1) * 13 for n in (30, 40, 50, 100)]


@pytest.mark.parametrize("seed", range(10))
def test_what_is_chosen_holds_the_blanks_and_costs_no_more(seed: int) -> None:
    """What lay on a board of 100 in and fills 70 in: on two shorter ones, or on that again."""
    problem, found = job()
    room = found.room.tolist()
    copies = np.ones(4, np.int16)
    taken = int(0.99 * (room[0] + room[1]))
    most = problem.stock[3].value
    rng = np.random.default_rng(seed)
    chosen = chosen_stock(problem, found, taken, [3], most, copies, rng)
    assert sum(room[s] for s in chosen) >= taken
    assert sum(problem.stock[s].value for s in chosen) <= most
    assert len(set(chosen)) == len(chosen)


def test_where_nothing_holds_them_what_was_freed_is_offered() -> None:
    """Blanks of more than all boards together."""
    problem, found = job()
    taken = 2 * int(found.room.sum())
    rng = np.random.default_rng(1)
    copies = np.ones(4, np.int16)
    assert chosen_stock(problem, found, taken, [1, 3], 10**9, copies, rng) == [1, 3]

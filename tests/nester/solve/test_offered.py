"""Stock that blanks would use up: boards without flaws, told by their length in inches."""

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import Arrays, arrays
from nester.solve.offered import cells_of, chosen_stock
from tests.nester.maker import board, part, read, shop


def job() -> tuple[Problem, Arrays]:
    """Return boards of 30, 40, 50 and 100 in, all as wide and at one price for their size."""
    stock = "".join(board(f"B-{n}", length=str(n), width="6", price=n) for n in (30, 40, 50, 100))
    project, items = read(stock, part(length="20", width="3", count=4), shop(grid="1/2"))
    problem = build(project.parts, items, project.shop)
    return problem, arrays(problem)


def test_a_blank_takes_its_length_by_its_width() -> None:
    """In cells, the least of all its ways to lie."""
    problem, found = job()
    least = min(o.length * o.width for item in problem.stock for o in item.options)
    assert cells_of(found).tolist() == [least]


@pytest.mark.parametrize("seed", range(10))
def test_what_is_chosen_holds_the_blanks_and_costs_no_more(seed: int) -> None:
    """What lay on a board of 100 in and fills 70 in: on two shorter ones, or on that again."""
    problem, _ = job()
    sound = [int(item.credit[-1, -1]) for item in problem.stock]
    copies = np.ones(4, np.int16)
    cells = int(0.99 * (sound[0] + sound[1]))
    most = problem.stock[3].value
    rng = np.random.default_rng(seed)
    chosen = chosen_stock(problem, cells, [3], most, copies, rng)
    assert sum(sound[s] for s in chosen) >= cells
    assert sum(problem.stock[s].value for s in chosen) <= most
    assert len(set(chosen)) == len(chosen)


def test_where_nothing_holds_them_what_was_freed_is_offered() -> None:
    """Blanks of more than all boards together."""
    problem, _ = job()
    cells = 2 * sum(int(item.credit[-1, -1]) for item in problem.stock)
    rng = np.random.default_rng(1)
    assert chosen_stock(problem, cells, [1, 3], 10**9, np.ones(4, np.int16), rng) == [1, 3]

"""Layouts of single pieces of stock for what was proposed, and with wider strips."""

import numpy as np
from numpy.typing import NDArray

from inventory.length import INCH
from nester.problem import Problem, build
from nester.solve.sawyer import Sawyer
from tests.nester.maker import board, part, read, shop


def lid() -> Problem:
    """Return a lid of 12 in that is glued up from strips of 3 to 5 in, and a board of 9 in."""
    asked, stock = read(
        board(width="9", length="24"),
        part("lid", width="12", glue_up={"strips": ["3", "5"]}),
        shop(),
    )
    return build(asked.parts, stock, asked.shop)


def asked(problem: Problem, *widths: int) -> NDArray[np.int64]:
    """Return how many strips of each kind, by their widths [cells]."""
    counts = np.zeros(len(problem.demands), np.int64)
    kind_of = {width // problem.grid: kind for kind, width in problem.glues[0].strips}
    for width in widths:
        counts[kind_of[width]] += 1
    return counts


def test_of_what_is_proposed_as_much_is_cut_as_fits() -> None:
    """Three strips of 3 in and their kerfs are more than a board of 9 in gives; two are less."""
    problem = lid()
    three = 3 * INCH // problem.grid
    found, work = Sawyer(problem).cut(0, asked(problem, three, three, three))
    assert sum(found[0].counts) == 2
    assert work > 0


def test_a_strip_is_made_as_wide_as_its_board_lets_it() -> None:
    """Of 9 in the first takes 5 in, the widest allowed, a kerf 1/8 in, and the other the rest."""
    problem = lid()
    three = 3 * INCH // problem.grid
    sawyer = Sawyer(problem)
    (narrow,), _ = sawyer.cut(0, asked(problem, three, three))
    wide, _ = sawyer.widened(narrow)
    width_of = dict(problem.glues[0].strips)
    found = sorted(width_of[kind] / INCH for kind, n in enumerate(wide.counts) for _ in range(n))
    assert found == [9 - 5 - 0.125, 5]
    assert wide.cost >= narrow.cost

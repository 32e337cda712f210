"""What offcuts earn in section pricing, by pencil: a board of 60 x 6 on whole inches, $60."""

import numpy as np
import pytest

from nester.problem import build
from nester.solve.arrays import arrays
from nester.solve.bound.sections import SectionPricer
from tests.nester.maker import board, part, read, shop

ROT = {"kind": "rot", "x": "20", "y": "1", "length": "6", "width": "4"}


def earned(stock: str, step: int = 1) -> float:
    """Return the most that offcuts of a board earn where no blank is worth anything [money]."""
    habits = shop(offcut_credit=0.5, grid="1", tape="1", offcut_min=[12, 3])
    project, items = read(stock, part(length="10", width="2"), habits)
    problem = build(project.parts, items, project.shop)
    found = arrays(problem)
    cls = next(c for c, d in enumerate(found.directions) if not d.rip_first)
    pricer = SectionPricer(found, cls, problem.stock[0], 1, [(step, 1)])
    return float(pricer(np.zeros(1, np.int64)).value / problem.ticks)


def test_a_clear_board_earns_its_credit() -> None:
    """Half of its price."""
    assert earned(board()) == pytest.approx(30)


def test_rotten_wood_earns_nothing() -> None:
    """Of 360 square inches rot takes 24, whole cells of it: half of 336/360 of $60 are 28."""
    assert earned(board(flaws=[ROT])) == pytest.approx(28)


def test_on_coarse_steps_it_never_earns_less() -> None:
    """Ends of leftovers lie as far apart as they may, wherever the rot lies."""
    for x in range(0, 54, 5):
        stock = board(flaws=[{**ROT, "x": str(x)}])
        exact = earned(stock)
        assert exact == pytest.approx(28)
        assert earned(stock, step=4) >= exact - 1e-6

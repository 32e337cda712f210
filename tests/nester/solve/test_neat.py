"""Which of two plans of the same cost is neater to saw."""

import pytest

from nester.problem import Problem, build
from nester.solve.columns import Column
from nester.solve.neat import neatness
from nester.solve.rows import Blank, Row
from tests.nester.maker import board, part, read, shop

INCHES = shop(grid=1, tape=1, kerf={"crosscut": 1, "rip": 1}, offcut_min=[6, 2], offcut_credit=0.5)
"""A grid of an inch, so that cells are inches."""


@pytest.fixture(scope="module")
def problem() -> Problem:
    """Two boards of 30 x 9 cells; the second has a loose knot from 20 to 21."""
    knot = {"kind": "knot", "x": "20", "y": "4", "length": "1", "width": "1", "sound": False}
    project, items = read(
        board(length="30", width="9") + board("M-2", length="30", width="9", flaws=[knot]),
        part(length="8", width="3", count=9),
        INCHES,
    )
    return build(project.parts, items, project.shop)


def layout(*sections: tuple[tuple[int, int], ...], stock: int = 0) -> Column:
    """Return a layout of sections of strips, told by where each strip begins and ends."""
    rows = tuple(
        (n, n + 1, Row("y", tuple((a, b, Blank(0)) for a, b in strips)))
        for n, strips in enumerate(sections)
    )
    return Column(stock, Row("x", rows), (0,), 0)


def test_what_is_counted(problem: Problem) -> None:
    """Two sections and three strips are five cuts; strips of 4, 4 and 3 take two settings."""
    assert neatness(problem, [layout(((0, 4), (5, 9)), ((0, 3),))])[:3] == (1, 2, 5)


def test_fewer_pieces_of_stock_come_before_settings_and_settings_before_cuts(
    problem: Problem,
) -> None:
    """The same width on another board is no new setting."""
    one = [layout(((0, 4), (5, 8)))]
    two = [layout(((0, 4),)), layout(((0, 4),), stock=1)]
    assert neatness(problem, two)[:3] == (2, 1, 4)
    assert neatness(problem, one) < neatness(problem, two)
    parted = [layout(((0, 4),), ((5, 9),), ((1, 5),))]
    assert neatness(problem, parted)[:3] == (1, 1, 6)
    assert neatness(problem, parted) < neatness(problem, one)


def placed(start: int, stock: int = 0) -> Column:
    """Return a layout of one blank of 8 across the whole width."""
    return Column(stock, Row("x", ((start, start + 8, Blank(0)),)), (1,), 0)


def test_one_large_offcut_is_neater_than_two_small_ones(problem: Problem) -> None:
    """Beside 8 and its kerfs 21 are left in one, or 10 and 10, or 15 and 5, which is no offcut."""
    assert neatness(problem, [placed(0)])[3] == -((21 * 9) ** 2)
    assert neatness(problem, [placed(11)])[3] == -((10 * 9) ** 2 + (10 * 9) ** 2)
    assert neatness(problem, [placed(6)])[3] == -((15 * 9) ** 2)
    assert neatness(problem, [placed(0)]) < neatness(problem, [placed(6)])
    assert neatness(problem, [placed(6)]) < neatness(problem, [placed(11)])


def test_only_sound_wood_of_an_offcut_counts(problem: Problem) -> None:
    """The knot takes a cell of the offcut; across two boards offcuts are not one."""
    assert neatness(problem, [placed(0, stock=1)])[3] == -((21 * 9 - 1) ** 2)
    both = [placed(0), placed(0, stock=1)]
    assert neatness(problem, both) == (2, 0, 2, -((21 * 9) ** 2) - (21 * 9 - 1) ** 2)

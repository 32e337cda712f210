"""The bound by area, by pencil: boards of 60 x 6 for $60, on whole inches, a kerf of one inch."""

import pytest

from nester.problem import Problem, build
from nester.solve.bound.area import area_bound
from tests.nester.maker import board, part, read, shop

ROT = {"kind": "rot", "x": "20", "y": "1", "length": "6", "width": "4"}


def bound(problem: Problem) -> int:
    """Return the better of the bounds with kerfs and without [ticks]."""
    return max(area_bound(problem, kerfs).bound for kerfs in (False, True))


def by_area(stock: str, parts: str, **keys: float) -> float:
    """Return the bound [money]."""
    habits = shop(**{"grid": "1", "tape": "1", "offcut_credit": 0, "flaw_margin": 0, **keys})
    project, items = read(stock, parts, habits)
    problem = build(project.parts, items, project.shop)
    return float(bound(problem) / problem.ticks)


def test_kerfs_take_wood_too() -> None:
    """Two halves of a board are not to be had from it: 31 x 7 each, of 61 x 7."""
    found = by_area(board() + board("M-2"), part(length="30", width="6", count=2))
    assert found == pytest.approx(60 * 2 * 31 * 7 / (61 * 7), rel=1e-5)


def test_a_board_that_is_used_up_costs_its_price() -> None:
    """One blank as large as the board: no kerf is made."""
    assert by_area(board(), part(length="60", width="6")) == pytest.approx(60, rel=1e-5)


def test_no_blank_lies_on_rot_but_its_kerf_may() -> None:
    """The saw reaches one inch into it from the left and from below: 5 x 3 are out of reach."""
    rotten = board(flaws=[ROT]) + board("M-2", flaws=[ROT])
    found = by_area(rotten, part(length="12", width="2", count=3))
    assert found == pytest.approx(60 * 3 * 13 * 3 / (61 * 7 - 5 * 3), rel=1e-5)


def test_kerfs_are_left_out_where_rot_counts_for_more() -> None:
    """Rot over all but a strip: 60 x 2 of wood for blanks, no kerf needed for the one of it.

    With kerfs it would be 61 x 3 of 61 x 3 as well; a second strip takes another board either way.
    """
    strip = {"kind": "rot", "x": "0", "y": "2", "length": "60", "width": "4"}
    stock = board(flaws=[strip]) + board("M-2", flaws=[strip])
    assert by_area(stock, part(length="60", width="2")) == pytest.approx(60, rel=1e-5)
    assert by_area(stock, part(length="60", width="2", count=2)) == pytest.approx(120, rel=1e-5)


def test_leftovers_earn_less_than_their_price() -> None:
    """So a layout costs least for its blanks where they take all of 61 x 7, and none earns.

    The cut really costs $45: 30 x 6 is kept, and earns half its price.
    """
    found = by_area(board(), part(length="29", width="6"), offcut_credit=0.5)
    assert found == pytest.approx(60 * 30 * 7 / (61 * 7), rel=1e-5)
    assert found <= 45


def test_stock_too_small_by_area_proves_nothing() -> None:
    assert by_area(board(), part(length="60", width="6", count=2)) == 0

"""The outline of a stock item."""

from fractions import Fraction

import pytest

from nester.verify.outline import area_in, narrowest, width_at, wood_area
from nester.verify.read_stock import read_stock
from nester.verify.records import Node, Stock
from tests.nester.verify.plans import board, sheet

INCH = 8128


def tapered(a: str, b: str) -> Stock:
    """Return a board 60 in long, from ``a`` to ``b`` wide."""
    found = read_stock([board(width=(a, b))], [])
    assert found is not None
    return found["M-1"]


def node(x: int, y: int, length: int, width: int) -> Node:
    """Return a rectangle given in inches."""
    x, y, length, width = (value * INCH for value in (x, y, length, width))
    return Node(0, None, x, y, length, width, cut=None, first=None, second=None, use=None)


def test_width_along_a_taper() -> None:
    """The far edge runs straight from end to end."""
    stock = tapered("6", "3")
    assert width_at(stock, 20 * INCH) == 5 * INCH
    assert narrowest(stock, 20 * INCH, 40 * INCH) == 4 * INCH
    assert narrowest(tapered("3", "6"), 20 * INCH, 40 * INCH) == 4 * INCH
    assert stock.width == 6 * INCH


def test_wood_area_of_a_taper() -> None:
    """A trapezoid is its length by its mean width."""
    assert wood_area(tapered("6", "3")) == 270 * INCH**2


@pytest.mark.parametrize(
    ("box", "area"),
    [
        ((0, 0, 60, 6), 270),
        ((0, 0, 60, 3), 180),
        ((0, 3, 60, 3), 90),
        ((0, 5, 60, 1), 10),
        ((40, 4, 20, 2), 0),
        ((20, 4, 40, 2), 10),
        ((20, 0, 20, 6), 90),
    ],
)
def test_wood_in_a_rectangle(box: tuple[int, int, int, int], area: int) -> None:
    """Of a rectangle over the taper only the wood counts."""
    assert area_in(tapered("6", "3"), node(*box)) == area * INCH**2


def test_a_taper_the_other_way() -> None:
    """A board wider at end B is the mirror of the other."""
    assert area_in(tapered("3", "6"), node(0, 5, 60, 1)) == 10 * INCH**2


def test_a_sheet_has_no_taper() -> None:
    """All of a sheet is wood."""
    found = read_stock([sheet()], [])
    assert found is not None
    assert area_in(found["BP18"], node(0, 0, 96, 48)) == Fraction(96 * 48 * INCH**2)

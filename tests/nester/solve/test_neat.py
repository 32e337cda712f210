"""Which of two plans of the same cost is neater to saw."""

from nester.solve.columns import Column
from nester.solve.neat import neatness
from nester.solve.rows import Blank, Row


def layout(*sections: tuple[tuple[int, int], ...], stock: int = 0) -> Column:
    """Return a layout of sections of strips, told by where each strip begins and ends."""
    rows = tuple(
        (n, n + 1, Row("y", tuple((a, b, Blank(0)) for a, b in strips)))
        for n, strips in enumerate(sections)
    )
    return Column(stock, Row("x", rows), (0,), 0)


def test_what_is_counted() -> None:
    """Two sections and three strips are five cuts; strips of 4, 4 and 3 take two settings."""
    assert neatness([layout(((0, 4), (5, 9)), ((0, 3),))]) == (1, 2, 5)


def test_fewer_pieces_of_stock_come_before_settings_and_settings_before_cuts() -> None:
    """The same width on another board is no new setting."""
    one = [layout(((0, 4), (5, 8)))]
    two = [layout(((0, 4),)), layout(((0, 4),), stock=1)]
    assert neatness(two) == (2, 1, 4)
    assert neatness(one) < neatness(two)
    parted = [layout(((0, 4),), ((5, 9),), ((1, 5),))]
    assert neatness(parted) == (1, 1, 6)
    assert neatness(parted) < neatness(one)

"""Rows of a drawing."""

from itertools import pairwise

import pytest

from inventory.length import INCH, MM
from nester.draw.cutting import taken_apart
from nester.draw.view import View, breaks, through_cuts
from tests.nester.draw.wood import (
    WASTE,
    blank,
    cross,
    inches,
    layout_of,
    long_thin,
    rip,
    small_board,
    walnut,
)


def test_the_near_edge_lies_at_the_bottom_and_end_a_at_the_left():
    """At 1 : 10, 100 mm from end A and 50 mm from the near edge are 10 mm right and 5 mm up."""
    view = View(0, 1000 * MM, 20.0, 90.0, 10.0)
    assert view.spot((100 * MM, 50 * MM)) == pytest.approx((30.0, 85.0))
    box = view.box(100 * MM, 50 * MM, 200 * MM, 30 * MM)
    assert (box.left, box.right) == pytest.approx((30, 50))
    assert (box.top, box.bottom) == pytest.approx((82, 85))


def test_a_row_shows_only_its_own_part():
    """A rectangle that goes on in the next row is shown as far as this one goes."""
    view = View(500 * MM, 1000 * MM, 20.0, 90.0, 10.0)
    box = view.box(400 * MM, 0, 200 * MM, 10 * MM)
    assert (box.left, box.right) == pytest.approx((20, 30))


def test_rows_end_where_a_crosscut_goes_through():
    """The board of 120 in is broken after the cut at 59 7/8 in, so that no piece is."""
    _, layout, _ = long_thin()
    cutting = taken_apart(layout)
    assert breaks(cutting, layout.length, 2) == [0, inches("59 7/8"), inches(120)]
    assert breaks(cutting, layout.length, 1) == [0, inches(120)]


def test_cuts_inside_a_strip_are_no_place_to_break():
    """Only cuts that part the whole board count; the one in the ripped section does not."""
    _, layout, _ = walnut()
    places = through_cuts(taken_apart(layout))
    assert inches("61 1/8") not in places
    assert inches("42 1/8") in places


def test_a_board_ripped_first_is_broken_near_even_shares():
    """Without a cut right through, the piece end nearest the middle serves; else the middle."""
    board, _, _ = small_board()
    strips = rip((inches(2), cross((inches(33), blank("a")), (None, WASTE))), (None, blank("b")))
    layout = layout_of(board, strips)
    assert breaks(taken_apart(layout), layout.length, 2) == [0, inches(33), inches(60)]
    whole = layout_of(board, rip((inches(2), blank("a")), (None, blank("b"))))
    assert breaks(taken_apart(whole), whole.length, 2) == [0, 30 * INCH, 60 * INCH]


def test_no_row_is_much_longer_than_its_share():
    """A single cut near one end is not taken: the other row would be hardly shorter than one."""
    board, _, _ = small_board()
    layout = layout_of(board, cross((inches(10), blank("a")), (None, blank("b"))))
    ends = breaks(taken_apart(layout), layout.length, 2)
    assert max(b - a for a, b in pairwise(ends)) <= inches("37 1/2")

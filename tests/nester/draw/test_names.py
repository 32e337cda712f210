"""Words for measures and pieces."""

from dataclasses import replace

import pytest

from inventory.formatter import Formatter
from inventory.length import INCH, MM
from nester.draw.names import Wording
from nester.layout import Node, OffcutUse, StripUse
from tests.nester.draw.wood import blank, inches, part, plywood, walnut

PARTS = [part("leg", 700 * MM, 60 * MM, 4, 2), part("top", 900 * MM, 500 * MM, 1, 1)]


def wording(units="in", stock=None):
    """Return the words for the walnut board, or another stock item."""
    return Wording(Formatter.of(units), stock or walnut()[0], {p.name: p for p in PARTS})


LENGTH, WIDTH = inches(30), inches(3)


def node(use, length=LENGTH, width=WIDTH):
    """Return a piece of 30 x 3 in."""
    return Node(0, 0, length, width, use=use)


@pytest.mark.parametrize(
    ("use", "name", "copy"),
    [
        (blank("leg", 2), "leg", "2 of 4"),
        (blank("leg", 5), "leg", "spare 1"),
        (blank("top", 1), "top", ""),
        (blank("top", 2), "top", "spare"),
        (blank("gone", 3), "gone", "#3"),
        (StripUse("lid-1", 2), "panel lid-1", "strip 2"),
        (OffcutUse("W-07a"), "W-07a", "offcut"),
    ],
)
def test_pieces_are_named_and_counted(use, name, copy):
    """Copies say which of how many, spares that they are, strips their panel, offcuts their id."""
    words = wording()
    assert (words.name(node(use)), words.copy(node(use))) == (name, copy)


def test_sizes_on_a_board_are_those_sawn_on_a_sheet_the_exact_needed():
    """A board's blank is as large as its rectangle; a sheet's is the part plus its joinery."""
    on_board = wording().size(node(blank("leg", 1)))
    assert on_board == (inches(30), inches(3))
    sheet = plywood()[0]
    joined = replace(PARTS[1], extra_length=20 * MM)
    words = Wording(Formatter.of("mm"), sheet, {"top": joined})
    assert words.size(node(blank("top", 1), 921 * MM, 501 * MM)) == (920 * MM, 500 * MM)


def test_a_piece_that_must_still_be_cut_down_says_what_the_saw_leaves():
    """A blank that takes its strip's whole length tells both sizes; rounding up tells nothing."""
    words = Wording(Formatter.of("mm"), plywood()[0], {"top": PARTS[1]})
    long, wide = PARTS[1].length, PARTS[1].width
    assert words.sawn(node(blank("top", 1), long + 40 * MM, wide)) == (
        f" from {(long + 40 * MM) // MM} × {wide // MM}"
    )
    assert words.sawn(node(blank("top", 1), long + MM // 2, wide)) == ""
    turned = node(blank("top", 1, turned=True), wide, long + 40 * MM)
    assert words.sawn(turned) == f" from {(long + 40 * MM) // MM} × {wide // MM}"


def test_the_part_s_own_length_comes_first():
    """A turned blank on a board lies across it; its size is still said length first."""
    turned = node(blank("leg", 1, turned=True))
    assert wording().size(turned) == (inches(3), inches(30))


@pytest.mark.parametrize(
    ("units", "value", "text"),
    [
        ("in", inches("23 3/8"), "23 3/8″"),
        ("in", 594 * MM, "594 mm"),
        ("in", INCH * 33 // 64, "33/64″"),
        ("mm", 594 * MM, "594"),
        ("mm", inches("23 3/8"), "23 3/8″"),
        ("mm", 5945 * MM // 10, "594.5"),
    ],
)
def test_a_measure_off_the_tape_stands_in_the_unit_in_which_it_is_exact(units, value, text):
    """On the tape's marks in its own unit, else in the other system."""
    assert wording(units).exact(value) == text


def test_thickness_is_measured_and_sold():
    """A board's is sold in quarters, a sheet's is called by its nominal."""
    board, sheet = walnut()[0], plywood()[0]
    assert wording().thickness(board.thickness) == "1 1/16″"
    assert wording().sold() == "sold as 4/4"
    assert wording(stock=replace(board, sold_as=5 * INCH // 4)).sold() == "sold as 5/4"
    assert wording(stock=replace(board, sold_as=INCH // 2)).sold() == "sold as 1/2″"
    assert wording("in", sheet).thickness(18 * MM) == "18 mm"
    assert wording("in", replace(sheet, nominal=3 * INCH // 4)).sold() == "called 3/4″"

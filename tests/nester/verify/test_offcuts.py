"""Offcuts: their size, their ids, and the wood in them that is worth money."""

from fractions import Fraction

import pytest

from nester.verify.offcuts import credited_area
from nester.verify.read_stock import read_stock
from nester.verify.records import Node
from tests.nester.verify.plans import (
    WASTE,
    Doc,
    blank,
    board,
    codes,
    document,
    flaw,
    layout,
    offcut,
    outlined,
    part,
    sheet,
    shop,
    simple,
    x,
    y,
)

FRONT = y("3 3/4", blank("front"), WASTE)
FREE = shop(offcut_credit=0)


@pytest.mark.parametrize(
    ("length", "width", "holds"),
    [("51 1/8", "3", True), ("51 1/16", "3", False), ("51 1/8", "2 15/16", False)],
)
def test_least_offcut_of_a_board(length: str, width: str, holds: bool) -> None:
    """12 in along the board and 3 in across are kept, a sixteenth less either way is not.

    The offcut runs from 39 1/8 in to the end.
    """
    used = shop(offcut_credit=0, blank_extra_width="0")
    stock = board(length=length, width=width)
    doc = simple(stock=stock, of=used, tree=x("39", blank("front"), offcut("M-1a")), width="2")
    assert codes(doc) == (set() if holds else {"offcut-size"})


def test_an_offcut_of_a_board_is_measured_along_it() -> None:
    """8 in along and 14 across is no offcut of a board, however wide."""
    stock = board(length="47 1/8", width="14")
    doc = simple(stock=stock, of=FREE, tree=x("39", FRONT, offcut("M-1a")))
    assert codes(doc) == {"offcut-size"}


@pytest.mark.parametrize(
    ("length", "width", "holds"),
    [("24", "8", True), ("8", "24", True), ("23 15/16", "8", False), ("7 15/16", "40", False)],
)
def test_least_offcut_of_a_sheet(length: str, width: str, holds: bool) -> None:
    """24 x 8 in is kept, either way round."""
    top = part("top", "20", "5", material=["birch plywood"])
    corner = x(length, y(width, offcut("a"), WASTE), x("90", y("30", blank("top"), WASTE), WASTE))
    doc = document([sheet()], [top], [layout(sheet(), corner, of=FREE)], of=FREE)
    assert codes(doc) == (set() if holds else {"offcut-size"})


def test_a_leftover_may_be_thrown_away() -> None:
    """What would do for an offcut may be called waste all the same."""
    assert codes(simple(tree=x("39", FRONT, WASTE))) == set()


def pair(one: str, two: str) -> Doc:
    """Return a plan with two offcuts of these ids."""
    rest = y("3 3/4", offcut(one), WASTE)
    return simple(
        stock=board(length="80"), of=FREE, tree=x("39", FRONT, x("60", rest, offcut(two)))
    )


def test_offcut_ids_are_distinct() -> None:
    """No two offcuts have one id, and none the id of a board."""
    assert codes(pair("M-1a", "M-1b")) == set()
    assert codes(pair("M-1a", "M-1a")) == {"offcut-id"}
    assert codes(pair("M-1a", "M-1")) == {"offcut-id"}
    assert codes(pair("M-1a", "")) == {"wrong-value"}


def credited(entry: Doc, x0: int, y0: int, length: int, width: int) -> Fraction:
    """Return the credited area, in square inches, of a rectangle of a stock entry."""
    found = read_stock([entry], [])
    assert found is not None
    box = tuple(value * 8128 for value in (x0, y0, length, width))
    node = Node(0, None, box[0], box[1], box[2], box[3], None, None, None, None)
    return credited_area(found[entry["id"]], node) / 8128**2


def test_sound_wood_is_credited_whole() -> None:
    """A clear offcut counts with all its wood, sound flaws included."""
    assert credited(board(), 40, 0, 20, 6) == 120
    stain = flaw("stain", "45", "1", "5", "5", sound=True)
    assert credited(board(flaws=[stain]), 40, 0, 20, 6) == 120


def test_unsound_flaws_are_taken_off_once() -> None:
    """Where two flaws overlap their wood is taken off once, and only within the offcut."""
    knots = [flaw("knot", "45", "1", "2", "2"), flaw("rot", "46", "2", "2", "2")]
    assert credited(board(flaws=knots), 40, 0, 20, 6) == 120 - 7
    half = [flaw("split", "38", "1", "4", "1"), flaw("knot", "50", "5", "2", "1", face="a")]
    assert credited(board(flaws=half), 40, 0, 20, 6) == 120 - 2 - 2
    outside = [flaw("knot", "38", "1", "2", "1")]
    assert credited(board(flaws=outside), 40, 0, 20, 6) == 120


def test_outlines_are_taken_off_by_their_true_shape() -> None:
    """A triangle of wane takes half of its box, and less where a knot lies under it."""
    wane = outlined("wane", ("40", "6"), ("50", "2"), ("50", "6"))
    assert credited(board(flaws=[wane]), 40, 0, 20, 6) == 120 - 20
    # The knot reaches from 48 to 52 along and 4 to 6 across. Under the wane, from 48 to 50, it is
    # wholly covered (the wane's edge there is at 6 - 4/10 * 8 = 2.8 and below), so 2 x 2 are new.
    both = [wane, flaw("knot", "48", "4", "4", "2")]
    assert credited(board(flaws=both), 40, 0, 20, 6) == 120 - 20 - 4


def test_wood_past_a_taper_is_none() -> None:
    """A taper from 6 to 3 over 60: from 40 to 60 it goes from 4 to 3, so 70 square inches."""
    tapered = board(width=("6", "3"))
    assert credited(tapered, 40, 0, 20, 6) == 70
    # From 12 to 6 in it is 8 wide at 40 and 7 at 50: above 7, a triangle 10 long and 1 high.
    assert credited(board(width=("12", "6")), 40, 7, 20, 5) == 5
    void = board(width=("6", "3"), flaws=[flaw("void", "40", "0", "20", "6")])
    assert credited(void, 40, 0, 20, 6) == 0

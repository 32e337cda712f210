"""What a layout asks of the saw."""

from nester.draw.cutting import along_edge, taken_apart
from nester.layout import Axis
from tests.nester.draw.wood import (
    TRIM,
    blank,
    cross,
    inches,
    layout_of,
    long_thin,
    small_board,
    walnut,
)


def test_cuts_come_in_their_order_and_pieces_are_all_there():
    """Orders run from 1 without a gap; five blanks and the offcut are found."""
    _, layout, _ = walnut()
    cutting = taken_apart(layout)
    assert [saw.cut.order for saw in cutting.cuts] == list(range(1, len(cutting.cuts) + 1))
    names = sorted(node.use.part for node in cutting.pieces)
    assert names == ["back rail", "case side", "case side", "cleat", "drawer front"]


def test_rulers_read_only_the_cuts_that_reach_them():
    """Below stand all crosscuts through the board and the one in the strip at the near edge."""
    _, layout, _ = walnut()
    cutting = taken_apart(layout)
    below = [saw.line for saw in along_edge(cutting, Axis.X)]
    wanted = ["1", "42", "46 3/4", "61", "71 3/4", "108 3/8"]
    assert below == [inches(text) for text in wanted]
    left = [saw.line for saw in along_edge(cutting, Axis.Y)]
    assert left == [inches(text) for text in ("1/8", "3 7/8", "7 11/16")]


def test_a_deep_tree_does_no_harm():
    """A thousand cuts one after another, each in the last one's rest, are all found."""
    board, _, _ = small_board()
    kerf = 1
    pieces = [(100, blank("pin", i + 1)) for i in range(1500)]
    layout = layout_of(board, cross(*pieces[:600], (None, TRIM), kerf=kerf))
    assert len(taken_apart(layout).cuts) == 600


def test_a_board_used_whole_has_no_cuts():
    """One blank that is the whole board is a piece, and no cut reaches a ruler."""
    board, _, _ = long_thin()
    cutting = taken_apart(layout_of(board, blank("top")))
    assert (cutting.cuts, len(cutting.pieces)) == ((), 1)
    assert along_edge(cutting, Axis.X) == []

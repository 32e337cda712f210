"""The cut tree as geometry."""

from decimal import Decimal

import pytest

from nester.verify import verify_document
from tests.nester.verify.plans import (
    WASTE,
    Doc,
    blank,
    board,
    codes,
    document,
    layout,
    mm,
    offcut,
    part,
    sheet,
    shop,
    simple,
    x,
    y,
)


def tree_of(doc: Doc) -> Doc:
    """Return the tree of the first layout."""
    return doc["layouts"][0]["tree"]  # type: ignore[no-any-return]


def test_pieces_and_kerf_fill_the_node() -> None:
    """A kerf that is a sixteenth short leaves a gap before the second piece."""
    doc = simple()
    tree_of(doc)["pieces"][1]["x"] += mm("1/16")
    assert codes(doc) == {"fill"}
    doc = simple()
    tree_of(doc)["pieces"][0]["length"] -= mm("1/16")
    assert "fill" in codes(doc)


def test_a_cut_goes_across_its_whole_piece() -> None:
    """A piece narrower than what it is cut from is a fault."""
    doc = simple()
    tree_of(doc)["pieces"][1]["width"] -= mm("1/16")
    assert "fill" in codes(doc)


def test_no_second_piece_where_the_kerf_reaches_the_end() -> None:
    """A cut 1/8 from the end leaves no second piece; 3/16 from the end it must leave one."""
    just = board(length="39 1/8")
    assert codes(simple(stock=just, tree=x("39", y("3 3/4", blank("front"), WASTE), None))) == set()
    past = board(length="39 1/16")
    assert codes(simple(stock=past, tree=x("39", y("3 3/4", blank("front"), WASTE), None))) == set()
    more = board(length="39 3/16")
    short = simple(stock=more, tree=x("39", y("3 3/4", blank("front"), WASTE), None))
    assert "fill" in codes(short)


def test_no_first_piece_where_the_cut_is_at_the_start() -> None:
    """A cut at the start of its node leaves only the second piece."""
    tree = x("0", None, y("3 3/4", blank("front"), WASTE))
    assert codes(simple(stock=board(length="39 1/8"), tree=tree)) == set()


def test_a_piece_that_the_kerf_swallows_is_a_fault() -> None:
    """A piece without size, or a cut without any piece, cannot be."""
    doc = simple()
    tree_of(doc)["cut"]["at"] = 0
    assert "fill" in codes(doc)
    doc = simple()
    tree_of(doc)["pieces"] = []
    assert "wrong-value" in codes(doc)


def test_cut_at_the_end_of_its_piece() -> None:
    """A cut where its piece ends cuts nothing."""
    doc = simple()
    tree_of(doc)["cut"]["at"] = mm("60")
    assert "cut-inside" in codes(doc)


def test_a_node_has_a_use_or_a_cut() -> None:
    """Both, or neither, is a fault."""
    doc = simple()
    tree_of(doc)["use"] = {"kind": "waste"}
    assert "unknown-key" in codes(doc)
    doc = simple()
    del tree_of(doc)["pieces"][1]["use"]
    assert "missing-key" in codes(doc)


def test_the_root_is_the_bounding_box() -> None:
    """A tree that begins away from end A, or is not all of the stock, is a fault."""
    for key in ("x", "y", "length", "width"):
        doc = simple()
        tree_of(doc)[key] += mm("1/16")
        assert "root" in codes(doc)


def test_both_sides_of_the_kerf_lie_on_the_grid() -> None:
    """A blank may be larger than needed, but only by whole steps of the grid."""
    assert codes(simple(tree=x("39 1/16", y("3 3/4", blank("front"), WASTE), WASTE))) == set()
    off = simple(tree=x("39 1/32", y("3 3/4", blank("front"), WASTE), WASTE))
    assert codes(off) == {"grid"}


def test_the_true_edge_may_lie_off_the_grid() -> None:
    """The last piece of a row runs to the stock's edge, wherever that is."""
    odd = board(length="60 1/32", width="6 3/64")
    assert codes(simple(stock=odd)) == set()
    whole = board(length="39 1/32", width="3 49/64")
    assert codes(simple(stock=whole, tree=blank("front"))) == set()


def test_kerfs_round_up_to_the_grid() -> None:
    """A kerf of 3/32 takes 1/8 on a grid of 1/16, and no other."""
    used = shop(kerf={"crosscut": "3/32"})
    assert codes(simple(of=used)) == set()
    doc = simple(of=used)
    tree_of(doc)["cut"]["kerf"] = mm("3/32")
    assert {"kerf", "grid"} <= codes(doc)


@pytest.mark.parametrize(
    ("surface", "saw", "kerf"),
    [
        ("rough", "rough_rip", "1/16"),
        ("skip planed", "rough_rip", "1/16"),
        ("S2S", "rip", "1/8"),
        ("S4S", "rip", "1/8"),
    ],
)
def test_saws_of_boards(surface: str, saw: str, kerf: str) -> None:
    """Boards are ripped rough until two sides are planed, and crosscut with the crosscut saw."""
    doc = simple(stock=board(surface=surface))
    assert codes(doc) == set()
    rip = tree_of(doc)["pieces"][0]["cut"]
    assert (rip["saw"], rip["kerf"]) == (saw, mm(kerf))
    rip["saw"] = "crosscut"
    assert codes(doc) == {"saw"}


def test_saws_of_sheets() -> None:
    """A sheet is cut with the sheet saw both ways, whose kerf is its own."""
    stock = sheet()
    top = part("top", "40", "20", material=["birch plywood"])
    used = shop(kerf={"sheet": "3/16"})
    tree = x("40", y("20", blank("top"), WASTE), offcut("BP18a"))
    doc = document([stock], [top], [layout(stock, tree, of=used)], of=used)
    # The offcut is 55 13/16 of 96 in long.
    doc["cost"] = doc["bound"] = Decimal("59.582")
    assert codes(doc) == set()
    tree_of(doc)["cut"]["saw"] = "crosscut"
    assert codes(doc) == {"saw"}


def test_cuts_are_numbered_in_an_order_that_can_be_cut() -> None:
    """Numbers run from 1 without a gap, each cut after the cut that frees its piece."""
    doc = simple()
    tree_of(doc)["cut"]["order"], tree_of(doc)["pieces"][0]["cut"]["order"] = 2, 1
    assert codes(doc) == {"order"}
    doc = simple()
    tree_of(doc)["pieces"][0]["cut"]["order"] = 3
    faults = verify_document(doc)
    assert [fault.code for fault in faults] == ["order"]
    assert faults[0].value == "1, 3"

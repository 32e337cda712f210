"""Stages: changes of direction between the whole piece and a blank."""

import pytest

from tests.nester.verify.plans import (
    TRIM,
    WASTE,
    Tree,
    blank,
    board,
    codes,
    document,
    layout,
    part,
    sheet,
    shop,
    simple,
    x,
    y,
)

THREE = x("45", y("4", x("39", blank("front"), WASTE), WASTE), WASTE)
FOUR = x("45", y("4", x("40", y("3 3/4", blank("front"), WASTE), WASTE), WASTE), WASTE)


@pytest.mark.parametrize(
    ("stages", "tree", "holds"),
    [
        (3, THREE, True),
        (2, THREE, False),
        (4, FOUR, True),
        (3, FOUR, False),
        (None, FOUR, True),
    ],
)
def test_stages_of_a_board(stages: int | None, tree: Tree, holds: bool) -> None:
    """Crosscut, rip, crosscut are three stages, one more rip makes four."""
    assert codes(simple(of=shop(stages=stages), tree=tree)) == (set() if holds else {"stages"})


def test_cuts_of_one_direction_are_one_stage() -> None:
    """Four crosscuts one after the other are still the first stage."""
    tree = x("50", x("45", x("42", x("39", FRONT, WASTE), WASTE), WASTE), WASTE)
    assert codes(simple(of=shop(stages=2), tree=tree)) == set()
    assert codes(simple(of=shop(stages=1), tree=tree)) == {"stages"}


FRONT = y("3 3/4", blank("front"), WASTE)


def test_an_empty_first_stage_counts() -> None:
    """Ripped and crosscut without a crosscut before, two stages of cuts count as three."""
    tree = y("3 3/4", x("39", blank("front"), WASTE), WASTE)
    assert codes(simple(of=shop(stages=3), tree=tree)) == set()
    assert codes(simple(of=shop(stages=2), tree=tree)) == {"stages"}
    ripped = shop(stages=2, first_cut="rip")
    assert codes(simple(of=ripped, tree=tree, first_cut="rip")) == set()


def test_trims_are_no_stages() -> None:
    """The crosscuts that trim the ends of a board ripped first add no stage."""
    used = shop(first_cut="rip", stages=2)
    rough = board(ends="rough", edges="rough")
    strips = y("1/16", TRIM, y("3 7/8", x("40", blank("front"), WASTE), WASTE))
    tree = x("7/8", TRIM, x("59", strips, TRIM))
    assert codes(simple(stock=rough, of=used, tree=tree, first_cut="rip")) == set()
    used = shop(first_cut="rip", stages=1)
    assert codes(simple(stock=rough, of=used, tree=tree, first_cut="rip")) == {"stages"}


def test_first_cut_is_the_shops() -> None:
    """A layout goes the shop's way, or says which way it goes where the shop says either."""
    tree = y("3 3/4", x("39", blank("front"), WASTE), WASTE)
    assert codes(simple(tree=tree, first_cut="rip")) == {"first-cut"}
    assert codes(simple(of=shop(first_cut="rip"), tree=tree)) == {"first-cut"}
    either = shop(first_cut="either", stages=2)
    assert codes(simple(of=either, tree=tree, first_cut="rip")) == set()
    assert codes(simple(of=either, tree=tree, first_cut="crosscut")) == {"stages"}


def test_stages_of_a_sheet() -> None:
    """A sheet has its own limit, and its first direction is whatever is cut first."""
    stock = sheet()
    top = part("top", "40", "20", material=["birch plywood"])
    tree = y("20", x("40", blank("top"), WASTE), WASTE)
    for limit, found in ((2, set()), (1, {"stages"})):
        used = shop(sheet_stages=limit, stages=1)
        laid = layout(stock, tree, of=used, first_cut="crosscut")
        assert codes(document([stock], [top], [laid], of=used)) == found

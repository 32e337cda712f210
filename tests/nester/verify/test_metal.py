"""Metal: no cut comes near."""

import pytest

from tests.nester.verify.plans import (
    TRIM,
    WASTE,
    blank,
    board,
    codes,
    flaw,
    outlined,
    shop,
    simple,
    x,
    y,
)


@pytest.mark.parametrize(
    ("at", "holds"),
    [("40 1/8", True), ("40 1/16", False), ("39 1/16", False)],
)
def test_clear_distance_from_a_crosscut(at: str, holds: bool) -> None:
    """The kerf ends at 39 1/8; a nail 1 in further is far enough, one 15/16 further is not."""
    nail = flaw("metal", at, "5", "1/8", "1/8")
    doc = simple(stock=board(flaws=[nail]))
    assert codes(doc) == (set() if holds else {"metal-clear"})


def test_clear_distance_from_a_rip() -> None:
    """Beyond the end of a rip the distance is measured from the corner of its kerf."""
    # The kerf ends at 39 in along, 3 13/16 across; 3/4 further and 1 in up is 1 1/4 away (3:4:5).
    nail = flaw("metal", "39 3/4", "4 13/16", "1/8", "1/8")
    stock, tree = board(length="39", flaws=[nail]), y("3 3/4", blank("front"), WASTE)
    assert codes(simple(stock=stock, of=shop(metal_clear="1 1/4"), tree=tree)) == set()
    near = simple(stock=stock, of=shop(metal_clear="1 5/16"), tree=tree)
    assert codes(near) == {"metal-clear"}


def test_true_shape_of_metal() -> None:
    """Of a slanted strap the true edge counts, not its bounding box."""
    # A triangle whose box touches the cut's kerf end at 39 1/8, but whose long side is far off.
    strap = outlined("metal", ("39 1/8", "6"), ("45", "0"), ("45", "6"))
    assert codes(simple(stock=board(flaws=[strap]))) == {"metal-clear"}
    strap = outlined("metal", ("40 1/8", "6"), ("45", "0"), ("45", "6"))
    assert codes(simple(stock=board(flaws=[strap]))) == set()


def test_trims_keep_clear_too() -> None:
    """A trim is a cut like any other."""
    nail = flaw("metal", "1/4", "5", "1/8", "1/8")
    tree = x("7/8", TRIM, x("59", x("40", y("3 3/4", blank("front"), WASTE), WASTE), TRIM))
    doc = simple(stock=board(ends="rough", flaws=[nail]), tree=tree)
    assert codes(doc) == {"metal-clear"}


def test_no_clearance_asked() -> None:
    """With a clearance of 0 a cut may pass along metal."""
    nail = flaw("metal", "39 1/8", "5", "1/8", "1/8")
    assert codes(simple(stock=board(flaws=[nail]), of=shop(metal_clear="0"))) == set()

"""What a board's edges lose: crook, rough edges, taper; and rips that are too short."""

from typing import Any

import pytest

from tests.nester.verify.plans import (
    TRIM,
    WASTE,
    Doc,
    Tree,
    blank,
    board,
    codes,
    document,
    layout,
    offcut,
    part,
    shop,
    simple,
    x,
    y,
)

CROOKED = board("K-1", "96", "9", crook="1/2")


def crooked(tree: Tree, *parts: Doc, first_cut: str = "crosscut") -> Doc:
    """Return a plan from a straight-edged board, 96 x 9, with a crook of 1/2."""
    used = shop(first_cut=first_cut)
    laid = layout(CROOKED, tree, of=used, first_cut=first_cut)
    return document([CROOKED], list(parts), [laid], of=used)


def test_crook_goes_with_the_square_of_the_length() -> None:
    """Half the board keeps a quarter of the crook: 48 of 96 loses 1/8, not 1/16, not 3/16."""
    rail = part("rail", "47", "4")

    def section(at: str) -> Tree:
        return x("48", y(at, TRIM, y("6", blank("rail"), WASTE)), WASTE)

    assert codes(crooked(section("1/16"), rail)) == set()
    assert "trim-size" in codes(crooked(section("0"), rail)) | codes(crooked(section("1/8"), rail))
    # 1/2 (49/96)² is just over 1/8, so 49 in lose 3/16.
    longer = x("49", y("1/16", TRIM, y("6", blank("rail"), WASTE)), WASTE)
    assert "trim-size" in codes(crooked(longer, rail))
    longer = x("49", y("1/8", TRIM, y("6", blank("rail"), WASTE)), WASTE)
    assert codes(crooked(longer, rail)) == set()


def test_crook_is_lost_once_a_section_not_once_a_part() -> None:
    """Two rails beside each other lose the crook of their section once, below the first."""
    rails = part("rail", "47", "4", count=2)
    once = y("1/16", TRIM, y("4 3/8", blank("rail", 1), y("8 11/16", blank("rail", 2), WASTE)))
    assert codes(crooked(x("48", once, WASTE), rails)) == set()
    again = y(
        "1/16",
        TRIM,
        y("4 3/8", blank("rail", 1), y("4 1/2", TRIM, y("8 13/16", blank("rail", 2), WASTE))),
    )
    assert "trim-place" in codes(crooked(x("48", again, WASTE), rails))


def test_crook_is_lost_before_the_first_rip() -> None:
    """A section that is ripped, or is a blank, without its trim is a fault; an offcut is not."""
    rail = part("rail", "47", "4")
    ripped = x("48", y("4 1/4", blank("rail"), WASTE), WASTE)
    assert codes(crooked(ripped, rail)) == {"straighten"}
    late = x("48", y("6", y("1/16", TRIM, blank("rail")), WASTE), WASTE)
    assert codes(crooked(late, rail)) == {"straighten"}
    whole = x("48", blank("rail"), WASTE)
    assert codes(crooked(whole, rail)) == {"straighten"}
    kept = x("48", y("1/16", TRIM, y("6", blank("rail"), WASTE)), offcut("K-1a"))
    assert "straighten" not in codes(crooked(kept, rail))


def test_a_straightened_piece_stays_straight() -> None:
    """What is crosscut again after straightening loses no more."""
    rails = part("rail", "22", "4", count=2)
    pair = x("23", blank("rail", 1), x("46 1/8", blank("rail", 2), WASTE))
    tree = x("48", y("1/16", TRIM, y("6", pair, WASTE)), WASTE)
    assert codes(crooked(tree, rails)) == set()


def test_rip_first_loses_the_whole_crook() -> None:
    """Ripped before any crosscut, the board loses all of its crook, 1/2."""
    rail = part("rail", "90", "4")
    strip = x("91", blank("rail"), WASTE)
    whole = y("7/16", TRIM, y("4 3/4", strip, WASTE))
    assert codes(crooked(whole, rail, first_cut="rip")) == set()
    less = y("3/8", TRIM, y("4 3/4", strip, WASTE))
    assert "trim-size" in codes(crooked(less, rail, first_cut="rip"))


def test_a_small_crook_takes_a_kerf() -> None:
    """A loss of less than the saw's kerf is the kerf: 1/16 rough, 1/8 at the fence."""
    tree = x("39", y("0", None, y("3 13/16", blank("front"), WASTE)), WASTE)
    assert codes(simple(stock=board(crook="1/64"), tree=tree)) == set()
    fence = x("39", y("0", None, y("3 7/8", blank("front"), WASTE)), WASTE)
    assert codes(simple(stock=board(crook="1/64", surface="S2S"), tree=fence)) == set()
    assert "straighten" in codes(simple(stock=board(crook="1/64")))


def edged(
    tree: Tree,
    width: str | tuple[str, str] = "6",
    piece: tuple[str, str] = ("38", "3 1/2"),
    **changes: Any,
) -> Doc:
    """Return a plan of the plinth front, or a part of another size, from a rough-edged board."""
    stock = board(width=width, edges="rough", **changes)
    return simple(stock=stock, tree=tree, length=piece[0], width=piece[1])


def test_rough_edges_lose_their_trim() -> None:
    """1/8 is lost below and above: of 4 in, 3 3/4 are left, not 3 13/16."""
    tree = x("39", y("1/16", TRIM, y("3 7/8", blank("front"), TRIM)), WASTE)
    assert codes(edged(tree, "4")) == set()
    wide = x("39", y("1/16", TRIM, y("3 15/16", blank("front"), None)), WASTE)
    assert "far-edge" in codes(edged(wide, "4"))
    to_edge = x("39", y("1/16", TRIM, blank("front")), WASTE)
    assert "far-edge" in codes(edged(to_edge, "4"))


def test_far_trim_is_just_its_loss() -> None:
    """A strip wider than the loss is ordinary waste, not a trim."""
    waste = x("39", y("1/16", TRIM, y("3 7/8", blank("front"), WASTE)), WASTE)
    assert codes(edged(waste, "6")) == set()
    called = x("39", y("1/16", TRIM, y("3 7/8", blank("front"), TRIM)), WASTE)
    assert "trim-size" in codes(edged(called, "6"))


def test_trim_and_crook_are_added_before_rounding() -> None:
    """1/8 and, of a crook of 1/64, 0.0066 over 39 of 60 in make 3/16."""
    tree = x("39", y("1/8", TRIM, y("3 15/16", blank("front"), WASTE)), WASTE)
    assert codes(edged(tree, crook="1/64")) == set()
    less = x("39", y("1/16", TRIM, y("3 7/8", blank("front"), WASTE)), WASTE)
    assert "trim-size" in codes(edged(less, crook="1/64"))


def test_taper_is_measured_over_the_blanks_own_length() -> None:
    """From 6 to 3 in over 60: at 40 in the width is 4, at 41 less."""
    tapered = board(width=("6", "3"))
    fits = simple(stock=tapered, tree=x("40", y("4", blank("front"), WASTE), WASTE))
    # The kerfs' wood past the taper is none: the yield is another sum, and is not asked here.
    assert codes(fits) - {"yield"} == set()
    longer = simple(stock=tapered, tree=x("41", y("4", blank("front"), WASTE), WASTE))
    assert "far-edge" in codes(longer)
    # Further from the narrow end there is more.
    far = simple(stock=board(width=("3", "6")), tree=x("20", WASTE, x("59 1/8", FRONT, WASTE)))
    assert codes(far) - {"yield"} == set()


FRONT = y("3 3/4", blank("front"), WASTE)


def test_far_trim_of_a_taper() -> None:
    """The far trim of a taper begins its loss below the narrowest width of what it is cut from."""
    tapered = ("7", "4")
    # At 40 in the width is 5, less 1/8 is 4 7/8.
    tree = x("40", y("1/16", TRIM, y("4 7/8", blank("front"), TRIM)), WASTE)
    assert codes(edged(tree, tapered)) - {"yield"} == set()
    high = x("40", y("1/16", TRIM, y("4 15/16", blank("front"), TRIM)), WASTE)
    assert codes(edged(high, tapered)) - {"yield"} == {"far-edge", "trim-size"}
    low = x("40", y("1/16", TRIM, y("4 13/16", blank("front"), TRIM)), WASTE)
    assert codes(edged(low, tapered)) - {"yield"} == {"trim-size"}


@pytest.mark.parametrize(("length", "holds"), [("12", True), ("11 15/16", False)])
def test_short_pieces_are_not_ripped(length: str, holds: bool) -> None:
    """A piece of 12 in may be ripped, a shorter one not."""
    used = shop(blank_extra_length="0", shortest_milled="1")
    tree = x(length, y("3 3/4", blank("front"), WASTE), WASTE)
    doc = simple(of=used, tree=tree, length="10")
    assert codes(doc) == (set() if holds else {"shortest-rip"})


def test_pieces_wider_than_long_are_not_ripped() -> None:
    """14 in of a board 14 1/4 wide is not ripped, 14 1/4 is; shortest_rip 0 lifts the rule."""
    wide = board(width="14 1/4")
    tree = x("14", y("3 3/4", blank("front"), WASTE), WASTE)
    assert codes(simple(stock=wide, tree=tree, length="10")) == {"shortest-rip"}
    assert codes(simple(stock=wide, tree=tree, length="10", of=shop(shortest_rip="0"))) == set()
    square = x("14 1/4", y("3 3/4", blank("front"), WASTE), WASTE)
    assert codes(simple(stock=wide, tree=square, length="10")) == set()


def test_trim_rips_are_not_rips() -> None:
    """A short piece that is only trimmed along its edges breaks no rule."""
    used = shop(blank_extra_length="0", shortest_milled="1")
    stock = board(width="4", edges="rough")
    tree = x("10", y("1/16", TRIM, y("3 7/8", blank("front"), TRIM)), WASTE)
    assert codes(simple(stock=stock, of=used, tree=tree, length="9")) == set()

"""Flaws in and near a blank, judged by quality."""

from typing import Any

import pytest

from tests.nester.verify.plans import (
    WASTE,
    Doc,
    blank,
    board,
    codes,
    document,
    flaw,
    layout,
    outlined,
    part,
    sheet,
    shop,
    simple,
    x,
    y,
)

# The blank of ``simple`` is 39 x 3 3/4 in, from end A and the near edge.


def with_flaws(*flaws: Doc, flipped: bool = False, **changes: Any) -> set[str]:
    """Return the faults of a plan whose board has flaws."""
    tree = x("39", y("3 3/4", blank("front", flipped=flipped), WASTE), WASTE)
    return codes(simple(stock=board(flaws=list(flaws)), tree=tree, **changes))


@pytest.mark.parametrize(
    ("quality", "face", "sound", "flipped", "holds"),
    [
        ("clear", "a", True, False, False),
        ("clear", "b", True, False, False),
        ("clear face", "a", True, False, False),
        ("clear face", "b", True, False, True),
        ("clear face", "a", True, True, True),
        ("clear face", "b", True, True, False),
        ("clear face", "both", True, False, False),
        ("clear face", "b", False, False, False),
        ("sound", "both", True, False, True),
        ("sound", "b", False, False, False),
        ("hidden", "both", True, False, True),
    ],
)
def test_faces(quality: str, face: str, sound: bool, flipped: bool, holds: bool) -> None:
    """Clear bears no flaw, clear face only sound ones on the face that does not show."""
    spot = flaw("pith", "10", "1", "1", "1", face=face, sound=sound)
    found = with_flaws(spot, flipped=flipped, quality=quality)
    assert found == (set() if holds else {"quality"})


def test_clear_face_with_stains_on_both_faces() -> None:
    """One stain on each face leaves no clear face, whichever shows."""
    stains = [
        flaw("stain", "10", "1", "1", "1", face="a", sound=True),
        flaw("stain", "20", "1", "1", "1", face="b", sound=True),
    ]
    assert with_flaws(*stains) == {"quality"}
    assert with_flaws(*stains, flipped=True) == {"quality"}
    assert with_flaws(*stains, quality="sound") == set()


@pytest.mark.parametrize(
    ("kind", "width", "holds"),
    [
        ("knot", "1 1/4", True),  # a third of the needed 3 3/4
        ("knot", "1 17/64", False),
        ("bark pocket", "1 1/4", True),
        ("worm hole", "1/8", True),
        ("rot", "1/8", False),
        ("check", "1/8", False),
        ("pith", "1/8", False),
        ("wane", "1/8", False),
        ("metal", "1/8", False),
        ("void", "1/8", False),
        ("other", "1/8", False),
    ],
)
def test_hidden_parts_bear_small_loose_knots(kind: str, width: str, holds: bool) -> None:
    """Hidden bears knots, bark pockets and worm holes no wider than a third of the blank."""
    spot = flaw(kind, "10", "1", "1", width)
    assert with_flaws(spot, quality="hidden") == (set() if holds else {"quality"})


def test_a_third_of_the_needed_width_not_of_the_rectangle() -> None:
    """A blank left wider than it must be bears no wider knot."""
    tree = x("39", y("4 1/2", blank("front"), WASTE), WASTE)
    for width, found in (("1 1/4", set()), ("1 3/8", {"quality"})):
        stock = board(flaws=[flaw("knot", "10", "1", "1", width)])
        assert codes(simple(stock=stock, tree=tree, quality="hidden")) == found


def test_a_knot_too_wide_keeps_its_margin() -> None:
    """A knot that hidden does not bear is kept 1/4 away, one that it bears may lie anywhere."""
    assert with_flaws(flaw("knot", "39 1/4", "1", "1", "2"), quality="hidden") == set()
    assert with_flaws(flaw("knot", "39 3/16", "1", "1", "2"), quality="hidden") == {"quality"}
    assert with_flaws(flaw("knot", "38 1/2", "1", "1", "1"), quality="hidden") == set()


@pytest.mark.parametrize(
    ("along", "across", "holds"),
    [
        ("39 1/4", "1", True),
        ("39 15/64", "1", False),
        ("10", "4", True),
        ("10", "3 63/64", False),
        ("39 1/4", "4", True),
        ("39 15/64", "3 63/64", False),  # the corner of the margin counts
    ],
)
def test_margin_round_an_unsound_flaw(along: str, across: str, holds: bool) -> None:
    """A knot 1/4 in from the blank is far enough, one 15/64 in from it is not."""
    assert with_flaws(flaw("knot", along, across, "1", "1")) == (set() if holds else {"quality"})


def test_sound_flaws_have_no_margin() -> None:
    """A stain may abut a clear part."""
    stain = flaw("stain", "39", "1", "1", "1", sound=True)
    assert with_flaws(stain, quality="clear") == set()
    stain = flaw("stain", "38 63/64", "1", "1", "1", sound=True)
    assert with_flaws(stain, quality="clear") == {"quality"}


@pytest.mark.parametrize("kind", ["wane", "void"])
def test_wane_and_voids_have_no_margin(kind: str) -> None:
    """Wane and voids may abut a part, but not reach into it."""
    assert with_flaws(flaw(kind, "10", "3 3/4", "5", "2")) == set()
    assert with_flaws(flaw(kind, "10", "3 47/64", "5", "2")) == {"quality"}


@pytest.mark.parametrize("kind", ["check", "split", "shake"])
def test_splits_run_on_along_the_grain(kind: str) -> None:
    """A split is kept 1 in away along the grain, and may abut across it."""
    assert with_flaws(flaw(kind, "40", "1", "1", "1/8")) == set()
    assert with_flaws(flaw(kind, "39 63/64", "1", "1", "1/8")) == {"quality"}
    assert with_flaws(flaw(kind, "10", "3 3/4", "5", "1/8")) == set()
    assert with_flaws(flaw(kind, "10", "3 47/64", "5", "1/8")) == {"quality"}


@pytest.mark.parametrize(
    ("grain", "along", "across"),
    [("length", True, False), ("width", False, True), ("none", True, True)],
)
def test_splits_in_a_sheet(grain: str, along: bool, across: bool) -> None:
    """In a sheet a split runs on with the face grain, without one either way."""
    top = part("top", "40", "20", material=["birch plywood"], grain="any")
    tree = x("40", y("20", blank("top"), WASTE), WASTE)
    for place, caught in ((("40 1/2", "5"), along), (("5", "20 1/2"), across)):
        stock = sheet(grain=grain, flaws=[flaw("split", *place, "1", "1")])
        found = codes(document([stock], [top], [layout(stock, tree)]))
        assert found == ({"quality"} if caught else set())


def test_allowed_kinds() -> None:
    """A kind that the part allows counts nowhere, sound or not, and has no margin."""
    sapwood = flaw("sapwood", "0", "0", "39", "1", sound=True)
    assert with_flaws(sapwood, quality="clear", allow=["sapwood"]) == set()
    assert with_flaws(sapwood, quality="clear", allow=["stain"]) == {"quality"}
    knot = flaw("knot", "10", "1", "1", "1")
    assert with_flaws(knot, allow=["knot"]) == set()


@pytest.mark.parametrize("kind", ["metal", "void"])
def test_metal_and_voids_are_never_allowed(kind: str) -> None:
    """What ruins the knives, or is no wood, is in the way of every part."""
    spot = flaw(kind, "10", "1", "1/4", "1/4")
    assert with_flaws(spot, quality="hidden", allow=[kind]) == {"quality"}


def test_the_whole_rectangle_is_judged() -> None:
    """A flaw in what the blank has beyond its needed size counts too."""
    tree = x("45", y("3 3/4", blank("front"), WASTE), WASTE)
    stock = board(flaws=[flaw("rot", "43", "1", "1", "1")])
    assert codes(simple(stock=stock, tree=tree)) == {"quality"}


def test_true_shape_of_an_outline() -> None:
    """Wane whose bounding box covers the blank, but whose slanted edge passes it, is no fault.

    The edge runs from (30, 6) to (60, 2): at 39 in it is at 6 - 9 * 4/30 = 4.8 in.
    """
    wane = outlined("wane", ("30", "6"), ("60", "2"), ("60", "6"))
    assert with_flaws(wane) == set()
    # From (20, 6) to (60, 0) it is at 6 - 19 * 6/40 = 3.15 in at the blank's end.
    wane = outlined("wane", ("20", "6"), ("60", "0"), ("60", "6"))
    assert with_flaws(wane) == {"quality"}
    # From (24, 6) to (64, 0) it passes just through the blank's corner, (39, 3 3/4).
    wane = outlined("wane", ("24", "6"), ("64", "0"), ("64", "6"))
    assert with_flaws(wane) == set()
    wane = outlined("wane", ("23 63/64", "6"), ("63 63/64", "0"), ("63 63/64", "6"))
    assert with_flaws(wane) == {"quality"}


def test_margin_is_measured_to_the_true_shape() -> None:
    """A slanted knot is kept 1/4 from the blank's rectangle as it is, not from its box."""
    # Through the corner of the margin, (39 1/4, 4): from (37 1/4, 6) to (41 1/4, 2).
    knot = outlined("knot", ("37 1/4", "6"), ("41 1/4", "2"), ("41 1/4", "6"))
    assert with_flaws(knot) == set()
    knot = outlined("knot", ("37 15/64", "6"), ("41 15/64", "2"), ("41 15/64", "6"))
    assert with_flaws(knot) == {"quality"}


def test_a_blank_inside_an_outline() -> None:
    """A flaw that goes all round a blank touches it, though none of its edges does."""
    stain = outlined("rot", ("0", "0"), ("60", "0"), ("60", "6"), ("0", "6"))
    assert with_flaws(stain) == {"quality"}


def test_margins_are_the_shops() -> None:
    """A shop without margins lets flaws abut."""
    knot = flaw("knot", "39", "1", "1", "1")
    split = flaw("split", "39", "1", "1", "1")
    bare = shop(flaw_margin="0", split_margin="0")
    assert codes(simple(stock=board(flaws=[knot, split]), of=bare)) == set()


def test_all_blanks_are_judged() -> None:
    """One flaw between two blanks is a fault of each that it is too near to."""
    stock = board(width="8", flaws=[flaw("knot", "10", "3 3/4", "1", "1/16")])
    tree = x("39", y("3 3/4", blank("front", 1), y("7 9/16", blank("front", 2), WASTE)), WASTE)
    doc = simple(stock=stock, tree=tree, count=2)
    assert codes(doc) == {"quality"}

"""Thickness: what warp and planing leave of a board."""

from fractions import Fraction
from math import sqrt
from typing import Any

import pytest

from nester.verify.read_stock import read_stock
from nester.verify.records import Stock
from nester.verify.thickness import warp
from tests.nester.verify.plans import (
    WASTE,
    Doc,
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


def stock_of(entry: Doc) -> Stock:
    """Return a stock entry as the checker reads it."""
    found = read_stock([entry], [])
    assert found is not None
    return found[entry["id"]]


def rail(stock: Doc, length: str, width: str = "3 3/4", **changes: Any) -> Doc:
    """Return a plan of one part whose blank is ``length`` x ``width`` in, exactly as needed."""
    tree = x(length, y(width, blank("front"), WASTE), WASTE)
    changes.setdefault("blank_extra_length", "0")
    changes.setdefault("blank_extra_width", "0")
    return simple(stock=stock, tree=tree, length=length, width=width, **changes)


def test_bow_of_half_an_inch_over_eight_feet() -> None:
    """1 in with 1/8 planed leaves 3/4 over 48 in, where a quarter of the bow is left, not over 49.

    1 - 1/8 - 1/2 (48/96)² is 3/4.
    """
    bowed = board(length="96", bow="1/2")
    assert codes(rail(bowed, "48")) == set()
    assert codes(rail(bowed, "49")) == {"thickness"}
    assert codes(rail(bowed, "48 1/16")) == {"thickness"}


def test_needed_size_counts_not_the_rectangle() -> None:
    """A blank that is left longer than it must be is judged by what it must be."""
    bowed = board(length="96", bow="1/2")
    tree = x("60", y("3 3/4", blank("front"), WASTE), WASTE)
    assert codes(simple(stock=bowed, tree=tree, length="47")) == set()
    assert codes(simple(stock=bowed, tree=tree, length="47 1/16")) == {"thickness"}


def test_cup_goes_with_the_square_of_the_width() -> None:
    """Half the width of a board cupped 1/2 keeps 1/8: a strip 4 wide of 8, not 4 1/16."""
    cupped = board(width="8", cup="1/2")
    assert codes(rail(cupped, "39", "4")) == set()
    assert codes(rail(cupped, "39", "4 1/16")) == {"thickness"}


def test_twist_goes_with_length_and_width() -> None:
    """Half the length and half the width of a board twisted 1/2 keep 1/8."""
    twisted = board(length="96", width="8", twist="1/2")
    assert codes(rail(twisted, "48", "4")) == set()
    assert codes(rail(twisted, "48 1/16", "4")) == {"thickness"}
    assert codes(rail(twisted, "48", "4 1/16")) == {"thickness"}


def test_warps_add() -> None:
    """Bow 1/4, cup 1/8 and twist 1/8 keep 1/16, 1/32 and 1/32 over half the length and width."""
    warped = board(length="96", width="8", bow="1/4", cup="1/8", twist="1/8")
    assert codes(rail(warped, "48", "4")) == set()
    assert codes(rail(warped, "48 1/16", "4")) == {"thickness"}


def test_width_of_the_board_is_its_wider_end() -> None:
    """A board cupped 1/2 tapers from 8 to 6: a strip of 4 keeps 1/8."""
    tapered = board(width=("8", "6"), cup="1/2")
    assert "thickness" not in codes(rail(tapered, "39", "4"))
    assert "thickness" in codes(rail(tapered, "39", "4 1/16"))


def test_a_turned_part_bows_along_the_board() -> None:
    """Its width lies along the grain: 48 in of width keep a quarter of the bow."""
    bowed = board(length="96", width="12", bow="1/2")
    tree = x("48", blank("front", turned=True), WASTE)
    turned: Doc = {"grain": "width", "length": "11", "blank_extra_width": "0", "tree": tree}
    assert codes(simple(stock=bowed, width="48", **turned)) == set()
    tree = x("48 1/16", blank("front", turned=True), WASTE)
    turned["tree"] = tree
    assert codes(simple(stock=bowed, width="48 1/16", **turned)) == {"thickness"}


def test_pulled_flat() -> None:
    """1/32 in of bow per foot is not charged: over 48 in 1/8, so a bow of 1 in leaves 1/8 to pay.

    1 (48/96)² - 4/32 is 1/8.
    """
    bowed = board(length="96", bow="1")
    assert codes(rail(bowed, "48")) == {"thickness"}
    assert codes(rail(bowed, "48", pulled_flat=True)) == set()
    assert codes(rail(bowed, "48 1/16", pulled_flat=True)) == {"thickness"}


def test_pulled_flat_gives_no_thickness() -> None:
    """A part is spared bow, never cup or twist, and never gains from a flat board."""
    flat = board(thickness="7/8")
    assert codes(simple(stock=flat, pulled_flat=True)) == set()
    thin = board(thickness="55/64")
    assert codes(simple(stock=thin, pulled_flat=True)) == {"thickness"}
    cupped = board(thickness="7/8", cup="1/64")
    assert codes(simple(stock=cupped, pulled_flat=True)) == {"thickness"}


@pytest.mark.parametrize(
    ("surface", "thickness", "holds"),
    [
        ("rough", "7/8", True),
        ("rough", "55/64", False),
        ("skip planed", "13/16", True),
        ("skip planed", "51/64", False),
        ("S2S", "3/4", True),
        ("S2S", "47/64", False),
    ],
)
def test_plane_off_goes_by_the_surface(surface: str, thickness: str, holds: bool) -> None:
    """3/4 is planed from 7/8 rough, 13/16 skip planed, or taken as it is."""
    doc = simple(stock=board(surface=surface, thickness=thickness))
    assert codes(doc) == (set() if holds else {"thickness"})


def test_a_parts_own_plane_off() -> None:
    """A part that needs more or less planing says so."""
    assert codes(simple(stock=board(thickness="13/16"), plane_off="1/16")) == set()
    assert codes(simple(plane_off="1/4")) == set()
    assert codes(simple(plane_off="17/64")) == {"thickness"}


def test_thick_spare() -> None:
    """From rough stock a part of 3/4 comes out of 1 5/8 at most, with 3/4 to spare."""
    assert codes(simple(stock=board(thickness="1 5/8"))) == set()
    assert codes(simple(stock=board(thickness="1 41/64"))) == {"thick-spare"}
    assert codes(simple(stock=board(thickness="1 41/64"), plane_off="9/64")) == set()
    assert codes(simple(stock=board(thickness="2"), of=shop(thick_spare="1 1/8"))) == set()


def test_sheets_are_not_planed() -> None:
    """No rule of warp or planing is asked of a sheet."""
    stock = sheet(thickness="1/2", nominal="1/2")
    back = part("back", "40", "20", "1/2", material=["birch plywood"], plane_off="1/8")
    tree = x("40", y("20", blank("back"), WASTE), WASTE)
    used = shop(thick_spare="0")
    assert codes(document([stock], [back], [layout(stock, tree, of=used)], of=used)) == set()


@pytest.mark.parametrize("share", [Fraction(1, 4), Fraction(1, 3), Fraction(1, 2), Fraction(3, 4)])
@pytest.mark.parametrize(("length", "bow"), [("96", "1/2"), ("144", "3/4"), ("94 1/2", "15/32")])
def test_bow_against_the_circle(length: str, bow: str, share: Fraction) -> None:
    """A bowed board is nearly an arc; a piece of it rises as the arc's geometry says.

    Radius of an arc of chord c and rise h: R = c²/(8 h) + h/2; rise of a shorter chord:
    R - sqrt(R² - c²/4) (any book of geometry). For arcs so flat the square law is within
    1/1000 in.
    """
    stock = stock_of(board(length=length, bow=bow))
    rise, chord = stock.bow / 8128, stock.length / 8128
    radius = chord**2 / (8 * rise) + rise / 2
    short = float(share) * chord
    exact = radius - sqrt(radius**2 - short**2 / 4)
    found = warp(stock, int(share * stock.length), 0, pulled_flat=False)
    assert abs(float(found) / 8128 - exact) < 0.001

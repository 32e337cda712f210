"""Warp and planing: a fit and a just-not-fit of each.

The shares go by the sagitta of a shallow arc, s = c**2 / 8R for a chord c on a radius R (plane
geometry, in any handbook): over half the length a bow is a quarter.
"""

from dataclasses import replace
from fractions import Fraction
from math import sqrt

import pytest

from inventory.length import INCH
from inventory.stock import Board
from nester.blanks import fits_flat, longest_flat, plane_off, thickness_left
from tests.nester.maker import board, fits, part, read, shop

LONG = {"length": "96", "width": "6"}


@pytest.mark.parametrize(
    ("stock", "good", "bad"),
    [
        pytest.param(
            # 1 - 1/8 planed - 1/2 x (48/96)^2 = 3/4
            board(**LONG, surface="rough", bow="1/2"),
            part(length="48"),
            part(length="49"),
            id="bow, the issue of a long board that gives short parts",
        ),
        pytest.param(
            board(**LONG, surface="rough", bow="1/2"),
            part(length="48"),
            part(length="48 1/16"),
            id="bow, to the sixteenth",
        ),
        pytest.param(
            # 25/32 - 1/8 x (4/8)^2 = 3/4
            board(length="60", width="8", thickness="25/32", cup="1/8"),
            part(width="4"),
            part(width="4 1/16"),
            id="cup",
        ),
        pytest.param(
            # 13/16 - 1/4 x 30/60 x 3/6 = 3/4
            board(length="60", width="6", thickness="13/16", twist="1/4"),
            part(length="30", width="3"),
            part(length="30 1/16", width="3"),
            id="twist along",
        ),
        pytest.param(
            board(length="60", width="6", thickness="13/16", twist="1/4"),
            part(length="30", width="3"),
            part(length="30", width="3 1/16"),
            id="twist across",
        ),
        pytest.param(
            # W is the wider end: 25/32 - 1/8 x (4/8)^2 = 3/4, wherever the blank lies
            board(length="60", width=["8", "5"], thickness="25/32", cup="1/8"),
            part(width="4"),
            part(width="4 1/16"),
            id="cup of a tapered board",
        ),
        pytest.param(
            # What each kind of warp costs adds up: 1/32 + 1/32 + 1/16
            board(length="60", width="6", thickness="7/8", bow="1/8", cup="1/8", twist="1/4"),
            part(length="30", width="3"),
            part(length="30 1/16", width="3"),
            id="all together",
        ),
    ],
)
def test_warp(stock: str, good: str, bad: str) -> None:
    """A blank fits where just its thickness is left flat, and not where it is a hair larger."""
    assert fits(stock, good)
    assert not fits(stock, bad)


@pytest.mark.parametrize(
    ("surface", "good", "bad"),
    [
        ("rough", "7/8", "57/64"),
        ("skip planed", "15/16", "61/64"),
        ("S2S", "1", "1 1/64"),
        ("S4S", "1", "1 1/64"),
    ],
)
def test_planing_by_surface(surface: str, good: str, bad: str) -> None:
    """From 1 in, rough wood loses 1/8 and skip planed 1/16 to lie flat; planed wood nothing."""
    stock = board(surface=surface, thickness="1")
    assert fits(stock, part(thickness=good))
    assert not fits(stock, part(thickness=bad))


def test_the_parts_own_planing() -> None:
    """A part may say what planing takes; that goes before the shop's figure, nought too."""
    stock = board(surface="rough", thickness="3/4")
    assert fits(stock, part(thickness="3/4", plane_off=0))
    assert not fits(stock, part(thickness="3/4"))
    assert fits(stock, part(thickness="1/2", plane_off="1/4"))
    assert not fits(stock, part(thickness="33/64", plane_off="1/4"))


def test_the_shops_planing() -> None:
    """The shop may say it too, surface by surface; the others keep their figures."""
    habits = shop(plane_off={"rough": "1/4"})
    assert fits(board(surface="rough"), part(thickness="3/4"), habits)
    assert not fits(board(surface="rough"), part(thickness="49/64"), habits)
    assert fits(board(surface="skip planed"), part(thickness="15/16"), habits)


@pytest.mark.parametrize("pulled", [False, True])
def test_pulled_flat(pulled: bool) -> None:
    """1/2 in of bow over 96 is 1/8 over 4 ft, which the assembly pulls straight at 1/32 a foot."""
    stock = board(**LONG, thickness="3/4", bow="1/2")
    assert fits(stock, part(length="48", pulled_flat=pulled)) is pulled
    # Over 49 in the bow is 0.1303, of which 0.1276 is pulled: something is left, nothing to spare.
    assert not fits(stock, part(length="49", pulled_flat=pulled))
    # Bow only: cup and twist are not pulled.
    assert not fits(board(thickness="3/4", cup="1/64"), part(pulled_flat=pulled))


def test_thick_spare() -> None:
    """2 in planed wood gives 1 1/4 in parts at 3/4 in to spare, but nothing thinner."""
    stock = board(thickness="2")
    assert fits(stock, part(thickness="1 1/4"))
    assert not fits(stock, part(thickness="1 15/64"))
    assert fits(stock, part(thickness="1"), shop(thick_spare="1"))
    # Planing counts as used, warp does not: 2 1/8 - 1/8 - 1 1/4 = 3/4.
    assert fits(board(thickness="2 1/8", surface="rough"), part(thickness="1 1/4"))
    assert not fits(board(thickness="2 5/32", surface="rough", bow="1/8"), part(thickness="1 1/4"))


def test_warp_is_judged_on_the_needed_size() -> None:
    """With 1 in of allowance the bow is charged over 48 in for a part of 47 in."""
    stock = board(**LONG, surface="rough", bow="1/2")
    habits = shop(blank_extra_length=1)
    assert fits(stock, part(length="47"), habits)
    assert not fits(stock, part(length="47 1/16"), habits)


def test_a_turned_part_counts_its_width_along_the_grain() -> None:
    """A part with grain across it lies turned: its width runs along the bow."""
    stock = board(length="96", width="10", surface="rough", bow="1/2")
    assert fits(stock, part(length="10", width="48", grain="width"))
    assert not fits(stock, part(length="10", width="49", grain="width"))


def bowed(**keys: object) -> Board:
    """Return a board of 96 x 8 x 1 as a record."""
    _, (item,) = read(board(**{"length": "96", "width": "8", **keys}), part(), shop())
    assert isinstance(item, Board)
    return item


@pytest.mark.parametrize("share", [Fraction(1, 2), Fraction(1, 3), Fraction(2, 7)])
def test_bow_follows_a_circle(share: Fraction) -> None:
    """The rule's bow over part of a board is the sagitta of the same circle over that chord."""
    length, bow = 96.0, 0.5
    radius = length**2 / (8 * bow) + bow / 2
    chord = length * float(share)
    exact = radius - sqrt(radius**2 - (chord / 2) ** 2)
    item = bowed(bow="1/2")
    lost = item.thickness - thickness_left(item, 0, round(item.length * share), 0)
    # The rule is the parabola; on so shallow an arc it is off by under a thousandth.
    assert float(lost) / INCH == pytest.approx(exact, rel=1e-3)


def test_thickness_left_is_exact() -> None:
    """The figure is a fraction, neither rounded up nor down."""
    item = bowed(bow="1/2")
    third = thickness_left(item, INCH // 8, item.length // 3, 0)
    assert third == INCH - INCH // 8 - Fraction(INCH, 2) / 9


@pytest.mark.parametrize(
    ("keys", "width", "expected"),
    [
        ({"surface": "rough", "bow": "1/2"}, 6, 48),
        ({"surface": "rough"}, 6, 96),
        ({"surface": "rough", "thickness": "3/4"}, 6, 0),
        ({"surface": "rough", "cup": "1/2"}, 4, 96),  # 1/2 x (4/8)^2 = 1/8: just
        ({"surface": "rough", "cup": "1/2", "bow": "1/2"}, 4, 0),
        ({"surface": "rough", "twist": "1/2"}, 4, 48),  # 1/2 x 4/8 x 48/96 = 1/8
        # 1/8 - 1/2 x (l/96)^2 - 1/2 x 4/8 x l/96 = 0: l = 96 (sqrt(5) - 1) / 4 = 29.67
        ({"surface": "rough", "bow": "1/2", "twist": "1/2"}, 4, 29.625),
    ],
)
def test_longest_flat(keys: dict[str, object], width: int, expected: float) -> None:
    """The longest blank that a board gives flat at 3/4 in, by the quadratic it solves."""
    _, (item,) = read(board(**{"length": "96", "width": "8", **keys}), part(), shop())
    assert isinstance(item, Board)
    project, _ = read(board(), part(), shop())
    grid = project.shop.grid
    off = plane_off(None, item, project.shop)
    found = longest_flat(item, off, 3 * INCH // 4, width * INCH, grid)
    assert found == int(expected * INCH)
    if 0 < found < item.length:
        assert thickness_left(item, off, found, width * INCH) >= 3 * INCH // 4
        assert thickness_left(item, off, found + grid, width * INCH) < 3 * INCH // 4


@pytest.mark.parametrize(
    ("off", "pulled", "expected"),
    [
        # 1 - 1/8 - 1/2 (l/96)^2 = 3/4 at 48; planed by 1/16 only there is 3/16 to spare:
        # l = 96 sqrt(3/8) = 58.79
        ("1/8", False, 48),
        ("1/16", False, 58.75),
        # Pulled flat, l/12 x 1/32 of the bow is not charged: l^2/18432 - l/384 = 1/8, so
        # l = (48 + sqrt(48^2 + 4 x 2304)) / 2 = 77.67
        ("1/8", True, 77.625),
        # The whole bow of 1/2 less 8 x 1/32 is 1/4: all of 96 in once 1/4 is to spare.
        ("0", True, 96),
        ("1/4", True, 48),  # nothing to spare: as long as the bow is not charged, 48 in
    ],
)
def test_longest_flat_of_a_part_with_its_own_ways(off: str, pulled: bool, expected: float) -> None:
    """What is planed off, and whether the assembly pulls the part straight, count."""
    item = bowed(surface="rough", bow="1/2")
    lost = int(Fraction(off) * INCH)
    found = longest_flat(item, lost, 3 * INCH // 4, 0, INCH // 16, pulled)
    assert found == int(expected * INCH)


def test_fits_flat_goes_by_the_exact_figure() -> None:
    """One unit, 1/320 mm, of thickness too little is too little."""
    project, _ = read(board(), part(), shop())
    item = bowed(surface="rough", bow="1/2")
    rail = project.parts[0]
    assert fits_flat(rail, item, project.shop, 48 * INCH, 0)
    thinner = replace(item, thickness=item.thickness - 1)
    assert not fits_flat(rail, thinner, project.shop, 48 * INCH, 0)

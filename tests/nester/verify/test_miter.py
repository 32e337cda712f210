"""The wood lost at a joint, against tables of cosines and against squares."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.length import INCH, MM
from nester.verify.miter import cosine_bounds, joint_loss, pi_bounds

# Natural cosines as any table prints them, from memory (Abramowitz and Stegun 1964, table 4.10).
COSINES = [
    (Fraction(15), "0.96592583"),
    (Fraction("22.5"), "0.92387953"),
    (Fraction(30), "0.86602540"),
    (Fraction(36), "0.80901699"),
    (Fraction(45), "0.70710678"),
    (Fraction(75), "0.25881905"),
    (Fraction(89), "0.01745241"),
]


@pytest.mark.parametrize(("degrees", "cosine"), COSINES)
def test_cosines_as_tables_print_them(degrees: Fraction, cosine: str) -> None:
    """The bounds enclose the printed cosine to its last place."""
    low, high = cosine_bounds(degrees, 16)
    half = Fraction(1, 2 * 10**8)
    assert low <= high
    assert Fraction(cosine) - half <= low
    assert high <= Fraction(cosine) + half


def test_pi() -> None:
    """The bounds of pi enclose its first thirty decimals, as printed everywhere."""
    low, high = pi_bounds(24)
    pi = Fraction("3.141592653589793238462643383279")
    assert pi - Fraction(1, 10**30) < low < high < pi + Fraction(2, 10**30)


@pytest.mark.parametrize(
    ("kerf", "degrees", "loss"),
    [
        # Kerf over the cosine, 1/8 in: 0.1294, 0.1353, 0.1443, 0.1768 in; 3.2 mm: 3.464, 3.695,
        # 4.525 mm; 2.4 mm: 3.394 mm; 1.8 mm: 2.546 mm (derived, by a pocket calculator).
        (INCH // 8, "15", INCH * Fraction("0.1294")),
        (INCH // 8, "22.5", INCH * Fraction("0.1353")),
        (INCH // 8, "30", INCH * Fraction("0.1443")),
        (INCH // 8, "45", INCH * Fraction("0.1768")),
        (1024, "22.5", MM * Fraction("3.464")),
        (1024, "30", MM * Fraction("3.695")),
        (1024, "45", MM * Fraction("4.525")),
        (768, "45", MM * Fraction("3.394")),
        (576, "45", MM * Fraction("2.546")),
    ],
)
def test_kerf_along_the_face(kerf: int, degrees: str, loss: Fraction) -> None:
    """A tilted saw takes the kerf over the cosine of its tilt, rounded up to whole units."""
    half = Fraction(INCH, 20_000)
    assert loss - half <= joint_loss(kerf, Fraction(degrees), 0, 1) < loss + half + 1


@pytest.mark.parametrize(
    ("degrees", "trim", "sixteenths"),
    [
        ("45", 1, 4),  # 0.177 + 1/16 = 0.239 in
        ("22.5", 1, 4),  # an octagon: 0.198
        ("30", 1, 4),  # a hexagon: 0.207
        ("60", 1, 5),  # a triangle: 1/4 + 1/16, exactly on the grid
        ("60", 0, 4),
        ("0", 0, 2),
        ("0", 1, 3),
        ("45", 0, 3),
        ("89", 0, 115),  # 0.125 / 0.0174524 = 7.162 in
    ],
)
def test_loss_on_the_grid(degrees: str, trim: int, sixteenths: int) -> None:
    """Kerf of 1/8 in and a trim in sixteenths, rounded up once to the grid of 1/16 in."""
    sixteenth = INCH // 16
    found = joint_loss(2 * sixteenth, Fraction(degrees), trim * sixteenth, sixteenth)
    assert found == sixteenths * sixteenth


SIZES = st.integers(1, 10**6)


@given(SIZES, st.integers(0, 10**4), st.integers(1, 10**4))
def test_against_squares(kerf: int, trim: int, grid: int) -> None:
    """At 45, 30 and 22.5 degrees, squares decide: 1/cos² is 2, 4/3 and 4 - 2 sqrt 2."""
    for degrees, enough in (
        ("45", lambda room: room * room >= 2 * kerf * kerf),
        ("30", lambda room: 3 * room * room >= 4 * kerf * kerf),
        ("22.5", lambda room: _enough_for_an_octagon(room, kerf)),
    ):
        loss = joint_loss(kerf, Fraction(degrees), trim, grid)
        assert loss % grid == 0
        assert loss >= trim
        assert enough(loss - trim)
        assert loss - grid < trim or not enough(loss - grid - trim)


def _enough_for_an_octagon(room: int, kerf: int) -> bool:
    rest = 4 * kerf * kerf - room * room
    return rest <= 0 or rest * rest <= 8 * kerf**4


def test_no_kerf() -> None:
    """A saw that takes nothing loses only the trim."""
    assert joint_loss(0, Fraction(45), 500, 508) == 508
    assert joint_loss(0, Fraction(45), 0, 508) == 0

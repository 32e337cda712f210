"""Board feet, surface measure and value."""

from dataclasses import replace
from fractions import Fraction

import pytest

from inventory.length import FOOT, INCH, MM
from inventory.measure import (
    board_feet,
    board_feet_of,
    cubic_metres,
    square_feet,
    square_metres,
    surface_measure,
    tally_width,
    value_of,
    yard_tally,
)
from inventory.stock import Board, Per, Sheet

ROUGH = Board("1", "oak", 96 * INCH, 6 * INCH, 6 * INCH, INCH, INCH)
PLY = Sheet("2", "birch plywood", 96 * INCH, 48 * INCH, 18 * MM, 3 * INCH // 4)


def inches(text: str) -> int:
    """Return a length in inches such as "6 7/16"."""
    return int(sum((Fraction(part) for part in text.split()), Fraction(0)) * INCH)


@pytest.mark.parametrize(
    ("width", "feet", "measure"),
    [("6 1/2", 8, 4), ("8", 12, 8), ("10", 13, 11), ("7", 8, 5)],
)
def test_surface_measure_of_the_nhla_guide(width: str, feet: int, measure: int) -> None:
    """The examples of the illustrated guide to the NHLA grades: width x length / 12, rounded."""
    assert surface_measure(feet * FOOT, inches(width)) == measure


def test_a_fraction_of_a_foot_is_dropped() -> None:
    """6 7/16 in x 10 ft 9 in is tallied as 10 ft: 5.36, so 5 (guide to the NHLA grades)."""
    assert surface_measure(10 * FOOT + 9 * INCH, inches("6 7/16")) == 5


def test_halves_alternate() -> None:
    """Exactly a half goes up the first time and down the next (King, Elements of Woodwork)."""
    half = replace(ROUGH, length=8 * FOOT, width_a=inches("6 3/4"), width_b=inches("6 3/4"))
    assert surface_measure(half.length, half.width, half_up=True) == 5
    assert surface_measure(half.length, half.width, half_up=False) == 4
    assert yard_tally([half]) == 5
    assert yard_tally([replace(half, count=2)]) == 9
    assert yard_tally([half, ROUGH, half, half]) == 5 + 4 + 4 + 5


@pytest.mark.parametrize(
    ("width", "feet", "sold", "feet_board"),
    [("8", 12, "1 1/4", 10), ("6 1/2", 8, "2", 8), ("8", 12, "3/4", 8)],
)
def test_the_tally_is_surface_measure_times_thickness(
    width: str, feet: int, sold: str, feet_board: int
) -> None:
    """8 in x 12 ft of 5/4 is 10 bd ft, derived from the rule; under an inch counts as an inch."""
    board = Board("1", "oak", feet * FOOT, *[inches(width)] * 2, INCH, inches(sold))
    assert yard_tally([board]) == feet_board


@pytest.mark.parametrize(
    ("thickness", "width", "length", "feet"),
    [("1", "9", "96", 6), ("1 1/2", "9", "96", 9), ("1", "6", "96", 4), ("3/4", "6", "96", 4)],
)
def test_true_board_feet(thickness: str, width: str, length: str, feet: int) -> None:
    """Thickness x width x length / 144, as retail tables of board feet give it."""
    assert board_feet_of(inches(length), inches(width), inches(thickness)) == feet


def test_the_mean_width_of_a_taper_counts() -> None:
    """8 1/4 in at one end and 7 1/2 at the other is 7 7/8 all along."""
    board = replace(ROUGH, length=110 * INCH, width_a=inches("8 1/4"), width_b=inches("7 1/2"))
    assert board_feet(board) == Fraction(110) * Fraction(63, 8) / 144
    assert tally_width(board) == inches("7 3/4")


@pytest.mark.parametrize(
    ("per", "worth"),
    [
        (Per.PIECE, Fraction(10)),
        (Per.BOARD_FOOT, Fraction(40)),
        (Per.SQUARE_FOOT, Fraction(40)),
        (Per.SQUARE_METRE, 10 * Fraction("2.4384") * Fraction("0.1524")),
        (Per.CUBIC_METRE, 10 * Fraction("2.4384") * Fraction("0.1524") * Fraction("0.0254")),
    ],
)
def test_value_is_price_times_measure(per: Per, worth: Fraction) -> None:
    """An 8 ft board 6 in wide and an inch thick, at 10 by each measure."""
    assert value_of(replace(ROUGH, price=Fraction(10), per=per)) == worth


def test_what_is_paid_for_is_what_it_is_sold_as() -> None:
    """A board sold as 5/4 pays for 5/4 though it measures less; a sheet pays for its name."""
    assert board_feet(replace(ROUGH, sold_as=5 * INCH // 4)) == 5
    assert board_feet(PLY) == 32
    assert cubic_metres(PLY) == square_metres(PLY) * Fraction("0.01905")


def test_measures_agree() -> None:
    """A square foot is 0.09290304 square metres."""
    assert square_metres(PLY) == square_feet(PLY) * Fraction("0.09290304")
    assert square_feet(PLY) == 32

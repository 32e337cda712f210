"""Lengths, areas and money as they are printed."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.formatter import Formatter, Marks, board_feet, exact_number, exact_text, money
from inventory.length import FOOT, INCH, MM

INCHES = Formatter.of("in")
METRIC = Formatter.of("mm")


@pytest.mark.parametrize(
    ("length", "text"),
    [
        (23 * INCH + 3 * INCH // 8, "23 3/8"),
        (INCH // 16, "1/16"),
        (2 * INCH, "2"),
        (0, "0"),
        (-5 * INCH // 8, "-5/8"),
        (-(INCH + INCH // 2), "-1 1/2"),
        (INCH + INCH // 64, "1"),
        (INCH + INCH // 32, "1 1/16"),
    ],
)
def test_inches_at_the_nearest_sixteenth(length: int, text: str) -> None:
    """Fractions stand in lowest terms; from the middle between two marks it goes up."""
    assert INCHES.length(length) == text


@pytest.mark.parametrize(
    ("length", "text"),
    [
        (594 * MM, "594"),
        (594 * MM + 160, "594.5"),
        (594 * MM + 96, "594.5"),
        (79, "0"),
        (80, "0.5"),
    ],
)
def test_millimetres_at_the_nearest_half(length: int, text: str) -> None:
    """A millimetre tape is read to half a millimetre."""
    assert METRIC.length(length) == text


def test_the_tape_decides() -> None:
    """A coarser or finer tape prints to its own marks; odd marks go to the next halving."""
    length = 23 * INCH + 3 * INCH // 8 + INCH // 64
    assert Formatter("in", INCH // 64).length(length) == "23 25/64"
    assert Formatter("in", INCH // 4).length(length) == "23 1/2"
    assert Formatter("in", INCH // 10).step == INCH // 16
    assert Formatter("in", 1).step == INCH // 64
    assert Formatter("in", 3 * INCH).step == INCH // 2
    assert Formatter("mm", MM // 10).length(594 * MM + 96) == "594.3"


@pytest.mark.parametrize(
    ("formatter", "length", "text"),
    [
        (INCHES, 23 * INCH + 3 * INCH // 8, "23 3/8"),
        (INCHES, 594 * MM, "23 3/8 in full (594 mm)"),
        (INCHES, 6 * MM, "1/4 in scant (6 mm)"),
        (METRIC, 23 * INCH + 3 * INCH // 8, "593.5 mm full (23 3/8 in)"),
        (METRIC, 594 * MM + 96, "594.5 mm scant (594.3 mm, 23.398 in)"),
    ],
)
def test_a_length_off_the_tape_says_so_with_both_systems(
    formatter: Formatter, length: int, text: str
) -> None:
    """What lies on no mark is a little over or under one, and stands in brackets exactly."""
    assert formatter.full(length) == text
    assert formatter.shows(length) is ("(" not in text)


def test_tables_and_sizes() -> None:
    """The other ways to print: with a unit, for a table, downward, several at once."""
    assert INCHES.near(594 * MM) == "23 3/8 (594 mm)"
    assert METRIC.near(INCH) == "25.5 (1 in)"
    assert METRIC.near(25 * MM) == "25"
    assert INCHES.down(INCH + INCH // 32) == "1"
    assert METRIC.down(25 * MM + 159) == "25"
    assert INCHES.with_unit(INCH) == "1 in"
    assert INCHES.size(2 * INCH, INCH // 2) == "2 × 1/2"


def test_parts_for_a_drawn_fraction() -> None:
    """A drawing gets whole, numerator and denominator."""
    assert INCHES.marks(23 * INCH + 3 * INCH // 8) == Marks("23", 3, 8)
    assert INCHES.marks(INCH // 2) == Marks("", 1, 2)
    assert METRIC.marks(594 * MM + 160) == Marks("594.5")


def test_areas_money_and_board_feet() -> None:
    """Rounded to two places, halves up."""
    assert INCHES.area(8 * 4 * FOOT * FOOT) == "32.00 sq ft"
    assert METRIC.area(2440 * MM * 1220 * MM) == "2.98 m²"
    assert money(Fraction(84)) == "84.00"
    assert money(Fraction(1, 200)) == "0.01"
    assert money(Fraction(-1, 3)) == "-0.33"
    assert board_feet(Fraction(13, 3)) == "4.33 bd ft"


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (Fraction(23, 2), "11.5"),
        (Fraction(84), "84"),
        (Fraction(1, 1024), "0.0009765625"),
        (Fraction(100, 3), "100/3"),
        (Fraction(0), "0"),
    ],
)
def test_numbers_are_written_exactly(number: Fraction, text: str) -> None:
    """A decimal where one is exact, else a ratio."""
    assert exact_number(number) == text
    assert Fraction(text) == number


@pytest.mark.parametrize(
    ("thickness", "inch", "metric"),
    [
        (INCH, "4/4", "25.5 (1 in)"),
        (5 * INCH // 4, "5/4", "32 (1 1/4 in)"),
        (3 * INCH // 4, "3/4 in", "19 (3/4 in)"),  # under 4/4 nothing is named in quarters
        (15 * INCH // 16, "15/16 in", "24 (15/16 in)"),
        (27 * MM, "1 1/16 (27 mm)", "27 mm"),
    ],
)
def test_a_thickness_is_named_as_wood_is_sold(thickness: int, inch: str, metric: str) -> None:
    """In quarters of an inch from 4/4 on, else measured; common practice, no source."""
    assert INCHES.sold(thickness) == inch
    assert METRIC.sold(thickness) == metric


def test_exact_texts() -> None:
    """Inches in fractions to 1/64, millimetres where they are not exact."""
    assert exact_text(INCH + INCH // 64, "in") == "1 1/64"
    assert exact_text(594 * MM, "in") == "594 mm"
    assert exact_text(INCH // 64, "mm") == "0.396875"
    assert exact_text(1, "in") == "0.003125 mm"


@given(st.integers(-(10**7), 10**7), st.sampled_from([INCHES, METRIC]))
def test_the_nearest_mark_is_near(length: int, formatter: Formatter) -> None:
    """No mark is nearer than the one that is printed, and it is printed as itself."""
    mark = formatter.nearest(length)
    assert abs(mark - length) * 2 <= formatter.step
    assert formatter.shows(mark)
    assert formatter.full(mark) == formatter.length(length)

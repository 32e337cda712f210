"""Exact numbers."""

from decimal import Decimal
from fractions import Fraction

import pytest

from nester.verify.number import decimal, down, exact, mm, up, whole_units


@pytest.mark.parametrize(
    ("value", "length"),
    [
        (1, 320),
        (Decimal("25.4"), 8128),
        (25.4, 8128),
        (Decimal("0.396875"), 127),  # 1/64 in
        (Decimal("0.003125"), 1),
        (Decimal("0.003"), None),
        (Decimal("1e-30"), None),
        (True, None),
        ("1", None),
        (None, None),
        (float("nan"), None),
        (Decimal("sNaN"), None),
        (Decimal("Infinity"), None),
    ],
)
def test_units(value: object, length: int | None) -> None:
    """A length is read exactly, or not at all."""
    number = exact(value)
    assert (None if number is None else whole_units(number)) == length


@pytest.mark.parametrize("value", [Decimal("1e999999"), Decimal("1e-999999"), 10**100])
def test_monsters_are_refused(value: object) -> None:
    """Numbers out of all proportion are no numbers here."""
    assert exact(value) is None


def test_rounding_to_the_grid() -> None:
    """Up and down go to the grid's next line, and stay on it."""
    assert (up(508, 508), up(509, 508), up(Fraction(1, 3), 508)) == (508, 1016, 508)
    assert (down(508, 508), down(507, 508), down(Fraction(1017, 1), 508)) == (508, 0, 1016)
    assert up(0, 508) == 0


def test_numbers_as_text() -> None:
    """Lengths and amounts are printed plainly."""
    assert mm(8128) == "25.4 mm"
    assert mm(1) == "0.003125 mm"
    assert mm(Fraction(-320, 3)) == "-0.333333 mm"
    assert decimal(Fraction(20651, 1000), 3) == "20.651"
    assert decimal(Fraction(2000), 0) == "2000"
    assert decimal(Fraction(1, 100), 1) == "0"

"""A layout's own words."""

from fractions import Fraction

import pytest

from nester.layout import decimal_text


@pytest.mark.parametrize(
    ("money", "text"),
    [
        (Fraction(25), "25"),
        (Fraction(1, 2), "0.5"),
        (Fraction(7, 1200), "0.006"),  # 0.005833…
        (Fraction(496805, 1000), "496.805"),
        (Fraction(10**15 + 1, 3), "333333333333333.667"),  # more than a float holds
        (Fraction(1, 10_000), "0"),
        (Fraction(-3, 2), "-1.5"),
    ],
)
def test_money_of_a_layout_is_a_decimal_of_three_places(money: Fraction, text: str) -> None:
    """Whole numbers as such, no fraction and no zeros at the end."""
    assert decimal_text(money) == text

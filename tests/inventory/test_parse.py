"""Lengths as people write them."""

import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.formatter import exact_text
from inventory.length import FOOT, INCH, LONGEST, MM
from inventory.parse import (
    LengthError,
    Units,
    is_bare_fraction,
    is_quarters,
    parse_length,
    shown,
)

TWENTY_THREE_AND_THREE_EIGHTHS = 23 * INCH + 3 * INCH // 8


@pytest.mark.parametrize(
    "written",
    [
        23.375,
        Decimal("23.375"),
        Fraction(187, 8),
        "23.375",
        "23 3/8",
        "23-3/8",
        "23 - 3/8",
        " 23  3/8 ",
        '23 3/8"',
        "23 3/8 in",
        "23 3/8 inches",
        "23 3/8in.",
        "1' 11 3/8\"",
        "1'11-3/8\"",
        "1' - 11 3/8",
        "1 ft 11 3/8 in",
        "1 FOOT 11.375 Inches",
        "1′ 11 3/8″",
        "1’ 11 3/8”",
        "1' 11 3/8''",
        "23⅜",
        "23 ⅜",
        "23\u00a03⁄8",
        "23³⁄₈",
        "23–3/8",
    ],
)
def test_every_way_to_write_23_and_three_eighths(written: Any) -> None:
    """All forms a maker uses give one length."""
    assert parse_length(written, "in", round_up=True) == TWENTY_THREE_AND_THREE_EIGHTHS
    assert parse_length(written, "in", round_up=False) == TWENTY_THREE_AND_THREE_EIGHTHS


@pytest.mark.parametrize(
    ("written", "length"),
    [
        ("6'", 6 * FOOT),
        ("5 1/2'", 66 * INCH),
        ("6 ft", 6 * FOOT),
        ("594 mm", 594 * MM),
        ("59.4 cm", 594 * MM),
        ("0.594 m", 594 * MM),
        (".594 metres", 594 * MM),
        ("594MM", 594 * MM),
        ("¾ in", 3 * INCH // 4),
        ("23 3/8 in", TWENTY_THREE_AND_THREE_EIGHTHS),
    ],
)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_a_unit_of_its_own_holds_in_every_file(written: str, length: int, units: Units) -> None:
    """A text with a unit means the same in an inch file and a metric one."""
    assert parse_length(written, units, round_up=True) == length


def test_without_a_unit_the_file_decides() -> None:
    """A bare number is in the file's units."""
    assert parse_length(594, "mm", round_up=True) == 594 * MM
    assert parse_length("594", "mm", round_up=True) == 594 * MM
    assert parse_length(2, "in", round_up=True) == 2 * INCH
    assert parse_length("12 1/2", "mm", round_up=True) == 4000


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize(
    ("written", "quarters"), [("4/4", 4), ("5/4", 5), ("8 / 4", 8), ("16/4", 16)]
)
def test_a_thickness_in_quarters_is_inches_in_every_file(
    written: str, quarters: int, units: Units
) -> None:
    """ "5/4" is an inch and a quarter, in a metric file too."""
    assert parse_length(written, units, round_up=True, thickness=True) == quarters * INCH // 4


def test_three_quarters_is_no_name_of_lumber() -> None:
    """n/4 is a name only from 4/4 up, and only of a thickness."""
    assert parse_length("3/4", "mm", round_up=True, thickness=True) == 240
    assert parse_length("5/4", "mm", round_up=True) == 400
    assert is_quarters("5/4")
    assert not is_quarters("3/4")
    assert not is_quarters(1.25)


def test_a_decimal_between_two_units_rounds_as_asked() -> None:
    """0.1 in is 812.8 units: up for parts, down for stock, with no float in between."""
    assert parse_length(0.1, "in", round_up=True) == 813
    assert parse_length("0.1", "in", round_up=False) == 812
    assert parse_length(Decimal("0.1"), "in", round_up=False) == 812


def test_a_decimal_comma_only_where_it_is_asked_for() -> None:
    """ "59,4 cm" is read where semicolons part the cells, and refused with a word elsewhere."""
    assert parse_length("59,4 cm", "mm", round_up=True, decimal_comma=True) == 594 * MM
    assert parse_length("59.4 cm", "mm", round_up=True, decimal_comma=True) == 594 * MM
    with pytest.raises(LengthError, match="a comma stands in it") as caught:
        parse_length("59,4 cm", "mm", round_up=True)
    assert caught.value.accepted.startswith("a point")


@pytest.mark.parametrize(
    ("written", "code", "words"),
    [
        ("-3", "negative", "a length cannot be negative"),
        (-3, "negative", "a length cannot be negative"),
        ("-23 3/8 in", "negative", "a length cannot be negative"),
        ("−3 mm", "negative", "a length cannot be negative"),
        ("", "empty", "the length is empty"),
        ("   ", "empty", "the length is empty"),
        ("nan", "not-finite", "not a finite number"),
        ("-inf", "not-finite", "not a finite number"),
        (math.nan, "not-finite", "not a finite number"),
        (math.inf, "not-finite", "not a finite number"),
        (Decimal("-Infinity"), "not-finite", "not a finite number"),
        ("3/0", "over-zero", "the fraction is over zero"),
        ("23 3/0 in", "over-zero", "the fraction is over zero"),
        ("30.001 m", "too-long", "longer than 30 m"),
        (10**400, "too-long", "longer than 30 m"),
        (Decimal("1e999999"), "too-long", "longer than 30 m"),
        ("9" * 40, "too-long", "longer than 30 m"),
        ("3 furlong", "unknown-unit", 'unknown unit "furlong"'),
        ("3 inchs", "unknown-unit", 'unknown unit "inchs" (did you mean inches?)'),
        ("1e2", "unknown-unit", 'unknown unit "e2"'),
        (True, "wrong-type", "not a length"),
        (None, "wrong-type", "not a length"),
        ([1], "wrong-type", "not a length"),
        ("abc", "not-a-length", "not a length"),
        ("-", "not-a-length", "not a length"),
        ("1 2", "not-a-length", "not a length"),
        ("½½", "not-a-length", "not a length"),
        ("1" * 10_000, "not-a-length", "not a length"),
        ("1 5/4", "not-a-length", "the fraction after the whole number is 1 or more"),
        ("5' 14\"", "not-a-length", "the inches after the feet are 12 or more"),
        ("٣", "not-a-length", "not a length"),
    ],
)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_what_is_no_length_is_refused(written: Any, code: str, words: str, units: Units) -> None:
    """The error says what is wrong, what was found and what would be accepted."""
    with pytest.raises(LengthError) as caught:
        parse_length(written, units, round_up=True)
    assert caught.value.code == code
    assert str(caught.value) == words
    assert caught.value.accepted
    assert isinstance(caught.value, ValueError)


def test_30_m_is_the_longest() -> None:
    """The limit itself is still a length."""
    assert parse_length("30 m", "in", round_up=True) == LONGEST


def test_zero_is_a_fault_only_of_a_size() -> None:
    """A bow of 0 is good, a width of 0 is not, nor one that rounds down to it."""
    assert parse_length(0, "in", round_up=False) == 0
    for zero in (0, "0", "0 mm", "0.000001 mm"):
        with pytest.raises(LengthError, match="a size cannot be zero"):
            parse_length(zero, "in", round_up=False, size=True)


def test_a_bare_fraction_is_known() -> None:
    """A fraction without a unit is seen, so that a metric file can be warned of it."""
    assert is_bare_fraction("3/4")
    assert is_bare_fraction("23⅜")
    assert not is_bare_fraction("3/4 in")
    assert not is_bare_fraction("0.75")
    assert not is_bare_fraction(0.75)


def test_values_are_shown_as_their_user_knows_them() -> None:
    """A message quotes a value as it stands in the file."""
    assert shown(True) == "true"
    assert shown(Decimal("NaN")) == "nan"
    assert shown(None) == "nothing"
    assert shown({"a": 1}) == "a table"
    assert shown([1, "2", 3, 4, 5]) == "[1, 2, 3, 4, …]"
    assert shown(10**5000) == "a number of many digits"


@given(st.integers(0, LONGEST), st.sampled_from(["in", "mm"]), st.booleans())
def test_the_exact_text_is_read_back(length: int, units: Units, up: bool) -> None:
    """Every length has a text that gives it back, in either system, with no rounding."""
    assert parse_length(exact_text(length, units), units, round_up=up) == length


@given(st.integers(0, 98), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_inch_and_millimetre_entry_agree(whole: int, above: int, below: int) -> None:
    """An inch fraction and its exact millimetres (25.4 to the inch) are one length."""
    inches = whole + Fraction(above % below, below)
    written = f"{whole} {above % below}/{below}"
    in_inches = parse_length(written, "in", round_up=True)
    assert in_inches == parse_length(inches * Fraction("25.4"), "mm", round_up=True)
    assert in_inches == parse_length(f"{written} in", "mm", round_up=False)


@given(st.text(max_size=30))
def test_any_text_is_a_length_or_a_length_error(text: str) -> None:
    """Nothing else comes out, whatever stands in a file."""
    length, error = 0, None
    try:
        length = parse_length(text, "in", round_up=True)
    except LengthError as caught:
        error = caught
    assert 0 <= length <= LONGEST
    assert error is None or (str(error) and error.accepted)

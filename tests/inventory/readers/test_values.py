"""Single values out of a file."""

import datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from inventory.readers.values import (
    FieldError,
    nearest,
    to_choice,
    to_flag,
    to_list,
    to_members,
    to_name,
    to_nested,
    to_number,
    to_points,
    to_text,
    to_whole,
)


@pytest.mark.parametrize(
    ("value", "number"),
    [
        (11, Fraction(11)),
        (Decimal("11.50"), Fraction(23, 2)),
        (11.5, Fraction(23, 2)),
        ("11.50", Fraction(23, 2)),
        ("$11.50", Fraction(23, 2)),
        ("11.50 €", Fraction(23, 2)),
        ("100/3", Fraction(100, 3)),
        ("-2", Fraction(-2)),
    ],
)
def test_numbers(value: Any, number: Fraction) -> None:
    """A price as a number, as text, with a sign of money, or as a ratio."""
    assert to_number(value) == number


def test_a_decimal_comma() -> None:
    """Only where it is asked for."""
    assert to_number("11,50", decimal_comma=True) == Fraction(23, 2)
    with pytest.raises(FieldError, match="not a number"):
        to_number("11,50")


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("cheap", "wrong-type"),
        ("1/0", "wrong-type"),
        ("nan", "not-finite"),
        (Decimal("Infinity"), "not-finite"),
        (float("nan"), "not-finite"),
        (Decimal("1e99999"), "out-of-range"),
        (True, "wrong-type"),
        ([], "wrong-type"),
        ("9" * 500, "wrong-type"),
    ],
)
def test_what_is_no_number(value: Any, code: str) -> None:
    """Each has its code and says what would be accepted."""
    with pytest.raises(FieldError) as caught:
        to_number(value)
    assert caught.value.code == code
    assert caught.value.accepted == "a number such as 11.50"


def test_whole_numbers() -> None:
    """Text only from a spreadsheet; limits are said."""
    assert to_whole(3, loose=False, least=1, most=9) == 3
    assert to_whole("3", loose=True, least=1, most=9) == 3
    assert to_whole(3.0, loose=True, least=1, most=9) == 3
    for value in ("3", 3.0, 2.5, True, "three"):
        with pytest.raises(FieldError, match="not a whole number"):
            to_whole(value, loose=False, least=1, most=9)
    with pytest.raises(FieldError, match=r"over the limit of 10,000"):
        to_whole(10**8, loose=False, least=1, most=10_000)
    with pytest.raises(FieldError, match="less than 1"):
        to_whole(0, loose=False, least=1, most=9)


def test_names_and_texts() -> None:
    """Any script, quotes and slashes; no control characters, nothing that turns the line round."""
    for name in ('<script>"&', "../../etc", "عمود", "天板", "W\u200d7"):
        assert to_name(name, loose=False) == name
    for name in ("", "a\nb", "a\0b", "\u202eabc", "a\uffff", "x" * 61):
        with pytest.raises(FieldError):
            to_name(name, loose=False)
    assert to_text(" two\r\nlines ", loose=False) == "two\nlines"
    with pytest.raises(FieldError, match="10,000 characters long"):
        to_text("x" * 10_000, loose=False)


def test_a_number_is_a_name_in_a_spreadsheet() -> None:
    """A board chalked 7 has the id "7"; in TOML a text must stand in quotes."""
    assert to_name(7, loose=True) == "7"
    assert to_name(7.0, loose=True) == "7"
    for value, loose in ((7, False), (datetime.date(2026, 3, 4), True), (["7"], True)):
        with pytest.raises(FieldError, match="not a text"):
            to_name(value, loose=loose)


def test_choices() -> None:
    """Capitals, dashes and spaces do not matter; a slip is answered with the nearest word."""
    words = ("rough", "skip planed", "S2S")
    assert to_choice("Skip-Planed", words, loose=False) == "skip planed"
    assert to_choice(" s2s ", words, loose=False) == "S2S"
    with pytest.raises(FieldError, match='did you mean "skip planed"') as caught:
        to_choice("skp planed", words, loose=False)
    assert caught.value.accepted == '"rough", "skip planed", "S2S"'


def test_flags() -> None:
    """true and false in TOML; yes and no too in a spreadsheet."""
    assert to_flag(True, loose=False) is True
    assert to_flag("No", loose=True) is False
    assert to_flag(1, loose=True) is True
    with pytest.raises(FieldError, match="neither true nor false"):
        to_flag("yes", loose=False)
    with pytest.raises(FieldError, match="neither yes nor no"):
        to_flag("maybe", loose=True)


def test_lists_in_a_cell() -> None:
    """Semicolons part, else commas, else it is a TOML list; a single value is a list of one."""
    assert to_list("8 1/4; 7 1/2", loose=True) == ["8 1/4", "7 1/2"]
    assert to_list("walnut, oak", loose=True) == ["walnut", "oak"]
    assert to_list("8,25; 7,5", loose=True, decimal_comma=True) == ["8,25", "7,5"]
    assert to_list("8,25", loose=True, decimal_comma=True) == ["8,25"]
    assert to_list('["a, b", "c"]', loose=True) == ["a, b", "c"]
    assert to_list("a, b", loose=False) == ["a, b"]
    assert to_list(3, loose=True) == [3]


def test_points_in_a_cell() -> None:
    """Points are parted by bars, their sides by semicolons."""
    assert to_points("60; 7 3/4 | 110; 6", loose=True) == [["60", "7 3/4"], ["110", "6"]]
    assert to_points("[[1, 2], [3, 4]]", loose=True) == [[1, 2], [3, 4]]
    with pytest.raises(FieldError, match="not a list of points"):
        to_points(3, loose=False)
    with pytest.raises(FieldError, match="not a point") as caught:
        to_points([[1, 2], [3]], loose=False)
    assert (caught.value.at, caught.value.found) == ((1,), [3])


def test_a_table_in_a_cell() -> None:
    """A TOML table on one line, or an issue that shows how it looks."""
    assert to_nested('{strips = ["2", 6.5]}') == {"strips": ["2", Decimal("6.5")]}
    for text in ("{", "strips", "[" * 9000):
        with pytest.raises(FieldError, match="not readable as TOML"):
            to_nested(text)


def test_a_member_that_is_wrong_is_named_by_its_number() -> None:
    """The first wrong one of a list is pointed at."""
    with pytest.raises(FieldError) as caught:
        to_members(to_number, [1, "x"])
    assert (caught.value.at, caught.value.found) == ((1,), "x")
    with pytest.raises(FieldError, match="it holds 3 values") as caught:
        to_members(to_number, [1, 2, 3], least=1, most=2)
    assert caught.value.accepted == "1 to 2 values"


def test_the_nearest_word() -> None:
    """A slip finds its word, a stranger none."""
    assert nearest("lenght", ["length", "width"]) == "length"
    assert nearest("Sold-As", ["sold_as"]) == "sold_as"
    assert nearest("colour", ["length", "width"]) is None

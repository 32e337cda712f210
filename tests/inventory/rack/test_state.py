"""A piece of stock as a line of text and back."""

import json
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.length import INCH
from inventory.rack.state import StateError, state_of, stock_of
from inventory.stock import Board, Stock
from tests.inventory.strategies import boards, sheets

PLANK = Board("W-07", "walnut", 110 * INCH, 8 * INCH, 7 * INCH, INCH, INCH, price=Fraction(1, 3))


@given(st.one_of(boards(), sheets()))
def test_back_again_is_the_same(stock: Stock) -> None:
    """Nothing is lost or rounded, and the same piece has the same text."""
    state = state_of(stock)
    assert stock_of(state) == stock
    assert state_of(stock_of(state)) == state
    assert "\n" not in state


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("length", 1.5),
        ("length", "110"),
        ("length", True),
        ("price", 0.5),
        ("price", "1/0"),
        ("price", "2/6"),
        ("surface", "smooth"),
        ("lot", None),
        ("kind", "plank"),
        ("flaws", [{"kind": "knot"}]),
        ("flaws", 3),
        ("colour", "brown"),
    ],
)
def test_another_text_is_no_state(key: str, value: object) -> None:
    """A record that was meddled with is told, not guessed at."""
    entry = json.loads(state_of(PLANK))
    entry[key] = value
    text = json.dumps(entry, sort_keys=True, separators=(",", ":"))
    with pytest.raises(StateError):
        stock_of(text)


def test_a_key_that_is_missing_or_another_order() -> None:
    """The text is always whole and always in one order."""
    entry = json.loads(state_of(PLANK))
    del entry["note"]
    with pytest.raises(StateError, match="keys are missing or unknown"):
        stock_of(json.dumps(entry))
    with pytest.raises(StateError, match="not in the form"):
        stock_of(state_of(replace(PLANK)).replace(",", ", "))
    for text in ("", "{", "[]", "null", "[" * 100_000):
        with pytest.raises(StateError):
            stock_of(text)

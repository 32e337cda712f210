"""The hash of a stock item's state."""

import hashlib
from decimal import Decimal

import pytest

from nester.verify import state_hash
from nester.verify.state import canonical
from tests.nester.verify.plans import board

# The example board, written out by hand by the definition.
M1_TEXT = (
    '{"bow":0,"count":1,"crook":0,"cup":0,"edges":"straight","ends":"square","flaws":[],'
    '"hollow_edge":null,"hollow_face":null,"id":"M-1","kind":"board","length":1524,"lot":"",'
    '"moisture":null,"note":"","per":"board foot","price":10,"sawn":null,"shelf":"",'
    '"show_face":null,"sold_as":25.4,"species":"walnut","surface":"rough","thickness":25.4,'
    '"twist":0,"width":[152.4,152.4]}'
)
M1_HASH = hashlib.sha256(M1_TEXT.encode()).hexdigest()


def test_hash_of_the_example_board() -> None:
    """A board's hash is the SHA-256 of its canonical text."""
    entry = board(price=10, per="board foot")
    assert state_hash({**entry, "hash": "anything"}) == M1_HASH


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Decimal("25.40"), "25.4"),
        (25.4, "25.4"),
        (Decimal("2.54E+1"), "25.4"),
        (Decimal("1524.0"), "1524"),
        (Decimal("1E+3"), "1000"),
        (Decimal("-0.00"), "0"),
        (0, "0"),
        (100, "100"),
        (Decimal("0.003125"), "0.003125"),
        (True, "true"),
        (None, "null"),
        ('a "b"\n\\ é\u2019', '"a \\"b\\"\\n\\\\ é\u2019"'),
        ({"b": 1, "a": [1, {}], "B": []}, '{"B":[],"a":[1,{}],"b":1}'),
    ],
)
def test_canonical_text(value: object, text: str) -> None:
    """Each kind of value has one form, however its number was written."""
    assert canonical(value) == text


def test_nothing_endless_is_hashed() -> None:
    """What no stock item can hold is refused."""
    nest: list[object] = []
    for _ in range(100):
        nest = [nest]
    with pytest.raises(ValueError, match="too deeply"):
        state_hash({"note": nest})
    with pytest.raises(ValueError, match="no number"):
        state_hash({"price": Decimal("1e999999")})
    with pytest.raises(ValueError, match="no number"):
        state_hash({"price": {1, 2}})

"""Where the wood goes."""

from decimal import Decimal

import pytest

from tests.nester.verify.plans import board, codes, simple
from tests.nester.verify.valid import plinth


@pytest.mark.parametrize("name", ["stock", "parts", "offcuts", "kerf", "waste"])
def test_each_area_is_worked_out_again(name: str) -> None:
    """An area may be rounded to a square millimetre, not changed by one."""
    doc = plinth()
    doc["yield"][name] = Decimal(round(doc["yield"][name]))
    assert codes(doc) == set()
    doc["yield"][name] += 1
    assert codes(doc) == {"yield"}


def test_areas_of_a_taper_count_wood_only() -> None:
    """Kerf and waste past the taper are none: 60 in from 6 to 5 wide are 330 square inches."""
    doc = simple(stock=board(width=("6", "5")))
    square_inch = Decimal("645.16")
    # Widths: at 39 in 5.35, at 39 1/8 5.347917, so the crosscut takes 1/8 x 5.3489583.
    areas: dict[str, Decimal] = {
        "stock": 330 * square_inch,
        "parts": Decimal("146.25") * square_inch,
        "offcuts": Decimal(0),
        "kerf": (Decimal("0.125") * Decimal("5.34895833") + Decimal("39") / 16) * square_inch,
    }
    areas["waste"] = areas["stock"] - areas["parts"] - areas["kerf"]
    assert codes(doc) == {"yield"}
    assert codes({**doc, "yield": areas}) == set()

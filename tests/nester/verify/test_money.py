"""What stock is worth and what a plan costs."""

from decimal import Decimal
from fractions import Fraction

import pytest

from nester.verify.money import value_of
from nester.verify.read_stock import read_stock
from tests.nester.verify.plans import (
    WASTE,
    Doc,
    blank,
    board,
    codes,
    document,
    layout,
    offcut,
    part,
    sheet,
    shop,
    x,
    y,
)


def value(entry: Doc) -> Fraction:
    """Return the value of a stock entry."""
    found = read_stock([entry], [])
    assert found is not None
    return value_of(found[entry["id"]])


@pytest.mark.parametrize(
    ("length", "width", "thickness", "feet"),
    [
        ("12", "12", "1", Fraction(1)),  # the definition: a foot square, an inch thick
        ("60", "6", "1", Fraction(5, 2)),
        ("60", "6", "3/4", Fraction(5, 2)),  # under 1 in counts as 1 in
        ("96", "8", "1 1/4", Fraction(20, 3)),
        ("96", "8", "2", Fraction(32, 3)),
        ("144", ("6", "8"), "1", Fraction(7)),  # the mean width of a taper
    ],
)
def test_board_feet(
    length: str, width: str | tuple[str, str], thickness: str, feet: Fraction
) -> None:
    """A board foot is 144 cubic inches of the thickness that was sold."""
    assert (
        value(board(length=length, width=width, thickness=thickness, price=1, per="board foot"))
        == feet
    )


def test_the_thickness_sold_is_paid_for() -> None:
    """A board sold as 5/4 that measures 1 1/16 is paid for as 5/4."""
    thin = board(
        length="96", width="6", thickness="1 1/16", sold_as="1 1/4", price=8, per="board foot"
    )
    assert value(thin) == 40
    unsaid = {**board(price=10, per="board foot"), "sold_as": None}
    found: list[object] = []
    stock = read_stock([unsaid], found)  # type: ignore[arg-type]
    assert stock is not None
    assert value_of(stock["M-1"]) == 25


def test_board_feet_in_a_cubic_metre() -> None:
    """A cubic metre holds 423.776 board feet.

    A board foot is 2.359 737 E-03 cubic metres: NIST Special Publication 811, appendix B (from
    memory).
    """
    block = board(length="1000 mm", width="1000 mm", thickness="1000 mm", price=1, per="board foot")
    assert abs(value(block) * Fraction("0.002359737") - 1) < Fraction(1, 1_000_000)


@pytest.mark.parametrize(
    ("per", "length", "width", "thickness", "amount"),
    [
        ("piece", "60", "6", "1", 1),
        ("square foot", "60", "6", "1", Fraction(5, 2)),
        ("square metre", "2000 mm", "500 mm", "20 mm", 1),
        ("cubic metre", "2000 mm", "500 mm", "20 mm", Fraction(1, 50)),
    ],
)
def test_other_measures(
    per: str, length: str, width: str, thickness: str, amount: int | Fraction
) -> None:
    """Areas and volumes are true ones."""
    assert value(board(length=length, width=width, thickness=thickness, price=1, per=per)) == amount


def test_a_sheet_by_the_square_foot() -> None:
    """A sheet of 96 x 48 is 32 square feet."""
    assert value(sheet(price=Decimal("2.5"), per="square foot")) == 80


def with_offcut(cost: str, credit: str = "0.5", price: int = 24) -> Doc:
    """Return a plan of the plinth front with an offcut of 20 of 60 in, at this cost."""
    used = shop(kerf={"crosscut": "0"}, offcut_credit=Decimal(credit))
    stock = board(price=price)
    tree = x("40", y("3 3/4", blank("front"), WASTE), offcut("M-1a"))
    laid = layout(stock, tree, of=used)
    parts = [part("front", "38", "3 1/2")]
    return document([stock], parts, [laid], of=used, cost=Decimal(cost))


@pytest.mark.parametrize(
    ("cost", "credit"), [("20", "0.5"), ("24", "0"), ("16", "1"), ("18", "0.75")]
)
def test_cost_is_value_less_credit(cost: str, credit: str) -> None:
    """A third of a $24 board kept is credited at its share of the price."""
    assert codes(with_offcut(cost, credit)) == set()


def test_cost_to_a_tenth_of_a_cent() -> None:
    """The cost may be rounded to a tenth of a cent, not further off."""
    # 25 (1 - 0.5/3) is 20.8333...
    assert codes(with_offcut("20.833", price=25)) == set()
    assert codes(with_offcut("20.834", price=25)) == {"cost"}
    assert codes(with_offcut("20.832", price=25)) == {"cost"}


def test_value_of_a_layout() -> None:
    """A layout's value is what its stock is worth."""
    doc = with_offcut("20")
    doc["layouts"][0]["value"] = Decimal("24.002")
    assert codes(doc) == {"value"}
    doc["layouts"][0]["value"] = Decimal("24.0005")
    assert codes(doc) == set()


def test_free_stock_costs_nothing() -> None:
    """A plan from stock without a price costs 0, with a gap of 0."""
    assert codes(with_offcut("0", price=0)) == set()

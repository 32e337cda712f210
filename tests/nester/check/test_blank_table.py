"""The table of blanks, by sizes that a pencil gives."""

from fractions import Fraction

import pytest

from inventory.stock import SheetGrain, Surface
from nester.check.blank_table import blank_table, thickness_to_buy
from nester.check.candidates import Suited
from nester.model import Grain, System
from nester.shop_defaults import default_shop
from tests.nester.check.things import board, inches, part, project, sheet

INCH_SHOP = default_shop(System.INCH)


def test_blank_on_a_board_has_the_allowances() -> None:
    """38 x 3 1/2 and 1 in of tenons needs 40 x 3 3/4: 1 in longer, 1/4 in wider, and no sheet."""
    asked = project(part("rail", 38, "3 1/2", extra_length=1, count=2))
    (row,) = blank_table(asked, [board("W-1")])
    assert row.board is not None
    assert (row.board.length, row.board.width) == (inches(40), inches("3 3/4"))
    assert (row.sheet, row.area) == (None, None)
    # Two blanks of 40 x 3 3/4 x 1 in: 300 cubic inches, 144 to the board foot.
    assert row.board_feet == Fraction(300, 144)
    assert row.bought == inches(1)


def test_board_dressed_all_round_needs_no_width_more() -> None:
    """S4S stock loses nothing in width; where only some is, the table shows the larger blank."""
    asked = project(part("rail", 38, "3 1/2"))
    dressed = board("D", surface=Surface.S4S)
    (row,) = blank_table(asked, [dressed])
    assert row.board.width == inches("3 1/2")
    (row,) = blank_table(asked, [dressed, board("W-1")])
    assert row.board.width == inches("3 3/4")


def test_blank_on_a_sheet_is_the_exact_size() -> None:
    """A sheet part is as large as it is finished, whichever way it will lie; nothing is added."""
    for grain in (SheetGrain.LENGTH, SheetGrain.WIDTH):
        asked = project(part("floor", "30 1/32", 12, materials=("birch plywood",)))
        (row,) = blank_table(asked, [sheet("B", grain=grain)])
        assert row.sheet == (inches("30 1/32"), inches(12))
        assert row.board is None
        # On the grid of 1/16 in that is 30 1/16 x 12.
        assert row.area == inches("30 1/16") * inches(12)


def test_part_with_grain_across_lies_turned() -> None:
    """A part with its grain across takes its width along the board."""
    asked = project(part("key", 4, 20, grain=Grain.WIDTH))
    (row,) = blank_table(asked, [board("W-1")])
    assert (row.board.length, row.board.width) == (inches("20 1/4"), inches(5))


def test_unknown_material_may_be_either() -> None:
    """A material that the stock has not got is sized for a board and for a sheet."""
    (row,) = blank_table(project(part("rail", 38, "3 1/2")), [])
    assert row.board is not None
    assert row.sheet is not None


def test_spares_count() -> None:
    """The wood of spares is wood."""
    (row,) = blank_table(project(part("rail", 38, "3 1/2", count=1, spare=3)), [board("W-1")])
    assert row.board_feet == 4 * Fraction(39) * Fraction(15, 4) / 144


@pytest.mark.parametrize(
    ("finished", "quarters"),
    [
        # 1/8 in is planed off rough stock: 3/4 comes out of 4/4, 7/8 just, 15/16 only out of 5/4.
        ("3/4", 4),
        ("7/8", 4),
        ("15/16", 5),
        ("1 3/8", 6),
        ("1/4", 4),
    ],
)
def test_thickness_to_buy_without_stock(finished: str, quarters: int) -> None:
    """With no board at hand the next quarter of an inch is counted, from 4/4."""
    assert thickness_to_buy(part("a", 10, 2, finished), [], INCH_SHOP) == quarters * inches("1/4")


def test_thickness_to_buy_is_that_of_the_thinnest_board_that_gives_it() -> None:
    """Stock that suits the part counts, as it was sold; what is too thin does not suit it."""
    boards = [
        board("thin", thickness="3/4"),
        board("five", thickness="1 1/8", sold_as="5/4"),
        board("six", thickness="1 3/8", sold_as="6/4"),
    ]
    asked = part("a", 10, 2, "3/4")
    suited = Suited(boards, INCH_SHOP).to(asked)
    assert {item.id for item in suited} == {"five", "six"}
    assert thickness_to_buy(asked, suited, INCH_SHOP) == inches("5/4")

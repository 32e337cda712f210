"""What is kept of a board and what it is worth, by pencil."""

from fractions import Fraction

import pytest

from inventory.length import INCH
from nester.plan import Status, plan_document
from tests.nester.maker import PROVEN, board, offcuts, part, planned, sheet, shop


@pytest.mark.parametrize(
    ("length", "cost"),
    [
        # Board of 60 x 6 at $60, credit a half. 12 in are left: 60 - 30 x 72/360 = 54.
        ("47 7/8", Fraction(54)),
        ("47 15/16", Fraction(60)),  # a sixteenth short of an offcut
        ("29 7/8", Fraction(45)),
        ("60", Fraction(60)),
        ("59 15/16", Fraction(60)),
    ],
)
def test_an_offcut_at_the_end(length: str, cost: Fraction) -> None:
    """A leftover from the least length on earns its share of half the price."""
    plan = planned(board(), part(length=length, width="6"), stop=PROVEN)
    assert plan.cost == cost
    assert plan.status is Status.OPTIMAL
    assert plan.bound == cost
    assert plan.gap == 0


@pytest.mark.parametrize(
    ("width", "cost"),
    [
        # 60 x 3 is half of the board.
        ("2 7/8", Fraction(45)),
        ("2 15/16", Fraction(60)),
    ],
)
def test_an_offcut_beside(width: str, cost: Fraction) -> None:
    """The same across the board, where its width is what it needs."""
    plan = planned(board(), part(length="60", width=width), stop=PROVEN)
    assert plan.cost == cost
    # A leftover just short of an offcut is credited in the bound, on its steps: it is not proven.
    assert (plan.status is Status.OPTIMAL) == (cost == 45)
    assert plan.bound is not None
    assert plan.bound <= cost


def test_the_shops_own_least_sizes_and_credit() -> None:
    """Sizes and credit are the shop's to say."""
    habits = shop(offcut_min=[6, 1], offcut_credit=1)
    plan = planned(board(), part(length="53 7/8", width="6"), habits, stop=PROVEN)
    assert plan.cost == 54
    none = shop(offcut_credit=0)
    assert planned(board(), part(length="30", width="6"), none, stop=PROVEN).cost == 60


def test_flaws_in_an_offcut_are_worth_nothing() -> None:
    """Of 72 square inches an unsound knot takes one; a sound one takes none."""
    knot = {"kind": "knot", "x": "50", "y": "2", "length": "1", "width": "1"}
    plan = planned(board(flaws=[knot]), part(length="47 7/8", width="6"), stop=PROVEN)
    assert plan.cost == 60 - 30 * Fraction(71, 360)
    sound = planned(
        board(flaws=[{**knot, "sound": True}]), part(length="47 7/8", width="6"), stop=PROVEN
    )
    assert sound.cost == 54


def test_flaws_that_overlap_count_once() -> None:
    """Two knots that share half their area take one and a half."""
    one = {"kind": "knot", "x": "50", "y": "2", "length": "1", "width": "1"}
    two = {**one, "x": "50 1/2"}
    plan = planned(board(flaws=[one, two]), part(length="47 7/8", width="6"), stop=PROVEN)
    assert plan.cost == 60 - 30 * Fraction(141, 720)


def test_a_flaw_by_its_true_shape() -> None:
    """A triangle of wane in the offcut is half its box: 12 x 2 / 2."""
    wane = {"kind": "wane", "outline": [["48", "6"], ["60", "6"], ["60", "4"]]}
    plan = planned(board(flaws=[wane]), part(length="47 7/8", width="6"), stop=PROVEN)
    assert plan.cost == 60 - 30 * Fraction(60, 360)


def test_a_tapered_offcut() -> None:
    """Wood past the taper is none: the last 12 in of a board from 6 to 4 in are 4 to 4.4 wide."""
    plan = planned(board(width=["6", "4"]), part(length="47 7/8", width="4 3/8"), stop=PROVEN)
    kept = 12 * (Fraction(22, 5) + 4) / 2
    assert plan.cost <= 60 - 30 * kept / 300


def test_an_offcut_keeps_its_rough_edges() -> None:
    """An offcut that is only crosscut off loses nothing at its edges, but the end is trimmed."""
    stock = board(length="62", edges="rough", ends="rough")
    plan = planned(stock, part(length="47 7/8", width="5 3/4"), stop=PROVEN)
    assert plan.cost == 60 - 30 * Fraction(72, 62 * 6)
    ((node, _),) = offcuts(plan)
    assert (node.x, node.y, node.length, node.width) == (49 * INCH, 0, 12 * INCH, 6 * INCH)


@pytest.mark.parametrize(
    ("length", "width", "cost"),
    [
        # Sheet of 48 x 24 at $48; what is left of it must be 24 x 8, either way round.
        ("48", "15 7/8", 48 - 24 * Fraction(8, 24)),
        ("48", "15 15/16", Fraction(48)),
        ("39 7/8", "24", 48 - 24 * Fraction(8, 48)),  # 8 x 24, turned
        ("39 15/16", "24", Fraction(48)),
        ("23 7/8", "24", 48 - 24 * Fraction(24, 48)),
    ],
)
def test_sheet_offcuts(length: str, width: str, cost: Fraction) -> None:
    """An offcut of a sheet may be large enough either way round."""
    text = part(material="plywood", length=length, width=width)
    plan = planned(sheet(), text, stop=PROVEN)
    assert plan.cost == cost
    assert plan.status is Status.OPTIMAL


def test_ids_of_offcuts() -> None:
    """Offcuts are lettered after their stock, copies apart, and never like stock there is."""
    stock = board(count=2) + board("M-1a", species="oak", price=1)
    habits = shop(offcut_min=[6, 1])
    plan = planned(stock, part(length="40", width="6", count=2), habits, stop=PROVEN)
    assert sorted(use.id for _, use in offcuts(plan)) == ["M-1b", "M-1c"]


def test_board_feet() -> None:
    """A board of 60 x 6 in that was sold as 4/4 is 2 1/2 board feet: at $10 that is $25."""
    stock = board(per="board foot", price=10, thickness="13/16", sold_as="4/4")
    plan = planned(stock, part(length="60", width="6"), stop=PROVEN)
    assert plan.cost == 25
    eight = board(per="board foot", price=10, thickness="1 1/4", sold_as="8/4")
    assert planned(eight, part(length="60", width="6"), stop=PROVEN).cost == 50
    square = sheet(per="square foot", price=2)
    text = part(material="plywood", length="48", width="24")
    assert planned(square, text, stop=PROVEN).cost == 16


def test_free_stock() -> None:
    """Stock that costs nothing makes a plan that costs nothing, which cannot be bettered."""
    plan = planned(board(price=0), part(), stop=PROVEN)
    assert plan.cost == 0
    assert plan.gap == 0
    assert plan.status is Status.OPTIMAL


def test_one_part_from_one_board() -> None:
    """The worked example of the plan format: a plinth front from one maple board.

    60 x 6 x 1 in at $10 a board foot is $25. 12.8 in of end remain as an offcut: 20.875 x 6 in of
    360 square inches, so $25 - 12.50 x 125.25/360 = $20.651.
    """
    stock = board(per="board foot", price=10, surface="rough")
    text = part("plinth front", length="38", width="3 1/2")
    plan = planned(stock, text, "", stop=PROVEN)
    assert plan.cost == 25 - Fraction(25, 2) * Fraction(501, 4) / 360
    document = plan_document(plan)
    assert (document["cost"], document["bound"]) == (20.651, 20.651)
    assert (document["status"], document["gap"]) == ("optimal", 0)
    (layout,) = document["layouts"]
    assert layout == {
        "stock": "M-1",
        "copy": 1,
        "kind": "board",
        "length": 1524,
        "width": 152.4,
        "thickness": 25.4,
        "value": 25,
        "first_cut": "crosscut",
        "tree": {
            "x": 0,
            "y": 0,
            "length": 1524,
            "width": 152.4,
            "cut": {"axis": "x", "at": 990.6, "kerf": 3.175, "saw": "crosscut", "order": 1},
            "pieces": [
                {
                    "x": 0,
                    "y": 0,
                    "length": 990.6,
                    "width": 152.4,
                    "cut": {
                        "axis": "y",
                        "at": 95.25,
                        "kerf": 1.5875,
                        "saw": "rough_rip",
                        "order": 2,
                    },
                    "pieces": [
                        {
                            "x": 0,
                            "y": 0,
                            "length": 990.6,
                            "width": 95.25,
                            "use": {
                                "kind": "blank",
                                "part": "plinth front",
                                "copy": 1,
                                "turned": False,
                                "reversed": False,
                                "flipped": False,
                            },
                        },
                        {
                            "x": 0,
                            "y": 96.8375,
                            "length": 990.6,
                            "width": 55.5625,
                            "use": {"kind": "waste"},
                        },
                    ],
                },
                {
                    "x": 993.775,
                    "y": 0,
                    "length": 530.225,
                    "width": 152.4,
                    "use": {"kind": "offcut", "id": "M-1a"},
                },
            ],
        },
    }

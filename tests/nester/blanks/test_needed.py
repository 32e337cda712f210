"""How large a blank a part needs: a fit and a just-not-fit of each allowance."""

import pytest

from inventory.length import INCH, MM
from nester.blanks import needed, round_up
from tests.nester.maker import blanks, board, fits, part, planned, read, sheet, shop

INCH_MORE = shop(blank_extra_length=1)
ROUGH = {"surface": "rough", "width": "4"}


@pytest.mark.parametrize(
    ("stock", "habits", "good", "bad"),
    [
        pytest.param(
            board(length="60"), shop(), part(length="60"), part(length="60 1/16"), id="finished"
        ),
        pytest.param(
            board(length="60"), INCH_MORE, part(length="59"), part(length="59 1/16"), id="allowance"
        ),
        pytest.param(
            board(length="60"),
            INCH_MORE,
            part(length="57 1/2", blank_extra_length="2 1/2"),
            part(length="57 9/16", blank_extra_length="2 1/2"),
            id="the part's own allowance in place of the shop's",
        ),
        pytest.param(
            board(length="60"),
            INCH_MORE,
            part(length="57", extra_length="2"),
            part(length="57 1/16", extra_length="2"),
            id="both tenons and the allowance",
        ),
        pytest.param(
            board(width="4"), shop(), part(width="4"), part(width="4 1/16"), id="finished width"
        ),
        pytest.param(
            board(**ROUGH),
            shop(blank_extra_width="1/4"),
            part(width="3 3/4"),
            part(width="3 13/16"),
            id="allowance for jointing both edges",
        ),
        pytest.param(
            board(width="4", surface="S2S"),
            shop(blank_extra_width="1/4"),
            part(width="3 3/4"),
            part(width="3 13/16"),
            id="also where only the faces are planed",
        ),
        pytest.param(
            board(width="4", surface="S4S"),
            shop(blank_extra_width="1/4"),
            part(width="4"),
            part(width="4 1/16"),
            id="none on S4S",
        ),
        pytest.param(
            board(width="4", surface="S4S"),
            shop(blank_extra_width="1/4"),
            part(width="3 1/2", blank_extra_width="1/2"),
            part(width="3 9/16", blank_extra_width="1/2"),
            id="on S4S too where the part itself says so",
        ),
        pytest.param(
            board(**ROUGH),
            shop(blank_extra_width="1/4"),
            part(width="3 1/4", extra_width="1/2"),
            part(width="3 5/16", extra_width="1/2"),
            id="joinery in width",
        ),
        pytest.param(
            board(length="12"),
            shop(shortest_milled=12),
            part(length="12"),
            part(length="12 1/16"),
            id="as long as the shortest that is milled",
        ),
        pytest.param(
            board(length="6", width="20 1/2"),
            shop(),
            part(grain="width", length="20 1/2", width="6"),
            part(grain="width", length="20 9/16", width="6"),
            id="grain across the part: its length lies across the board",
        ),
    ],
)
def test_a_blank_just_fits(stock: str, habits: str, good: str, bad: str) -> None:
    """The part fits its board with all that is added to it; a sixteenth more does not."""
    assert fits(stock, good, habits)
    assert not fits(stock, bad, habits)


def test_a_short_part_takes_the_shortest_milled_piece() -> None:
    """A lone part of 4 in is cut from 12 in, to go over the jointer safely: not from 11 15/16."""
    habits = shop(shortest_milled=12)
    plan = planned(board(length="12"), part(length="4"), habits)
    assert [node.length for node, _ in blanks(plan)] == [12 * INCH]
    assert not fits(board(length="11 15/16"), part(length="4"), habits)


@pytest.mark.parametrize(
    ("of_sheet", "of_part", "fit"),
    [
        ({}, {"length": "48", "width": "24"}, True),
        ({}, {"length": "48 1/16", "width": "24"}, False),
        ({}, {"length": "48", "width": "24 1/16"}, False),
        ({}, {"length": "24", "width": "48"}, False),
        ({}, {"length": "24", "width": "48", "grain": "width"}, True),
        ({}, {"length": "24", "width": "48", "grain": "any"}, True),
        ({}, {"length": "48", "width": "24", "grain": "width"}, False),
        ({"grain": "width"}, {"length": "48", "width": "24"}, False),
        ({"grain": "width"}, {"length": "24", "width": "48"}, True),
        ({"grain": "width"}, {"length": "48", "width": "24", "grain": "width"}, True),
        ({"grain": "none"}, {"length": "24", "width": "48"}, True),
        ({"grain": "none"}, {"length": "48", "width": "24", "grain": "width"}, True),
    ],
)
def test_a_sheet_and_its_grain(
    of_sheet: dict[str, str], of_part: dict[str, str], fit: bool
) -> None:
    """On a sheet nothing is added, and the part's grain runs along the sheet's face grain."""
    habits = shop(blank_extra_length=1, blank_extra_width="1/4", shortest_milled=12)
    assert fits(sheet(**of_sheet), part(material="plywood", **of_part), habits) is fit


def test_a_turned_blank_says_so() -> None:
    """A blank whose length lies across the sheet is marked as turned, the other is not."""
    turned = planned(sheet(), part(material="plywood", length="24", width="40", grain="any"))
    assert [(use.turned, node.length, node.width) for node, use in blanks(turned)] == [
        (True, 40 * INCH, 24 * INCH)
    ]
    along = planned(sheet(), part(material="plywood", length="40", width="24", grain="any"))
    assert [use.turned for _, use in blanks(along)] == [False]


def test_grain_any_on_a_board_is_along() -> None:
    """A board's grain runs one way: a part that does not mind lies along it, and not across."""
    assert fits(board(length="30", width="6"), part(length="30", width="6", grain="any"))
    assert not fits(board(length="30", width="6"), part(length="6", width="30", grain="any"))


def test_needed_sizes_are_rounded_up_to_the_grid() -> None:
    """0.1 in is 1/16 and a bit, so on a grid of 1/16 in it takes 1/8; the exact size is kept."""
    project, (item,) = read(board(), part(length="20 1/64", width="3"), shop())
    (way,) = needed(project.parts[0], item, project.shop)
    assert way.exact_length == 20 * INCH + INCH // 64
    assert way.length == 20 * INCH + INCH // 16
    assert way.width == way.exact_width == 3 * INCH
    assert fits(board(length="20 1/16"), part(length="20 1/64"))
    assert not fits(board(length="20 1/32"), part(length="20 1/64"))


def test_a_square_part_has_one_way_to_lie() -> None:
    """Where both ways are the same, the second is left out."""
    project, (item,) = read(
        sheet(grain="none"), part(material="plywood", length="10", width="10"), shop()
    )
    assert len(needed(project.parts[0], item, project.shop)) == 1


@pytest.mark.parametrize(
    ("length", "grid", "found"), [(0, 160, 0), (1, 160, 160), (160, 160, 160), (161, 160, 320)]
)
def test_round_up(length: int, grid: int, found: int) -> None:
    """The next multiple of the grid, the same where it is one already."""
    assert round_up(length, grid) == found


def test_metric_allowances() -> None:
    """In the metric shop a rough board of 1000 x 100 gives 975 x 94: 25 and 6 mm are added."""
    stock = board(length=1025, width=100, thickness=25, surface="rough", per="piece", price=10)
    assert fits(stock, part(length=1000, width=94, thickness=20), "", units="mm")
    assert not fits(stock, part(length=1000.5, width=94, thickness=20), "", units="mm")
    assert not fits(stock, part(length=1000, width=94.5, thickness=20), "", units="mm")
    project, (item,) = read(stock, part(length=1000, width=94, thickness=20), "", "mm")
    (way,) = needed(project.parts[0], item, project.shop)
    assert (way.length, way.width) == (1025 * MM, 100 * MM)

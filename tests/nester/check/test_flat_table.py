"""How long a part each board gives flat."""

import pytest

from inventory.stock import Ends
from nester.check.flat_table import Asked, flat_tables, longest_part
from nester.model import System
from nester.shop_defaults import default_shop
from tests.nester.check.things import board, inches, part, project, sheet

SHOP = default_shop(System.INCH)


def asked(thickness: str, width: int = 4) -> Asked:
    return Asked(inches(thickness), inches(width), inches(1))


def test_bowed_board_gives_half_its_length() -> None:
    """A bow of 1/2 in over 96 in leaves 3/4 in from 1 in, 1/8 planed, for a blank of 48 in.

    s = S (l/L)^2: 1/2 (48/96)^2 = 1/8 is just what 1 - 1/8 - 3/4 leaves. The part is 1 in shorter
    than its blank.
    """
    assert longest_part(board("B", bow="1/2"), asked("3/4"), SHOP) == inches(47)


def test_bow_costs_nothing_in_thick_stock() -> None:
    """In 1 1/2 in there are 5/8 in to spare, more than the bow: the whole board, less its trims."""
    plain = board("B", thickness="1 1/2", bow="1/2")
    assert longest_part(plain, asked("3/4"), SHOP) == inches(95)
    rough = board("B", thickness="1 1/2", bow="1/2", ends=Ends.ROUGH)
    assert longest_part(rough, asked("3/4"), SHOP) == inches(93)


@pytest.mark.parametrize(
    ("thickness", "found"),
    [
        ("7/8", inches(95)),  # 1 in less 1/8 in, flat
        ("15/16", 0),  # too thin throughout
        ("1/8", inches(95)),  # 3/4 in to plane away, just allowed
        ("1/16", None),  # 13/16 in is more than thick_spare
    ],
)
def test_too_thin_and_too_thick(thickness: str, found: int | None) -> None:
    """A flat board of 1 in gives up to 7/8, and not what would waste more than 3/4 in."""
    assert longest_part(board("B"), asked(thickness), SHOP) == found


def test_board_shorter_than_trims_and_allowance_gives_nothing() -> None:
    """A stub of 2 in with rough ends has no length to give."""
    assert longest_part(board("B", length=2, ends=Ends.ROUGH), asked("3/4"), SHOP) == 0


def test_tables_by_material_and_thickness() -> None:
    """Each species has a table with the thicknesses asked of it, at the narrowest blank of each."""
    stock = [board("W-1"), board("W-2"), board("C-1", species="Cherry"), sheet("B")]
    made = project(
        part("a", 30, 6),
        part("b", 30, 2),
        part("c", 30, 2, "1 1/2", materials=("Walnut", "cherry")),
        part("d", 30, 12, materials=("birch plywood",)),
    )
    walnut, cherry = flat_tables(made, stock)
    assert (walnut.material, [row.board.id for row in walnut.rows]) == ("walnut", ["W-1", "W-2"])
    assert walnut.asked == (
        Asked(inches("3/4"), inches("2 1/4"), inches(1)),
        Asked(inches("1 1/2"), inches("2 1/4"), inches(1)),
    )
    assert walnut.rows[0].longest == (inches(95), 0)
    assert (cherry.material, len(cherry.asked)) == ("Cherry", 1)


def test_parts_milled_their_own_way_have_their_own_column() -> None:
    """With a bow of 1/2 in: 47 in, 57 3/4 planed by 1/16 only, 76 5/8 where it is pulled flat.

    1/2 (l/96)^2 is 3/16 at 58.79 in; l^2/18432 - l/384 is 1/8 at 77.67 in; an inch is allowance.
    """
    made = project(
        part("top", 30, 2),
        part("rail", 30, 2, plane_off="1/16"),
        part("slat", 30, 2, pulled_flat=True),
        part("stile", 30, 2, blank_extra_length="1/2"),
    )
    (table,) = flat_tables(made, [board("B", bow="1/2")])
    kinds = [(asked.plane_off, asked.pulled_flat) for asked in table.asked]
    assert kinds == [(None, False), (inches("1/16"), False), (None, True)]
    # The stile's blank is only 1/2 in longer than the part, and it shares the first column.
    assert table.rows[0].longest == (inches("47 1/2"), inches("57 3/4"), inches("76 5/8"))


def test_nothing_shorter_than_goes_over_the_jointer() -> None:
    """A twist so bad that only 10 in stay flat gives nothing: no blank is shorter than 12 in."""
    # 4 (l/96)(2/8) = 1/8 at 12 in, and at 10 in where the twist is 4.8.
    twelve = longest_part(board("B", twist=4), asked("3/4", 2), SHOP)
    ten = longest_part(board("B", twist="4 4/5"), asked("3/4", 2), SHOP)
    assert (twelve, ten) == (inches(11), 0)

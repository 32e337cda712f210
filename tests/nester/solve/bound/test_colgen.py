"""The bound by column generation: what branching on the stock used proves."""

from nester.plan import Status
from tests.nester.maker import PROVEN, part, planned, sheet, shop


def test_stock_that_cannot_hold_all_parts_is_ruled_out() -> None:
    """Parts of layouts never make up for a part that finds no place, at whatever price.

    The small sheet holds five rails, five stiles or a door, never two of those together, though
    their areas would fit. A fifth of a layout of rails, one of stiles and three of doors leave two
    fifths of a door: even at the price of a whole plan that comes to less than the large sheet.
    """
    stock = sheet("P-1", length="61", width="61", price=10)
    stock += sheet("P-2", length="130", width="130", price=40)
    parts = part("rail", material="plywood", length="50", width="12")
    parts += part("stile", material="plywood", length="12", width="50")
    parts += part("door", material="plywood", length="50", width="50")
    plan = planned(stock, parts, shop(offcut_credit=0), PROVEN)
    assert plan.status is Status.OPTIMAL
    assert plan.cost == plan.bound == 40

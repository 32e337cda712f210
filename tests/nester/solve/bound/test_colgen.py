"""The bound by column generation: what branching on the stock used proves."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from nester.plan import Status
from nester.problem import build
from nester.solve.arrays import arrays
from nester.solve.bound import ladder
from nester.solve.bound.area import area_bound
from nester.solve.bound.colgen import Bounding
from tests.bench.rough import lumber
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


def test_pricing_cut_short_is_made_again_and_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    """A flawed board of a job whose cost is known, and little work a level at first."""
    job = lumber(1, 1, tight=True)
    problem = build(job.project.parts, job.boards, job.project.shop)
    used = {board.id for board, _ in job.known}
    known = sum(item.value for item in problem.stock if item.id in used)
    found = arrays(problem)
    monkeypatch.setattr(ladder, "MOST_WORK", 1)
    bounding = Bounding(problem, found, area_bound(problem).prices)
    longer = 0
    with ThreadPoolExecutor(1) as pool:
        while not bounding.done and longer < 2:
            again, last = bounding.again, bounding.last_work
            bounding.round(pool, (), 2 * known)
            assert bounding.bound <= known
            if again:
                assert bounding.last_work > last
                longer += 1
    assert longer == 2

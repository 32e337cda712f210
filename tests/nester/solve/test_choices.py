"""What choices may and may not do to the cost of a plan, on cases small enough to be settled."""

import pytest

from nester.plan import Plan, Status
from tests.nester.maker import PROVEN, Rounds, board, match, part, planned, shop

SIDES = "".join(
    part(name, length=length, width="3")
    for name, length in (("left", "10"), ("top", "16"), ("right", "10"), ("bottom", "16"))
)
AROUND = ["left", "top", "right", "bottom"]
RACKS = (
    board("one", length="30", width="3", count=2, price=20) + board("two", length="54", price=70),
    board("one", length="54", width="3", price=40) + board("two", length="54", price=30),
    board("one", length="28", width="6 1/2", price=25) + board("two", length="56", price=90),
)


def proven(plan: Plan) -> float:
    """Return the cost of a plan that is proven to be the best of its kind."""
    assert not plan.missing
    assert plan.status in (Status.OPTIMAL, Status.WITHIN_GAP)
    return float(plan.cost)


@pytest.mark.parametrize("stock", RACKS)
@pytest.mark.parametrize("how", ["wrap", "sequence"])
def test_a_match_never_makes_it_cheaper(stock: str, how: str) -> None:
    """What is asked besides can only cost more: fewer plans will do."""
    habits = shop(offcut_credit=0)
    free = proven(planned(stock, SIDES, habits, stop=PROVEN))
    bound = proven(planned(stock, SIDES + match(how=how, parts=AROUND), habits, stop=PROVEN))
    assert bound >= free - 0.001


@pytest.mark.parametrize("stock", RACKS)
def test_a_required_match_never_costs_less_than_the_same_one_not_required(stock: str) -> None:
    """Where the full match can be had, it is had either way, and for the same money."""
    habits = shop(offcut_credit=0)
    wrap = match(parts=AROUND, required=True)
    strict = proven(planned(stock, SIDES + wrap, habits, stop=PROVEN))
    eased = planned(stock, SIDES + match(parts=AROUND), habits, stop=PROVEN)
    assert proven(eased) <= strict + 0.001
    assert eased.match_results[0].matched == 3


@pytest.mark.parametrize(
    ("narrow", "wide"),
    [(("4", "5"), ("3", "5")), (("4", "5"), ("4", "6")), (("4", "4 1/2"), ("2", "6"))],
)
def test_wider_limits_never_cost_more(narrow: tuple[str, str], wide: tuple[str, str]) -> None:
    """Strips that may be wider or narrower leave every panel possible that was."""
    stock = board("one", width="5 1/2", length="21", count=3, price=30)
    stock += board("two", width="4", length="42", count=2, price=35)
    costs = []
    for limits in (narrow, wide):
        lid = part("lid", width="12", glue_up={"strips": list(limits)})
        costs.append(proven(planned(stock, lid, shop(offcut_credit=0), stop=PROVEN)))
    assert costs[1] <= costs[0] + 0.001


def test_price_of_corners_moves_from_money_to_grain() -> None:
    """With a price so low that no corner is worth its wood, the plan is as cheap as without."""
    stock = RACKS[0]
    habits = shop(offcut_credit=0)
    free = proven(planned(stock, SIDES, habits, stop=PROVEN))
    wrap = match(parts=AROUND)
    cheap = planned(stock, SIDES + wrap, shop(offcut_credit=0, corner_penalty=0.01), stop=PROVEN)
    assert float(cheap.cost) <= free + 0.04 + 0.001  # four corners at most
    dear = planned(stock, SIDES + wrap, shop(offcut_credit=0, corner_penalty=100), stop=PROVEN)
    assert dear.match_results[0].matched == 3


def test_corners_are_looked_for_before_a_gap_stops_the_run() -> None:
    """A plan is not called done while a way with more corners is still being tried."""
    stock = board("one", length="12", width="3 1/4", count=2, price=5)
    stock += board("two", length="18", width="3 1/4", count=2, price=6)
    stock += board("long", length="54", width="3 1/4", price=60)
    plan = planned(stock, SIDES + match(parts=AROUND), stop=Rounds(60))
    assert plan.match_results[0].matched == 3
    assert {layout.stock for layout in plan.layouts} == {"long"}

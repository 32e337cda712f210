"""What the plan costs: the value of each stock item, less the credit for the offcuts it leaves."""

from collections.abc import Iterator
from fractions import Fraction

from inventory.length import INCH, MM
from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.number import decimal
from nester.verify.offcuts import credited_area
from nester.verify.outline import wood_area
from nester.verify.records import Plan, Shop, Stock

_ROUNDING = Fraction(6, 10_000)
_FOOT = 12 * INCH
_METRE = 1000 * MM


def value_of(stock: Stock) -> Fraction:
    """Return the money that one piece of a stock item is worth: price times true measure.

    A board foot is 144 cubic inches; stock sold thinner than 1 in is counted as 1 in.
    """
    area = wood_area(stock)
    measures = {
        "piece": Fraction(1),
        "board foot": area * max(stock.sold, INCH) / (_FOOT * _FOOT * INCH),
        "square foot": area / _FOOT**2,
        "square metre": area / _METRE**2,
        "cubic metre": area * stock.sold / _METRE**3,
    }
    return stock.price * measures[stock.per]


def check_value(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A layout's value is its stock's price times its measure."""
    value = value_of(laid.stock)
    if abs(laid.layout.value - value) > _ROUNDING:
        found = decimal(laid.layout.value, 6)
        message = f"the value must be {decimal(value, 3)}"
        yield Fault("value", message, laid.layout.place, found)


def cost_of(shop: Shop, laid: Laid) -> Fraction:
    """Return what a layout costs: its value less the credit for its offcuts' share of the wood."""
    credited = sum((credited_area(laid.stock, node) for node in laid.leaves("offcut")), Fraction(0))
    return value_of(laid.stock) * (1 - shop.offcut_credit * credited / wood_area(laid.stock))


def check_cost(plan: Plan, laids: list[Laid]) -> Iterator[Fault]:
    """The plan's cost is the sum of its layouts' costs and of its penalties."""
    if not plan.whole or len(laids) != len(plan.layouts):
        return
    cost = sum((cost_of(plan.shop, laid) for laid in laids), Fraction(0))
    cost += sum((penalty.cost for penalty in plan.penalties), Fraction(0))
    if abs(plan.cost - cost) > _ROUNDING * (1 + len(plan.penalties)):
        message = f"the cost must be {decimal(cost, 3)}"
        yield Fault("cost", message, "plan", decimal(plan.cost, 6))

"""The stock items that the layouts cut up: known, as described, no more than there are."""

from collections.abc import Iterator

from nester.verify.fault import Fault
from nester.verify.number import mm
from nester.verify.records import Plan


def check_stock(plan: Plan) -> Iterator[Fault]:
    """Each layout is of a stock item in the plan, and says of it what its entry says."""
    for layout in plan.layouts:
        stock = plan.stock.get(layout.stock)
        if stock is None:
            yield Fault("unknown-stock", "no stock item has this id", layout.place, layout.stock)
            continue
        if layout.kind != stock.kind:
            message = f"the stock item is a {stock.kind}"
            yield Fault("layout-stock", message, layout.place, layout.kind)
        for name in ("length", "width", "thickness"):
            said, true = getattr(layout, name), getattr(stock, name)
            if said != true:
                message = f"the {name} must be the stock item's, {mm(true)}"
                yield Fault("layout-stock", message, layout.place, mm(said))


def check_counts(plan: Plan) -> Iterator[Fault]:
    """Each copy of a stock item is cut up once at most, and no more copies than there are."""
    seen: set[tuple[str, int]] = set()
    for layout in plan.layouts:
        key = (layout.stock, layout.copy)
        if key in seen:
            yield Fault("stock-twice", "this copy of the stock is used twice", layout.place)
        seen.add(key)
        stock = plan.stock.get(layout.stock)
        if stock is not None and layout.copy > stock.count:
            message = f"there are only {stock.count} of this stock item"
            yield Fault("stock-count", message, layout.place, str(layout.copy))

"""Offcuts: large enough to be worth a place on the rack, each with an id of its own."""

from collections.abc import Iterator
from fractions import Fraction

from nester.verify.areas import covered
from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.number import mm
from nester.verify.outline import area_in, wood_in
from nester.verify.records import Node, Plan, Shop, Stock
from nester.verify.shapes import Rect, flaw_box, flaw_corners, overlaps


def check_offcut_sizes(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """An offcut is at least the shop's least length by its least width; of a sheet either way."""
    least = shop.offcut_min if laid.stock.board else shop.sheet_offcut_min
    for node in laid.leaves("offcut"):
        size = (node.length, node.width)
        ways = [size] if laid.stock.board else [size, size[::-1]]
        if not any(length >= least[0] and width >= least[1] for length, width in ways):
            place = laid.layout.leaf_place(node)
            message = f"an offcut must be at least {mm(least[0])} x {mm(least[1])}"
            yield Fault("offcut-size", message, place, f"{mm(size[0])} x {mm(size[1])}")


def check_offcut_ids(plan: Plan) -> Iterator[Fault]:
    """No two offcuts have one id, and none has the id of a stock item of the plan."""
    seen: set[str] = set()
    for layout in plan.layouts:
        for node in layout.tree:
            use = node.use
            if use is None or use.kind != "offcut":
                continue
            place = layout.leaf_place(node)
            if use.id in seen:
                yield Fault("offcut-id", "two offcuts have this id", place, use.id)
            elif use.id in plan.stock:
                yield Fault("offcut-id", "a stock item has this id already", place, use.id)
            seen.add(use.id)


def credited_area(stock: Stock, node: Node) -> Fraction:
    """Return the area of an offcut that is worth money: its wood less all unsound flaws."""
    x0, x1 = node.span("x")
    y0, y1 = node.span("y")
    box = Rect(x0, y0, x1, y1)
    bad = [
        flaw_corners(flaw)
        for flaw in stock.flaws
        if not flaw.sound and overlaps(box, flaw_box(flaw))
    ]
    return area_in(stock, node) - covered(wood_in(stock, node), bad)

"""Metal in the stock: no saw comes near it."""

from collections.abc import Iterator

from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.number import mm
from nester.verify.records import Cut, Node, Shop
from nester.verify.shapes import Rect, gap_squared


def check_metal(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """No cut, trims included, comes closer to metal than the shop allows; the kerf is the cut."""
    nails = [flaw for flaw in laid.stock.flaws if flaw.kind == "metal"]
    for node, cut in laid.cuts():
        for nail in nails:
            if gap_squared(nail, _kerf_box(node, cut)) < shop.metal_clear**2:
                message = f"the cut comes closer than {mm(shop.metal_clear)} to metal"
                found = f"{mm(nail.x)}, {mm(nail.y)}"
                yield Fault("metal-clear", message, laid.layout.cut_place(cut), found)


def _kerf_box(node: Node, cut: Cut) -> Rect:
    """Return the strip of its node that a cut turns to dust; a resaw cut passes all of it."""
    x0, x1 = node.span("x")
    y0, y1 = node.span("y")
    if cut.axis == "z":
        return Rect(x0, y0, x1, y1)
    if cut.axis == "x":
        return Rect(cut.at, y0, min(cut.at + cut.kerf, x1), y1)
    return Rect(x0, cut.at, x1, min(cut.at + cut.kerf, y1))

"""The size that is needed for a part, a run or a panel from a given stock item.

Along an axis a blank needs its part's finished size and joinery. Where it has the outside of what
is cut from the stock in one piece on both sides, it needs its own allowance as well; where on one
side only (the end of a run), half of the largest allowance in the run; inside a run nothing more.
"""

from fractions import Fraction
from typing import TypeAlias

from nester.verify.laid import Laid
from nester.verify.losses import run_loss
from nester.verify.number import up
from nester.verify.records import Node, Part, Shop
from nester.verify.runs import Item, Run

Size: TypeAlias = int | Fraction


def finished(part: Part, turned: bool, axis: str) -> int:
    """Return a part's size along an axis of the stock, joinery included."""
    if (axis == "x") != turned:
        return part.length + part.extra_length
    return part.width + part.extra_width


def outer_sides(laid: Laid, node: Node, axis: str) -> tuple[bool, bool]:
    """Return whether a leaf reaches to the outside of its run at its start and at its end."""
    whole = laid.layout.tree[laid.runs.whole.get(node.index, node.index)]
    (start, end), (low, high) = node.span(axis), whole.span(axis)
    return start == low, end == high


def leaf_need(shop: Shop, laid: Laid, node: Node, part: Part, axis: str) -> Size:
    """Return what a blank needs along an axis, on the grid; across a panel exactly."""
    turned = node.use is not None and node.use.turned
    size = finished(part, turned, axis)
    sides = sum(outer_sides(laid, node, axis))
    if sides == 2:
        need = Fraction(size + allowance(shop, laid, part, turned, axis))
    elif sides == 1:
        need = size + Fraction(_largest_allowance(shop, laid, node, turned, axis), 2)
    else:
        need = Fraction(size)
    return need if sides and laid.panel is not None and axis == "y" else up(need, shop.grid)


def allowance(shop: Shop, laid: Laid, part: Part, turned: bool, axis: str) -> int:
    """Return what is added to square or joint a blank along an axis.

    A sheet needs nothing. S4S needs no jointing, so nothing in width unless the part asks for it
    itself; the width of a panel is allowed for by its strips.
    """
    if not laid.stock.board or (laid.panel is not None and axis == "y"):
        return 0
    if (axis == "x") != turned:
        own, shops = part.blank_extra_length, shop.blank_extra_length
    else:
        own = part.blank_extra_width
        shops = 0 if laid.stock.surface == "S4S" else shop.blank_extra_width
    return shops if own is None else own


def _largest_allowance(shop: Shop, laid: Laid, node: Node, turned: bool, axis: str) -> int:
    """Return the largest allowance of all parts of a leaf's run."""
    return max(
        (allowance(shop, laid, other, turned, axis) for other in run_parts(laid, node)), default=0
    )


def run_parts(laid: Laid, node: Node) -> tuple[Part, ...]:
    """Return the parts, each once, that are milled in one piece with a leaf: its run's, or its."""
    index = laid.runs.whole.get(node.index)
    names = [node.use.part] if node.use is not None else []
    if index is not None:
        names = list(laid.runs.names[index])
    return tuple(laid.parts[name] for name in names if name in laid.parts)


def item_need(shop: Shop, laid: Laid, item: Item, axis: str) -> Size:
    """Return what a run, a row or a blank needs along an axis: in a row all of it and the losses,
    side by side the largest.
    """
    if not isinstance(item, Run):
        use = item.use
        part = laid.parts.get(use.part) if use is not None else None
        return 0 if part is None else leaf_need(shop, laid, item, part, axis)
    key = (item.top.index, axis)
    if key not in laid.needs:
        needs = [item_need(shop, laid, inner, axis) for inner in item.items]
        if axis == item.axis:
            loss = run_loss(shop, laid.stock, item) or 0
            laid.needs[key] = sum(needs) + loss * (len(needs) - 1)
        else:
            laid.needs[key] = max(needs)
    return laid.needs[key]


def whole_need(shop: Shop, laid: Laid, node: Node, axis: str) -> Size:
    """Return what is needed along an axis of the piece that a leaf is milled in.

    That is its run or itself. No board piece that is shorter than goes safely over the machines is
    milled, so along the grain it is made that long.
    """
    index = laid.runs.whole.get(node.index)
    item: Item = node if index is None else laid.runs.tops[index]
    need = item_need(shop, laid, item, axis)
    if axis == "x" and laid.stock.board:
        return max(need, up(shop.shortest_milled, shop.grid))
    return need

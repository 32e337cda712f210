"""A blank in the plan: which part it is for, and the size that is needed for it from this stock."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from nester.verify.laid import Laid
from nester.verify.needs import finished, leaf_need, outer_sides, run_parts, whole_need
from nester.verify.number import up
from nester.verify.records import Layout, Node, Part, Plan, Shop, Stock, Use


@dataclass(frozen=True, slots=True)
class Blank:
    """A leaf that becomes a part, or a strip of one. Lengths in 1/320 mm.

    ``need_x`` and ``need_y`` are the least size along the stock and across it. ``milled_x`` and
    ``milled_y`` are the needed size of what is milled as one piece: the blank, its run, the strip.
    ``own_width`` is the part's own needed width, whichever way it lies. ``seat_x`` and ``seat_y``
    are where the part and its joinery may lie: the rectangle, in a run the side of the joint.
    ``thickness`` is that of the wood it is cut from, a leaf's where that was ``resawn``; ``taken``
    what flattening it takes off.
    """

    layout: Layout
    stock: Stock
    node: Node
    use: Use
    part: Part
    need_x: int | Fraction
    need_y: int | Fraction
    milled_x: int | Fraction
    milled_y: int | Fraction
    own_width: int
    seat_x: tuple[int, int]
    seat_y: tuple[int, int]
    thickness: int
    taken: int
    pulled_flat: bool
    resawn: bool

    @property
    def place(self) -> str:
        """What the blank is called in a fault."""
        return self.layout.leaf_place(self.node)


def blanks(plan: Plan, laid: Laid) -> Iterator[Blank]:
    """Yield the blanks of a layout whose parts are in the plan."""
    for node in laid.leaves("blank"):
        use = node.use
        part = plan.parts.get(use.part) if use is not None else None
        if use is not None and part is not None:
            yield _blank(plan.shop, laid, node, use, part)


def _blank(shop: Shop, laid: Laid, node: Node, use: Use, part: Part) -> Blank:
    """Return the blank in a leaf."""
    alone = node.index not in laid.runs.whole
    milled_x, milled_y = (whole_need(shop, laid, node, axis) for axis in ("x", "y"))
    together = run_parts(laid, node)
    low, high = laid.depths[node.index]
    return Blank(
        layout=laid.layout,
        stock=laid.stock,
        node=node,
        use=use,
        part=part,
        need_x=milled_x if alone else leaf_need(shop, laid, node, part, "x"),
        need_y=milled_y if alone else leaf_need(shop, laid, node, part, "y"),
        milled_x=milled_x,
        milled_y=milled_y,
        own_width=own_width(shop, laid, part),
        seat_x=_seat(shop, laid, node, part, "x"),
        seat_y=_seat(shop, laid, node, part, "y"),
        thickness=high - low,
        taken=max(plane_off(shop, other, laid.stock) for other in together),
        pulled_flat=all(other.pulled_flat for other in together),
        resawn=(low, high) != (0, laid.stock.thickness),
    )


def plane_off(shop: Shop, part: Part, stock: Stock) -> int:
    """Return what flattening a flat board takes: by its surface, or the part's own value."""
    if not stock.board:
        return 0
    return shop.plane_off[stock.surface] if part.plane_off is None else part.plane_off


def own_width(shop: Shop, laid: Laid, part: Part) -> int:
    """Return the width that a part needs as a blank of its own, on the grid."""
    width = part.width + part.extra_width
    if laid.stock.board:
        own = part.blank_extra_width
        usual = 0 if laid.stock.surface == "S4S" else shop.blank_extra_width
        width += usual if own is None else own
    return up(width, shop.grid)


def _seat(shop: Shop, laid: Laid, node: Node, part: Part, axis: str) -> tuple[int, int]:
    """Return where in its rectangle a part lies along an axis, spare within that shared.

    In a run it lies against its joint: what is more is outside.
    """
    start, end = node.span(axis)
    at_start, at_end = outer_sides(laid, node, axis)
    if at_start == at_end:
        return start, end
    turned = node.use is not None and node.use.turned
    size = up(finished(part, turned, axis), shop.grid)
    return (end - size, end) if at_start else (start, start + size)

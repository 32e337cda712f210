"""A blank in the plan: which part it is for, and the size that is needed for it from this stock."""

from collections.abc import Iterator
from dataclasses import dataclass

from nester.verify.laid import Laid
from nester.verify.number import up
from nester.verify.records import Layout, Node, Part, Plan, Shop, Stock, Use


@dataclass(frozen=True, slots=True)
class Blank:
    """A leaf that becomes a part.

    ``need_length`` and ``need_width`` [1/320 mm] are the needed size on the grid, in the part's own
    directions: ``need_length`` lies across the stock where the blank is turned.
    """

    layout: Layout
    stock: Stock
    node: Node
    use: Use
    part: Part
    need_length: int
    need_width: int

    @property
    def place(self) -> str:
        """What the blank is called in a fault."""
        return self.layout.leaf_place(self.node)

    @property
    def need_x(self) -> int:
        """The needed size along the stock."""
        return self.need_width if self.use.turned else self.need_length

    @property
    def need_y(self) -> int:
        """The needed size across the stock."""
        return self.need_length if self.use.turned else self.need_width


def blanks(plan: Plan, laid: Laid) -> Iterator[Blank]:
    """Yield the blanks of a layout whose parts are in the plan."""
    for node in laid.leaves("blank"):
        use = node.use
        part = plan.parts.get(use.part) if use is not None else None
        if use is None or part is None:
            continue
        length, width = needed(plan.shop, part, laid.stock, use.turned)
        yield Blank(laid.layout, laid.stock, node, use, part, length, width)


def needed(shop: Shop, part: Part, stock: Stock, turned: bool) -> tuple[int, int]:
    """Return the size needed for a part, on the grid: along its length, along its width.

    From a board: finished size, joinery and the allowance to square and joint it, and along the
    grain never less than goes safely over the machines. S4S needs no jointing, so no allowance in
    width. A sheet needs no allowance.
    """
    length = part.length + part.extra_length
    width = part.width + part.extra_width
    if not stock.board:
        return up(length, shop.grid), up(width, shop.grid)
    length += _own(part.blank_extra_length, shop.blank_extra_length)
    if stock.surface != "S4S":
        width += _own(part.blank_extra_width, shop.blank_extra_width)
    if turned:
        width = max(width, shop.shortest_milled)
    else:
        length = max(length, shop.shortest_milled)
    return up(length, shop.grid), up(width, shop.grid)


def _own(own: int | None, shops: int) -> int:
    """Return the part's own allowance where it has one, else the shop's."""
    return shops if own is None else own

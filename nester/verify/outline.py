"""The outline of a stock item: a rectangle, or a trapezoid that tapers from the far edge."""

from fractions import Fraction

from nester.verify.areas import polygon_area
from nester.verify.records import Node, Stock
from nester.verify.shapes import Number, Vertex


def width_at(stock: Stock, x: Number) -> Fraction:
    """Return the width of the stock at ``x`` from end A."""
    return stock.width_a + Fraction(stock.width_b - stock.width_a) * x / stock.length


def narrowest(stock: Stock, x0: int, x1: int) -> Fraction:
    """Return the least width between ``x0`` and ``x1``; a straight taper has it at an end."""
    return min(width_at(stock, x0), width_at(stock, x1))


def widest(stock: Stock, x0: int, x1: int) -> Fraction:
    """Return the greatest width between ``x0`` and ``x1``."""
    return max(width_at(stock, x0), width_at(stock, x1))


def wood_area(stock: Stock) -> Fraction:
    """Return the area of the outline."""
    return Fraction(stock.length * (stock.width_a + stock.width_b), 2)


def wood_in(stock: Stock, node: Node) -> tuple[Vertex, ...]:
    """Return the wood within a node as a polygon: what of its rectangle lies inside the outline.

    The rectangle is cut along the far edge, keeping the side towards the near edge; empty where the
    whole of it is past the taper.
    """
    x0, x1 = node.span("x")
    y0, y1 = node.span("y")
    corners: list[Vertex] = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    kept: list[Vertex] = []
    for i, (px, py) in enumerate(corners):
        qx, qy = corners[(i + 1) % 4]
        p_room = width_at(stock, px) - py
        q_room = width_at(stock, qx) - qy
        if p_room >= 0:
            kept.append((px, py))
        if p_room * q_room < 0:
            t = p_room / (p_room - q_room)
            kept.append((px + t * (qx - px), py + t * (qy - py)))
    return tuple(kept)


def area_in(stock: Stock, node: Node) -> Fraction:
    """Return the area of the wood within a node."""
    if stock.width_a == stock.width_b and node.y + node.width <= stock.width:
        return Fraction(node.length * node.width)
    wood = wood_in(stock, node)
    return polygon_area(wood) if len(wood) > 2 else Fraction(0)

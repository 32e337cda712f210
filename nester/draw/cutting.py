"""What a layout asks of the saw and what comes off it, read from the cut tree for drawing.

All in stock coordinates, 1/320 mm: x from end A, y from the near edge.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from inventory.length import Length
from inventory.stock import Board, Point, Stock
from nester.layout import Axis, BlankUse, Cut, Layout, Node, StripUse, WasteUse


@dataclass(frozen=True, slots=True)
class SawLine:
    """One cut with the piece it is made in.

    ``line`` is where the maker draws the pencil line: on the side of the kerf that is kept. The saw
    runs beyond it where ``beyond``, else before it (nearer to end A or to the near edge), which is
    so where the first piece is waste or nothing.
    """

    cut: Cut
    node: Node
    beyond: bool
    trim: bool

    @property
    def line(self) -> Length:
        """The pencil line, from end A or from the near edge."""
        return self.cut.at if self.beyond else min(self.cut.at + self.cut.kerf, self.end)

    @property
    def start(self) -> Length:
        """Where the piece in hand begins, across the cut."""
        return self.node.x if self.cut.axis is Axis.X else self.node.y

    @property
    def end(self) -> Length:
        """Where the piece in hand ends, across the cut."""
        if self.cut.axis is Axis.X:
            return self.node.x + self.node.length
        return self.node.y + self.node.width

    @property
    def stop(self) -> Length:
        """The pencil line measured on the piece in hand, from its own end A or near edge."""
        return self.line - self.start


@dataclass(frozen=True, slots=True)
class Cutting:
    """A layout taken apart: cuts in their order, pieces as they lie from the root down."""

    cuts: tuple[SawLine, ...]
    leaves: tuple[Node, ...]

    @property
    def pieces(self) -> tuple[Node, ...]:
        """The leaves that become parts or strips of a panel."""
        return tuple(n for n in self.leaves if isinstance(n.use, BlankUse | StripUse))


def taken_apart(layout: Layout) -> Cutting:
    """Return the cuts and the pieces of ``layout``."""
    cuts: list[SawLine] = []
    leaves: list[Node] = []
    for node in walk(layout.tree):
        if node.cut is None:
            leaves.append(node)
        else:
            first = first_piece(node)
            beyond = first is not None and not is_waste(first)
            trim = any(is_trim(piece) for piece in node.pieces)
            cuts.append(SawLine(node.cut, node, beyond, trim))
    cuts.sort(key=lambda saw: saw.cut.order)
    return Cutting(tuple(cuts), tuple(leaves))


def walk(root: Node) -> Iterator[Node]:
    """Yield every node, each before its pieces; deep trees do no harm."""
    stack = [root]
    while stack:
        node = stack.pop()
        yield node
        stack.extend(reversed(node.pieces))


def first_piece(node: Node) -> Node | None:
    """Return the piece before the cut of ``node``, or None where the kerf begins at its border."""
    cut = node.cut
    if cut is None or not node.pieces:
        return None
    if cut.axis is Axis.Z:
        return node.pieces[0]
    start = node.x if cut.axis is Axis.X else node.y
    return node.pieces[0] if cut.at > start else None


def is_waste(node: Node) -> bool:
    """Return whether ``node`` is thrown away whole."""
    return node.cut is None and isinstance(node.use, WasteUse)


def is_trim(node: Node) -> bool:
    """Return whether ``node`` was cut off to square or straighten."""
    return node.cut is None and isinstance(node.use, WasteUse) and node.use.trim


def along_edge(cutting: Cutting, axis: Axis) -> list[SawLine]:
    """Return the cuts of direction ``axis`` that reach the ruler, in order of their place.

    The ruler for crosscuts lies at the near edge, the one for rips at end A. A cut of the other
    direction hides what is behind it, so only the piece next to the ruler is looked into; a piece
    that is waste hides nothing.
    """
    by_node = {id(saw.node): saw for saw in cutting.cuts}
    found: list[SawLine] = []
    stack = [root] if (root := root_of(cutting)) is not None else []
    while stack:
        node = stack.pop()
        if node.cut is None:
            continue
        if node.cut.axis is axis:
            found.append(by_node[id(node)])
            stack.extend(node.pieces)
        elif node.cut.axis is Axis.Z:
            stack.extend(node.pieces[:1])
        else:
            stack.extend([piece for piece in node.pieces if not is_waste(piece)][:1])
    return sorted(found, key=lambda saw: saw.line)


def root_of(cutting: Cutting) -> Node | None:
    """Return the whole stock item's node, None where nothing is cut."""
    return cutting.cuts[0].node if cutting.cuts else None


def outline_of(stock: Stock) -> tuple[Point, ...]:
    """Return the corners of the stock, from end A at the near edge round by end B."""
    if isinstance(stock, Board):
        return (0, 0), (stock.length, 0), (stock.length, stock.width_b), (0, stock.width_a)
    return (0, 0), (stock.length, 0), (stock.length, stock.width), (0, stock.width)

"""From a layout in rows to the tree of saw cuts, exactly."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeAlias

from inventory.length import Length
from inventory.measure import value_of
from inventory.stock import Board, Stock
from nester.area import sound_wood_in, wood_area
from nester.blanks import end_trim, far_loss, near_loss, rip_saw
from nester.layout import (
    Axis,
    BlankUse,
    Cut,
    Layout,
    Node,
    OffcutUse,
    Saw,
    StripUse,
    Use,
    WasteUse,
    decimal_text,
)
from nester.model import FirstCut, Shop
from nester.problem import StockItem
from nester.solve.parted import parted
from nester.solve.rows import Blank, Row, shown

Rect: TypeAlias = tuple[Length, Length, Length, Length]
"""x1, y1, x2, y2 [1/320 mm]."""

Namer: TypeAlias = Callable[[int], tuple[tuple[str, int], ...] | StripUse | None]
"""Hands out what the next blank of a kind becomes, None once all are had.

That is the parts, with their copies, that are cut from it, or a strip of a panel.
"""


RUN_STAGE = 1_000
"""Later than any stage of sawing blanks: when blanks of several parts are parted."""


@dataclass(frozen=True, slots=True)
class _Trim:
    """Wood lost before the pieces of a row and after them, kerf included."""

    lead: Length = 0
    tail: Length = 0


class Carpenter:
    """Builds the cut trees of one stock item's copies."""

    def __init__(self, item: StockItem, stock: Stock, shop: Shop) -> None:
        self.item = item
        self.stock = stock
        self.shop = shop
        self.grid = shop.grid
        self.rip = rip_saw(stock)
        self.cross = Saw.CROSSCUT if isinstance(stock, Board) else Saw.SHEET

    def layout(
        self, row: Row, copy: int, name: Namer, offcut_id: Callable[[], str]
    ) -> tuple[Layout, Fraction]:
        """Return the layout and what it costs [money]."""
        stock = self.stock
        whole = (0, 0, stock.length, stock.width)
        tree = self._whole(row, whole, name, offcut_id)
        tree = numbered(tree)
        value = value_of(stock)
        credited = sum(
            (
                sound_wood_in(stock, node.x, node.y, node.length, node.width)
                for node in leaves(tree)
                if isinstance(node.use, OffcutUse)
            ),
            Fraction(0),
        )
        cost = value * (1 - self.shop.offcut_credit * credited / wood_area(stock))
        made = Layout(
            stock=stock.id,
            copy=copy,
            kind="board" if isinstance(stock, Board) else "sheet",
            length=stock.length,
            width=stock.width,
            thickness=stock.thickness,
            value=decimal_text(value),
            tree=tree,
            first_cut=FirstCut.RIP if row.axis == "y" else FirstCut.CROSSCUT,
        )
        return made, cost

    def _whole(self, row: Row, rect: Rect, name: Namer, offcut_id: Callable[[], str]) -> Node:
        """Cut the end trims; a board ripped first is straightened here too, a sheet trimmed."""
        ends = end_trim(self.stock, self.shop)

        def trimmed(rest: Rect) -> Node:
            return self._row(row, rest, _Trim(), name, offcut_id)

        def squared(rest: Rect) -> Node:
            if not isinstance(self.stock, Board):
                edges = _Trim(near_loss(self.stock, self.shop, 0), far_loss(self.stock, self.shop))
                return self._trimmed(Axis.Y, rest, edges, trimmed)
            if row.axis == "y":
                return self._straight(row, rest, self.stock.length, name, offcut_id)
            return self._row(row, rest, _Trim(), name, offcut_id)

        return self._trimmed(Axis.X, rect, _Trim(ends, ends), squared)

    def _straight(
        self, row: Row, rect: Rect, length: Length, name: Namer, offcut_id: Callable[[], str]
    ) -> Node:
        """Saw a row of strips from a piece, its rough edges and its share of crook lost first."""
        if not row.pieces:
            return self._rest(rect, offcut_id)
        lead = near_loss(self.stock, self.shop, length)
        tail = far_loss(self.stock, self.shop)
        top = (rect[3] - tail) // self.grid
        if top != row.pieces[-1][1] or not self._parallel():
            tail = 0  # it goes with what is left beyond the last strip
        return self._row(row, rect, _Trim(lead, tail), name, offcut_id)

    def _row(
        self, row: Row, rect: Rect, trim: _Trim, name: Namer, offcut_id: Callable[[], str]
    ) -> Node:
        axis = Axis.X if row.axis == "x" else Axis.Y

        def pieces(rest: Rect) -> Node:
            return self._pieces(axis, row.pieces, rest, name, offcut_id)

        return self._trimmed(axis, rect, trim, pieces)

    def _trimmed(self, axis: Axis, rect: Rect, trim: _Trim, then: Callable[[Rect], Node]) -> Node:
        kerf = self._kerf(axis)
        low, high = ends_of(rect, axis)
        if trim.lead:
            at = low + trim.lead - kerf
            rest = self._trimmed(
                axis, with_ends(rect, axis, at + kerf, high), _Trim(0, trim.tail), then
            )
            lost = with_ends(rect, axis, low, at)
            first = (node_of(lost, use=WasteUse(trim=True)),) if at > low else ()
            return node_of(rect, cut=self._cut(axis, at), pieces=(*first, rest))
        if trim.tail:
            at = (high - trim.tail) // self.grid * self.grid
            rest = then(with_ends(rect, axis, low, at))
            lost = with_ends(rect, axis, at + kerf, high)
            second = (node_of(lost, use=WasteUse(trim=True)),) if at + kerf < high else ()
            return node_of(rect, cut=self._cut(axis, at), pieces=(rest, *second))
        return then(rect)

    def _pieces(
        self,
        axis: Axis,
        pieces: Sequence[tuple[int, int, Row | Blank]],
        rect: Rect,
        name: Namer,
        offcut_id: Callable[[], str],
    ) -> Node:
        if not pieces:
            return self._rest(rect, offcut_id)
        kerf = self._kerf(axis)
        low, high = ends_of(rect, axis)
        start, end, content = pieces[0]
        start, end = start * self.grid, end * self.grid
        if start > low:
            at = start - kerf
            before = with_ends(rect, axis, low, at)
            first = (self._rest(before, offcut_id),) if at > low else ()
            rest = with_ends(rect, axis, start, high)
            return node_of(
                rect,
                cut=self._cut(axis, at),
                pieces=(*first, self._pieces(axis, pieces, rest, name, offcut_id)),
            )
        if end >= high:
            return self._content(content, rect, name, offcut_id)
        made = self._content(content, with_ends(rect, axis, low, end), name, offcut_id)
        if end + kerf >= high:
            return node_of(rect, cut=self._cut(axis, end), pieces=(made,))
        rest = with_ends(rect, axis, end + kerf, high)
        return node_of(
            rect,
            cut=self._cut(axis, end),
            pieces=(made, self._pieces(axis, pieces[1:], rest, name, offcut_id)),
        )

    def _content(
        self, content: Row | Blank, rect: Rect, name: Namer, offcut_id: Callable[[], str]
    ) -> Node:
        if isinstance(content, Row):
            if content.axis == "y" and self._rough_edges(rect):
                return self._straight(content, rect, rect[2] - rect[0], name, offcut_id)
            return self._row(content, rect, _Trim(), name, offcut_id)
        option = self.item.options[content.option]
        x1, y1, x2, y2 = (value // self.grid for value in rect)
        way = shown(option, (x1, y1, x2, y2), self.item)
        if way is None:
            raise ValueError("a blank reaches into a flaw it must avoid")
        named = name(option.demand)
        if named is None:
            return self._rest(rect, offcut_id)
        if isinstance(named, StripUse):
            return node_of(rect, use=named)
        flipped, reverse = way
        if option.inner is not None:
            return parted(option.inner, named, rect, self.grid, flipped)
        ((part, copy),) = named
        use = BlankUse(part, copy, turned=option.turned, reversed=reverse, flipped=flipped)
        return node_of(rect, use=use)

    def _parallel(self) -> bool:
        return not isinstance(self.stock, Board) or self.stock.width_a == self.stock.width_b

    def _rough_edges(self, rect: Rect) -> bool:
        """Whether a piece still has both edges of the stock, so must be straightened."""
        return rect[1] == 0 and rect[3] == self.stock.width

    def _rest(self, rect: Rect, offcut_id: Callable[[], str]) -> Node:
        if self._keeps(rect):
            return node_of(rect, use=OffcutUse(offcut_id()))
        return node_of(rect, use=WasteUse())

    def _keeps(self, rect: Rect) -> bool:
        length, width = rect[2] - rect[0], rect[3] - rect[1]
        if isinstance(self.stock, Board):
            least = self.shop.offcut_min
            return length >= least[0] and width >= least[1]
        least = self.shop.sheet_offcut_min
        return (length >= least[0] and width >= least[1]) or (
            width >= least[0] and length >= least[1]
        )

    def _kerf(self, axis: Axis) -> Length:
        return (self.item.kx if axis is Axis.X else self.item.ky) * self.grid

    def _cut(self, axis: Axis, at: Length) -> Cut:
        saw = self.cross if axis is Axis.X else self.rip
        return Cut(axis, at, self._kerf(axis), saw, 0)


def ends_of(rect: Rect, axis: Axis) -> tuple[Length, Length]:
    """Return where a rectangle begins and ends along an axis."""
    return (rect[0], rect[2]) if axis is Axis.X else (rect[1], rect[3])


def with_ends(rect: Rect, axis: Axis, low: Length, high: Length) -> Rect:
    """Return a rectangle with other ends along an axis."""
    if axis is Axis.X:
        return (low, rect[1], high, rect[3])
    return (rect[0], low, rect[2], high)


def node_of(
    rect: Rect,
    *,
    cut: Cut | None = None,
    pieces: tuple[Node, ...] = (),
    use: Use | None = None,
) -> Node:
    """Return the node of a rectangle."""
    x1, y1, x2, y2 = rect
    return Node(x1, y1, x2 - x1, y2 - y1, cut=cut, pieces=pieces, use=use)


def leaves(node: Node) -> Iterator[Node]:
    """Yield the pieces that are cut no further."""
    if node.cut is None:
        yield node
    for piece in node.pieces:
        yield from leaves(piece)


def numbered(tree: Node) -> Node:
    """Return the tree with its cuts numbered as a person makes them.

    All cuts of a stage come before those of the next, left to right and near to far within it, so
    that a board goes once to each saw; a piece is always cut free before it is cut itself.
    """
    found: list[tuple[int, int, Node]] = []

    def visit(node: Node, stage: int, axis: Axis | None) -> None:
        if node.cut is None:
            return
        if node.run and stage < RUN_STAGE:
            stage = RUN_STAGE  # parts of one blank come apart once it is milled
        if node.cut.axis is not axis:
            stage += 1
        found.append((stage, len(found), node))
        for piece in node.pieces:
            visit(piece, stage, node.cut.axis)

    visit(tree, 0, None)
    order = {id(node): i for i, (_, _, node) in enumerate(sorted(found, key=_first_two), start=1)}

    def renumber(node: Node) -> Node:
        if node.cut is None:
            return node
        return replace(
            node,
            cut=replace(node.cut, order=order[id(node)]),
            pieces=tuple(renumber(piece) for piece in node.pieces),
        )

    return renumber(tree)


def _first_two(entry: tuple[int, int, Node]) -> tuple[int, int]:
    return entry[0], entry[1]

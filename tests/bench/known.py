"""The plan that a job was made from, as a document, so that it can be checked like any other."""

from fractions import Fraction

from inventory.measure import value_of
from inventory.stock import Board
from nester import __version__
from nester.area import sound_wood_in, wood_area
from nester.layout import Axis, BlankUse, Cut, Layout, Node, OffcutUse, Saw, WasteUse
from nester.plan import Plan, Status, Yield
from tests.bench.rough import CELL, KERF, SHOP, Lumber, Rect, Sawn
from tests.bench.run import MADE


def known_plan(job: Lumber) -> Plan:
    """Return the plan that the parts were cut by. Nothing is proven by it, so its bound is 0."""
    layouts = tuple(_layout(board, row) for board, row in job.known)
    cost = sum((cost_of(board, _tree(board, row)) for board, row in job.known), Fraction(0))
    return Plan(
        version=__version__,
        made=MADE,
        units=job.project.units,
        seed=0,
        project=job.project.name,
        project_sha256="",
        status=Status.FEASIBLE,
        cost=cost,
        bound=Fraction(0),
        gap=Fraction(1),
        seconds=0,
        stopped_by="seconds",
        shop=job.project.shop,
        stock=job.boards,
        parts=job.project.parts,
        matches=(),
        layouts=layouts,
        yields=_yields(layouts),
    )


def cost_of(board: Board, tree: Node) -> Fraction:
    """Return a board's price less the credit for the offcuts that a tree leaves."""
    credited = sum(
        (
            sound_wood_in(board, leaf.x, leaf.y, leaf.length, leaf.width)
            for leaf in _leaves(tree)
            if isinstance(leaf.use, OffcutUse)
        ),
        Fraction(0),
    )
    return value_of(board) * (1 - SHOP.offcut_credit * credited / wood_area(board))


def density(job: Lumber) -> float:
    """Return the share of the known boards' area that becomes parts."""
    parts = sum(part.length * part.width * part.copies for part in job.project.parts)
    return parts / sum(board.length * board.width for board, _ in job.known)


def _layout(board: Board, row: Sawn) -> Layout:
    return Layout(
        stock=board.id,
        copy=1,
        kind="board",
        length=board.length,
        width=board.width,
        thickness=board.thickness,
        value=str(value_of(board)),
        tree=_tree(board, row),
    )


def _tree(board: Board, row: Sawn) -> Node:
    return _Sawyer(board).whole(row)


class _Sawyer:
    """Turns rows into the tree of cuts of one board."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.cuts = 0
        self.offcuts = 0

    def whole(self, row: Sawn) -> Node:
        """Return the tree of the whole board."""
        return self._row(row, (0, 0, self.board.length // CELL, self.board.width // CELL))

    def _row(self, row: Sawn, rect: Rect) -> Node:
        if not row.pieces:
            return self._left(rect)
        along = row.axis == "x"
        low, high = (rect[0], rect[2]) if along else (rect[1], rect[3])
        start, end, piece = row.pieces[0]
        if start > low:
            # Two pieces of a row may be a wider flaw apart: what lies between is cut off too.
            at = start - KERF
            order = self._next()
            before = self._left(_part(rect, row.axis, low, at)) if at > low else None
            after = self._row(row, _part(rect, row.axis, start, high))
            return _cut(rect, row.axis, at, order, before, after)
        if end == high:
            return self._piece(piece, rect)
        order = self._next()
        made = self._piece(piece, _part(rect, row.axis, low, end))
        rest = None
        if end + KERF < high:
            others = Sawn(row.axis, row.pieces[1:])
            rest = self._row(others, _part(rect, row.axis, end + KERF, high))
        return _cut(rect, row.axis, end, order, made, rest)

    def _piece(self, piece: Sawn | str, rect: Rect) -> Node:
        if isinstance(piece, Sawn):
            return self._row(piece, rect)
        return _node(rect, use=BlankUse(piece, 1))

    def _left(self, rect: Rect) -> Node:
        length, width = (rect[2] - rect[0]) * CELL, (rect[3] - rect[1]) * CELL
        if length < SHOP.offcut_min[0] or width < SHOP.offcut_min[1]:
            return _node(rect, use=WasteUse())
        self.offcuts += 1
        return _node(rect, use=OffcutUse(f"{self.board.id} rest {self.offcuts}"))

    def _next(self) -> int:
        self.cuts += 1
        return self.cuts


def _cut(
    rect: Rect, axis: str, at: int, order: int, first: Node | None, second: Node | None
) -> Node:
    saw = Saw.CROSSCUT if axis == "x" else Saw.RIP
    cut = Cut(Axis(axis), at * CELL, KERF * CELL, saw, order)
    pieces = tuple(piece for piece in (first, second) if piece is not None)
    return _node(rect, cut=cut, pieces=pieces)


def _node(
    rect: Rect,
    *,
    cut: Cut | None = None,
    pieces: tuple[Node, ...] = (),
    use: BlankUse | OffcutUse | WasteUse | None = None,
) -> Node:
    x1, y1, x2, y2 = (value * CELL for value in rect)
    return Node(x1, y1, x2 - x1, y2 - y1, cut=cut, pieces=pieces, use=use)


def _part(rect: Rect, axis: str, low: int, high: int) -> Rect:
    if axis == "x":
        return (low, rect[1], high, rect[3])
    return (rect[0], low, rect[2], high)


def _leaves(node: Node) -> list[Node]:
    if node.cut is None:
        return [node]
    return [leaf for piece in node.pieces for leaf in _leaves(piece)]


def _yields(layouts: tuple[Layout, ...]) -> Yield:
    areas = dict.fromkeys((BlankUse, OffcutUse, WasteUse), 0)
    for layout in layouts:
        for leaf in _leaves(layout.tree):
            for kind in areas:
                if isinstance(leaf.use, kind):
                    areas[kind] += leaf.length * leaf.width
    stock = sum(layout.length * layout.width for layout in layouts)
    return Yield(
        stock=stock,
        parts=areas[BlankUse],
        offcuts=areas[OffcutUse],
        kerf=stock - sum(areas.values()),
        waste=areas[WasteUse],
    )

"""From the exhaustive tables back to a plan, so that the checker can say whether it holds."""

from collections.abc import Callable, Iterator, Sequence

from inventory.stock import Board, Surface
from nester.layout import Axis, BlankUse, Cut, Layout, Node, OffcutUse, Saw, Use, WasteUse
from nester.model import FirstCut, Part
from tests.oracle.cutting import Sawyer, Stage, Start

Rect = tuple[int, int, int, int]
"""x1, x2, y1, y2: indices of lines, or true places."""

Going = Callable[[Rect], Node]
"""Makes the node of a piece."""


def _trim(box: Rect) -> Node:
    return _node(box, use=WasteUse(trim=True))


class Tracer:
    """Finds the cuts behind a value in the tables of one stock item."""

    def __init__(self, sawyer: Sawyer, parts: Sequence[Part], copies: dict[str, int]) -> None:
        self.sawyer, self.parts, self.copies = sawyer, parts, copies
        self.here = sawyer.here
        self.offcuts = 0
        self.order = 0
        board = sawyer.here.board
        self.saws = {"x": Saw.CROSSCUT if board else Saw.SHEET, "y": Saw.SHEET}
        if isinstance(sawyer.stock, Board):
            planed = sawyer.stock.surface in (Surface.S2S, Surface.S4S)
            self.saws["y"] = Saw.RIP if planed else Saw.ROUGH_RIP

    def layout(self, s: int, copy: int, value: str) -> Layout:
        """Return the layout of one copy of the stock that gives set ``s`` of blanks."""
        stock = self.sawyer.stock
        self.name = f"{stock.id}/{copy}"
        start = max(self.sawyer.starts(), key=lambda start: float(start.values[s]))
        self.order = 0
        tree = self._framed((0, stock.length, 0, stock.width), start, s)
        return Layout(
            stock.id,
            copy,
            "board" if isinstance(stock, Board) else "sheet",
            stock.length,
            stock.width,
            stock.thickness,
            value,
            tree,
            FirstCut.RIP if start.first_cut == "y" else FirstCut.CROSSCUT,
        )

    def _framed(self, box: Rect, start: Start, s: int) -> Node:
        """Cut off what lies outside the lines, then go on inside."""
        xs, ys = self.here.xs, self.here.ys
        rect = start.rect
        inner = (xs[rect[0]], xs[rect[1]], ys[rect[2]], ys[rect[3]])
        for axis, low, high in (("x", 0, 1), ("y", 2, 3)):
            if box[low] < inner[low]:
                at = inner[low] - self._kerf(axis)
                return self._cut(box, axis, at, _trim, lambda b: self._framed(b, start, s))
            if box[high] > inner[high]:
                return self._cut(box, axis, inner[high], lambda b: self._framed(b, start, s), _trim)
        return self._stage(start.stages, start.stage, start.axis, rect, s)

    def _kerf(self, axis: str) -> int:
        return (self.here.kx if axis == "x" else self.here.ky) * self.sawyer.shop.grid

    def _cut(self, box: Rect, axis: str, at: int, one: Going, two: Going) -> Node:
        self.order += 1
        order = self.order
        kerf = self._kerf(axis)
        low, high = (0, 1) if axis == "x" else (2, 3)
        pieces = []
        if at > box[low]:
            pieces.append(one(_with(box, high, at)))
        if at + kerf < box[high]:
            pieces.append(two(_with(box, low, at + kerf)))
        cut = Cut(Axis(axis), at, kerf, self.saws[axis], order)
        return _node(box, cut=cut, pieces=tuple(pieces))

    def _box(self, rect: Rect) -> Rect:
        xs, ys = self.here.xs, self.here.ys
        return xs[rect[0]], xs[rect[1]], ys[rect[2]], ys[rect[3]]

    def _stage(
        self, stages: list[tuple[Stage, Stage]], k: int, axis: str, rect: Rect, s: int
    ) -> Node:
        """Trim first where that is where the value comes from."""
        table = stages[k][axis == "y"]
        value = table.trimmed[(s, *rect)]
        if value == table.row[(s, *rect)]:
            return self._row(stages, k, axis, rect, s)
        i, j, low, top = rect
        far, near = int(self.sawyer.far[i, j]), int(self.sawyer.raw[i, j])

        def inside(new: Rect) -> Going:
            return lambda _: self._stage(stages, k, axis, new, s)

        if low == 0 and 0 < near < top and value == table.trimmed[s, i, j, near, top]:
            at = self.here.ys[near] - self._kerf("y")
            return self._cut(self._box(rect), "y", at, _trim, inside((i, j, near, top)))
        if far > low and top == len(self.here.ys) - 1:
            assert value == table.trimmed[s, i, j, low, far]
            at = self.here.ys[far]
            return self._cut(self._box(rect), "y", at, inside((i, j, low, far)), _trim)
        raise AssertionError("a value from nowhere")

    def _row(
        self, stages: list[tuple[Stage, Stage]], k: int, axis: str, rect: Rect, s: int
    ) -> Node:
        """Take the first piece off a row, or go on to the next stage."""
        if k == 0:
            return _node(self._box(rect), use=self._use(s, rect))
        value = stages[k][axis == "y"].row[(s, *rect)]
        below = stages[k - 1][axis == "x"].trimmed
        other = "y" if axis == "x" else "x"
        if below[(s, *rect)] == value:
            return self._stage(stages, k - 1, other, rect, s)
        for at, one, two in self._ways(axis, rect, s):
            low, high = (0, 1) if axis == "x" else (2, 3)
            kerf = self._kerf(axis) // self.sawyer.shop.grid
            lines = self.here.xs if axis == "x" else self.here.ys
            first, rest = _with(rect, high, at), _with(rect, low, at + kerf)
            gone = lines[at] + self._kerf(axis) >= lines[rect[high]]
            worth = 0.0 if at == rect[low] else below[(one, *first)]
            if not gone:
                worth += stages[k][axis == "y"].row[(two, *rest)]
            if worth == value and (at > rect[low] or one == 0) and (not gone or two == 0):
                return self._cut(
                    self._box(rect),
                    axis,
                    lines[at],
                    lambda _, f=first, n=one: self._stage(stages, k - 1, other, f, n),
                    lambda _, r=rest, n=two: self._row(stages, k, axis, r, n),
                )
        raise AssertionError("a value from nowhere")

    def _ways(self, axis: str, rect: Rect, s: int) -> Iterator[tuple[int, int, int]]:
        low, high = rect[:2] if axis == "x" else rect[2:]
        lines = self.here.xs if axis == "x" else self.here.ys
        splits = self.sawyer.sets
        # Without a kerf nothing is cut off by a cut at the very start.
        first = low if self._kerf(axis) else low + 1
        for at in range(first, min(high, self.sawyer.on_grid(lines))):
            for one, two in splits.splits[splits.first[s] : splits.first[s + 1]]:
                yield at, int(one), int(two)

    def _use(self, s: int, rect: Rect) -> Use:
        if s == 0:
            if self.sawyer.kept[rect] > 0:
                self.offcuts += 1
                return OffcutUse(f"{self.name}-{self.offcuts}")
            return WasteUse()
        p = self.sawyer.sets.counts[s].index(1)
        way = next(w for w in self.sawyer.ways[p] if w.table[rect])
        name = self.parts[p].name
        self.copies[name] = self.copies.get(name, 0) + 1
        return BlankUse(name, self.copies[name], way.turned, way.reversed, way.flipped)


def _with(rect: Rect, place: int, value: int) -> Rect:
    changed = list(rect)
    changed[place] = value
    return (changed[0], changed[1], changed[2], changed[3])


def _node(
    box: Rect, *, cut: Cut | None = None, pieces: tuple[Node, ...] = (), use: Use | None = None
) -> Node:
    return Node(box[0], box[2], box[1] - box[0], box[3] - box[2], cut, pieces, use)

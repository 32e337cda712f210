"""Runs: the parts of a wrap, a sequence or a stack that are sawn from one blank, in order."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from nester.verify.deal import Dealt, Position
from nester.verify.records import Layout, Node, Use

Item: TypeAlias = "Node | Run"


@dataclass(frozen=True, slots=True)
class Run:
    """A rectangle that is marked with the name of a match, and what is cut from it.

    ``axis`` is the way its parts stand in a row: along their length, in a stack across it.
    ``items`` ascend along it; the rows of a stack of sequences are runs themselves.
    """

    layout: Layout
    top: Node
    name: str
    dealt: Dealt | None
    axis: str
    items: tuple[Item, ...]

    @property
    def place(self) -> str:
        """What the run is called in a fault."""
        return f"{self.layout.place}, run {self.name}"

    @property
    def how(self) -> str:
        """How its match belongs together, "" where there is no such match."""
        return self.dealt.match.how if self.dealt is not None else ""

    def leaves(self) -> list[Node]:
        """Return the leaves in it, rows taken apart, ascending."""
        found: list[Node] = []
        for item in self.items:
            found.extend(item.leaves() if isinstance(item, Run) else [item])
        return found

    def blanks(self) -> list[Use]:
        """Return the uses of its leaves that are blanks."""
        uses = [leaf.use for leaf in self.leaves()]
        return [use for use in uses if use is not None and use.kind == "blank"]

    def ordered(self) -> tuple[Item, ...]:
        """Return the items in the order of the match: each one's end B meets the next one's end A.

        In a stack each one's far edge meets the next one's near edge. The end A of a turned part
        lies towards the far edge of the stock, unless it is reversed.
        """
        uses = self.blanks()
        if not uses:
            return self.items
        use = uses[0]
        ascending = use.reversed == use.flipped if self.how == "stack" else not use.reversed
        if use.turned and self.how != "stack":
            ascending = not ascending
        return self.items if ascending else self.items[::-1]

    def stretch(self) -> "Stretch | None":
        """Return which consecutive parts of which set it holds, None where it does not."""
        if self.dealt is None:
            return None
        found = []
        for item in self.ordered():
            position = _position(item)
            place = self.dealt.places.get(position) if position is not None else None
            if place is None:
                return None
            found.append(place)
        number, start = found[0]
        size = self.dealt.size
        closed = self.how == "wrap" and (len(found) < size or start == 0)
        for step, at in enumerate(found):
            wanted = (start + step) % size if closed else start + step
            if at != (number, wanted):
                return None
        return Stretch(number, start, len(found))


@dataclass(frozen=True, slots=True)
class Stretch:
    """Consecutive parts of a set: the set's number from 0, the first part's place, how many."""

    set: int
    start: int
    count: int


def _position(item: Item) -> Position | None:
    """Return what of a match an item is: a copy of a part, or a whole set of a sequence."""
    if isinstance(item, Run):
        stretch = item.stretch()
        if stretch is None or item.dealt is None or stretch.count != item.dealt.size:
            return None
        return (item.name, stretch.set + 1)
    if item.use is None or item.use.kind != "blank":
        return None
    return (item.use.part, item.use.copy)


@dataclass(frozen=True, slots=True)
class Runs:
    """The runs of a cut tree.

    ``tops`` by the index of their rectangle, ``names`` the parts in each. ``inside``: for each node
    of a run the index of the innermost rectangle it is cut from or is; ``whole`` likewise the
    outermost.
    """

    tops: Mapping[int, Run]
    names: Mapping[int, frozenset[str]]
    inside: Mapping[int, int]
    whole: Mapping[int, int]


def find_runs(layout: Layout, dealt: Mapping[str, Dealt]) -> Runs:
    """Return the runs of a tree.

    The mark on a rectangle that is resawn goes for each of its leaves. Within a run only a row of a
    stack may be a run of its own; a mark further in is passed over.
    """
    inside: dict[int, int] = {}
    whole: dict[int, int] = {}
    names: dict[int, str] = {}
    for node in layout.tree:
        above = layout.tree[node.parent] if node.parent is not None else None
        outer = inside.get(above.index) if above is not None else None
        resawn = above is not None and above.cut is not None and above.cut.axis == "z"
        name = node.run or (above.run if resawn and above is not None else "")
        splits = node.cut is not None and node.cut.axis == "z" and outer is None
        if outer is None:
            opens = bool(name) and not splits
        else:
            opens = bool(node.run) and node.run != names[outer] and whole[outer] == outer
        if opens:
            names[node.index] = name
            inside[node.index] = node.index
            whole[node.index] = node.index if outer is None else whole[outer]
        elif outer is not None:
            inside[node.index] = outer
            whole[node.index] = whole[outer]
    tops: dict[int, Run] = {}
    for index in sorted(names, reverse=True):  # rows before the stacks that they stand in
        tops[index] = _run(layout, layout.tree[index], names[index], dealt, tops)
    parts = {index: frozenset(use.part for use in run.blanks()) for index, run in tops.items()}
    return Runs(tops, parts, inside, whole)


def _run(
    layout: Layout, top: Node, name: str, dealt: Mapping[str, Dealt], rows: Mapping[int, Run]
) -> Run:
    """Return the run in one rectangle."""
    items: list[Item] = []
    turned: bool | None = None
    waiting = [top]
    while waiting:
        node = waiting.pop()
        if node is not top and node.index in rows:
            items.append(rows[node.index])
            uses = rows[node.index].blanks()
        elif node.cut is None:
            items.append(node)
            uses = [node.use] if node.use is not None and node.use.kind == "blank" else []
        else:
            waiting += [layout.tree[i] for i in (node.second, node.first) if i is not None]
            continue
        if turned is None and uses:
            turned = uses[0].turned
    found = dealt.get(name)
    stacked = found is not None and found.match.how == "stack"
    axis = "y" if bool(turned) != stacked else "x"
    items.sort(key=lambda item: _node(item).span(axis)[0])
    return Run(layout, top, name, found, axis, tuple(items))


def _node(item: Item) -> Node:
    """Return the rectangle of an item."""
    return item.top if isinstance(item, Run) else item


def span(item: Item, axis: str) -> tuple[int, int]:
    """Return where an item starts and ends along ``axis``."""
    return _node(item).span(axis)

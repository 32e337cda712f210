"""Runs of wraps, sequences and stacks: their order, their orientation, their sizes, their cuts."""

from collections.abc import Iterator

from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.needs import finished, whole_need
from nester.verify.number import mm, up
from nester.verify.records import Node, Shop
from nester.verify.runs import Item, Run, span

_ROWS = frozenset({"wrap", "sequence", "stack"})


def check_run_names(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A run is of a match that has runs; a book has none but its two leaves."""
    for index, run in laid.runs.tops.items():
        if run.dealt is None:
            yield Fault("run-match", "no match has this name", run.place, run.name)
        elif run.how not in _ROWS and not (run.how == "book" and is_leaf(laid, index)):
            message = f'the parts of a "{run.how}" are not cut from one run'
            yield Fault("run-match", message, run.place, run.name)


def check_run_marks(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A mark stands on a run, inside it where it says the same, or on a piece resawn for it."""
    for node in laid.layout.tree:
        if not node.run:
            continue
        index = laid.runs.inside.get(node.index)
        runs = [laid.runs.tops[index]] if index is not None else []
        if index is None:
            leaves = (node.first, node.second)
            runs = [laid.runs.tops[i] for i in leaves if i is not None and i in laid.runs.tops]
        if not runs or any(run.name != node.run for run in runs):
            place = laid.layout.cut_place(node.cut) if node.cut else laid.layout.leaf_place(node)
            yield Fault("run-match", "marked with another match than its run", place, node.run)


def check_run_parts(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A run is cut into blanks and nothing else, at least two; in a stack into whole rows as well.

    Only the leaf of a resawn piece may be a single blank.
    """
    for index, run in laid.runs.tops.items():
        if len(run.items) < 2 and not is_leaf(laid, index):
            yield Fault("run-parts", "a run must hold two parts or more", run.place)
        for item in run.items:
            if isinstance(item, Run):
                row = item.how == "sequence" and run.how == "stack"
                if not row:
                    message = "only a sequence in a stack may stand in another run"
                    yield Fault("run-parts", message, item.place, run.name)
            elif item.use is None or item.use.kind != "blank":
                place = laid.layout.leaf_place(item)
                yield Fault("run-parts", "a run is cut into blanks only", place, run.name)


def check_run_cuts(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """The cuts in a run go across it, and come after all cuts outside runs but resaw cuts."""
    others = [
        cut.order
        for node, cut in laid.cuts()
        if cut.axis != "z" and node.index not in laid.runs.inside
    ]
    last = max(others, default=0)
    for node, cut in laid.cuts():
        if node.index not in laid.runs.inside:
            continue
        run = laid.runs.tops[laid.runs.inside[node.index]]
        place = laid.layout.cut_place(cut)
        if cut.axis != run.axis:
            message = f'the cuts of run {run.name} must have the axis "{run.axis}"'
            yield Fault("run-cut", message, place, cut.axis)
        if cut.order < last:
            message = f"the cuts of a run come last, after cut {last}"
            yield Fault("run-last", message, place, str(cut.order))


def check_run_sides(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """All parts of a run lie the same way: one edge up, one face out, none turned end for end."""
    for run in laid.runs.tops.values():
        uses = run.blanks()
        for use in uses[1:]:
            for key in ("turned", "reversed", "flipped"):
                if getattr(use, key) != getattr(uses[0], key):
                    place = f"{run.place}, {use.part} {use.copy}"
                    found = f"{key} is {'true' if getattr(use, key) else 'false'}"
                    message = f"must lie as {uses[0].part} {uses[0].copy} does"
                    yield Fault("run-sides", message, place, found)


def check_run_order(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A run holds consecutive parts of one set, in order, or all of it turned end for end.

    A whole wrap starts with its first part; a lesser run may pass from the last to the first.
    """
    for index, run in laid.runs.tops.items():
        if run.how in _ROWS and run.stretch() is None:
            message = "must hold consecutive parts of one set of its match, in their order"
            yield Fault("run-order", message, run.place, _names(run))
        elif run.how == "book" and is_leaf(laid, index) and run.stretch() is None:
            yield Fault("run-order", "must be a leaf of its match", run.place, _names(run))


def _names(run: Run) -> str:
    """Return what stands in a run, in the order that it is read in."""
    return ", ".join(
        item.name
        if isinstance(item, Run)
        else (f"{item.use.part} {item.use.copy}" if item.use is not None else "?")
        for item in run.ordered()
    )


def check_run_sizes(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A run is large enough as a whole, and its inner parts have exactly what they need.

    What is more lies outside its outermost parts, or the grain would not run on.
    """
    for index, run in laid.runs.tops.items():
        for item in run.items[1:-1]:
            start, end = span(item, run.axis)
            need = inner_size(shop, laid, item, run.axis)
            if end - start != need:
                message = f"must be {mm(need)} between its joints"
                place = item.place if isinstance(item, Run) else laid.layout.leaf_place(item)
                yield Fault("run-size", message, place, mm(end - start))
        if laid.runs.whole[index] != index or not run.leaves():
            continue
        for axis in ("x", "y"):
            low, high = run.top.span(axis)
            least = whole_need(shop, laid, run.leaves()[0], axis)
            if high - low < least:
                along = "along" if axis == "x" else "across"
                message = f"the run must be at least {mm(least)} {along} the stock"
                yield Fault("size", message, run.place, mm(high - low))


def check_rows(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """The rows of a stack start in line, to within a step of the grid."""
    for run in laid.runs.tops.values():
        starts = [  # two rows may be sets of one sequence, and so of one name
            start
            for item in run.items
            if isinstance(item, Run)
            for start in [finished_start(shop, laid, item)]
            if start is not None
        ]
        if starts and max(starts) - min(starts) > shop.grid:
            message = "the rows of the stack do not start in line"
            found = ", ".join(mm(start) for start in starts)
            yield Fault("rows", message, run.place, found)


def inner_size(shop: Shop, laid: Laid, item: Item, axis: str) -> int:
    """Return what a part takes between two joints; a row of a stack as much as its widest part."""
    leaves = item.leaves() if isinstance(item, Run) else [item]
    return max((_finished_on_grid(shop, laid, leaf, axis) for leaf in leaves), default=0)


def finished_start(shop: Shop, laid: Laid, run: Run) -> int | None:
    """Return where the first finished part of a run starts along it; None for a single part."""
    if len(run.items) < 2:
        return None
    _, joint = span(run.items[0], run.axis)
    return joint - inner_size(shop, laid, run.items[0], run.axis)


def finished_end(shop: Shop, laid: Laid, run: Run) -> int | None:
    """Return where the last finished part of a run ends along it; None for a single part."""
    if len(run.items) < 2:
        return None
    joint, _ = span(run.items[-1], run.axis)
    return joint + inner_size(shop, laid, run.items[-1], run.axis)


def _finished_on_grid(shop: Shop, laid: Laid, leaf: Node, axis: str) -> int:
    """Return a part's finished size and joinery along an axis, on the grid."""
    part = laid.parts.get(leaf.use.part) if leaf.use is not None else None
    if part is None or leaf.use is None:
        return 0
    return up(finished(part, leaf.use.turned, axis), shop.grid)


def is_leaf(laid: Laid, index: int) -> bool:
    """Whether a node is the leaf of a resawn piece."""
    parent = laid.layout.tree[index].parent
    cut = laid.layout.tree[parent].cut if parent is not None else None
    return cut is not None and cut.axis == "z"

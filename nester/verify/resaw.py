"""Resawing: a board piece opened into two leaves, for a wrap that matches all round or a book.

Both leaves show the faces that the saw laid bare. In a wrap one leaf reads long-short, the other
short-long, with the same edge of the board up: a corner between them, at either end, is a book.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.number import mm
from nester.verify.records import Node, Shop
from nester.verify.run_rules import finished_end, finished_start
from nester.verify.runs import Run


@dataclass(frozen=True, slots=True)
class Pair:
    """A resawn piece: its node, its leaf of face A, its leaf of face B."""

    laid: Laid
    node: Node
    one: Run
    two: Run

    @property
    def place(self) -> str:
        """What the pair is called in a fault."""
        return self.one.place


def pairs(laid: Laid) -> list[Pair]:
    """Return the resawn pieces whose two leaves are marked with a match."""
    found = []
    for node, cut in laid.cuts():
        if cut.axis != "z":
            continue
        runs = [laid.runs.tops.get(i) for i in (node.first, node.second) if i is not None]
        if len(runs) == 2 and runs[0] is not None and runs[1] is not None:
            found.append(Pair(laid, node, runs[0], runs[1]))
    return found


def check_resaw_cuts(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """Only a board is resawn, once, within the saw's height, before any run is cut apart."""
    resawn: set[int] = set()
    for node in laid.layout.tree:
        if node.parent in resawn:
            resawn.add(node.index)
        cut = node.cut
        if cut is None or cut.axis != "z":
            continue
        place = laid.layout.cut_place(cut)
        if not laid.stock.board or laid.panel is not None:
            yield Fault("resaw", "only boards are resawn", place, laid.stock.id)
        elif node.index in resawn or node.index in laid.runs.inside:
            yield Fault("resaw", "a leaf or a part of a run is resawn", place)
        elif node.width > shop.resaw_height:
            message = f"the saw takes at most {mm(shop.resaw_height)}"
            yield Fault("resaw-height", message, place, mm(node.width))
        resawn.add(node.index)


def check_leaves(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """Both leaves of a resawn piece are cut into the parts of one wrap or book."""
    for node, cut in laid.cuts():
        if cut.axis != "z":
            continue
        runs = [laid.runs.tops.get(i) for i in (node.first, node.second) if i is not None]
        hows = {run.how for run in runs if run is not None}
        names = {run.name for run in runs if run is not None}
        if None in runs or len(names) != 1 or not hows <= {"wrap", "book"}:
            message = "both leaves must be of one wrap or one book"
            yield Fault("resaw-match", message, laid.layout.cut_place(cut), ", ".join(names))


def check_pairs(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A pair shows its sawn faces, and its parts go once round the case."""
    for pair in pairs(laid):
        for run, flipped in ((pair.one, True), (pair.two, False)):
            if any(use.flipped != flipped for use in run.blanks()):
                message = "the sawn face must show: face B of the first leaf, A of the second"
                yield Fault("resaw-faces", message, run.place)
        wrong = _fault_of(shop, pair)
        if wrong:
            yield Fault("resaw-pair", wrong, pair.place)


def set_of(shop: Shop, pair: Pair) -> int | None:
    """Return the number of the set that a pair matches all round, None where it does not."""
    stretch = pair.one.stretch()
    return None if stretch is None or _fault_of(shop, pair) else stretch.set


def _fault_of(shop: Shop, pair: Pair) -> str:
    """Return what is wrong with a pair, "" where nothing is."""
    one, two = pair.one.stretch(), pair.two.stretch()
    dealt = pair.one.dealt
    if one is None or two is None or dealt is None or pair.one.name != pair.two.name:
        return "its leaves do not hold parts of one match in order"
    if one.set != two.set or one.count + two.count != dealt.size:
        return "its leaves do not hold all parts of one set"
    if (one.start + one.count) % dealt.size != two.start:
        return "its leaves do not go on where the other ends"
    if pair.one.how != "wrap":
        return ""
    uses = [run.blanks()[0] for run in (pair.one, pair.two)]
    if uses[0].reversed == uses[1].reversed:
        return "the same edge of the board must be up in both leaves: one must be reversed"
    if uses[0].turned != uses[1].turned:
        return "both leaves must lie the same way"
    ends = [
        (finished_start(shop, pair.laid, run), finished_end(shop, pair.laid, run))
        for run in (pair.one, pair.two)
    ]
    for side in (0, 1):
        here, there = ends[0][side], ends[1][side]
        if here is not None and there is not None and abs(here - there) > shop.grid:
            return f"the finished ends of its leaves are not aligned: {mm(here)} and {mm(there)}"
    return ""

"""How well matches came out, counted from the layouts and panels themselves."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import groupby, pairwise

from nester.layout import Axis, BlankUse, Layout, Node, StripUse
from nester.model import How, Match, Project, Shop
from nester.plan import MatchResult, Panel, Penalty
from nester.problem.matches import taken

Copy = tuple[str, int]
Rows = Sequence[Sequence[Copy]]
"""The copies of one set of a match: of each part, or in a stack of sequences of each row."""


class Matching:
    """Counts the corners that run on in a plan."""

    def __init__(self, layouts: Sequence[Layout], panels: Sequence[Panel]) -> None:
        self.trees = [layout.tree for layout in layouts] + [panel.tree for panel in panels]
        self.home = _homes(layouts, panels)
        self.runs: dict[str, list[Node]] = {}
        for tree in self.trees:
            for node in _runs(tree):
                self.runs.setdefault(node.run, []).append(node)

    def results(self, project: Project) -> list[MatchResult]:
        """Return what became of each match, all its sets together."""
        rows = taken(project.matches, project.parts).rows
        return [self._result(match, rows[match.name]) for match in project.matches]

    def _result(self, match: Match, sets: Sequence[Rows]) -> MatchResult:
        n = len(match.parts)
        corners = n if match.how is How.WRAP else n - 1
        broken: list[tuple[str, str]] = []
        stock: set[tuple[str, int]] = set()
        for own in sets:
            matched = self.running(match, own)
            broken += [
                (match.parts[k], match.parts[(k + 1) % n])
                for k in range(corners)
                if k not in matched
            ]
            for row in own:
                for copy in row:
                    stock |= self.home.get(copy, set())
        total = corners * len(sets)
        ids = tuple(sorted({place[0] for place in stock}))
        return MatchResult(match.name, total, total - len(broken), tuple(broken), ids)

    def running(self, match: Match, own: Rows) -> set[int]:
        """Return the corners of one set that run on, each by the row before it, from 0."""
        if match.how is How.SAME_BOARD:
            return self._together(own)
        place = {copy: k for k, row in enumerate(own) for copy in row}
        n = len(own)
        found: set[int] = set()
        for node in self.runs.get(match.name, ()):
            here = [copy for copy in _copies(node) if copy in place]
            order = [k for k, _ in groupby(place[copy] for copy in here)]
            if node.cut is not None and node.cut.axis is Axis.Z:
                if len(here) == n:
                    found |= set(range(n))
                continue
            found |= {a for a, b in pairwise(order) if (a + 1) % n == b}
            found |= {b for a, b in pairwise(order) if (b + 1) % n == a}
        if match.how is not How.WRAP or n == 2:
            found.discard(n - 1)  # two in one run meet once, and begin with the first
        return found

    def _together(self, own: Rows) -> set[int]:
        """Return the corners whose two parts come from one piece of stock."""
        homes = [self.home.get(row[0], set()) for row in own]
        return {k for k, (a, b) in enumerate(pairwise(homes)) if a == b and len(a) == 1}


def penalties(results: Sequence[MatchResult], shop: Shop) -> tuple[list[Penalty], Fraction]:
    """Return what broken corners cost, a line for each match, and the sum."""
    price = shop.corner_penalty
    if price is None:
        return [], Fraction(0)
    found = [
        Penalty(result.name, _why(result), price * len(result.broken))
        for result in results
        if result.broken and price
    ]
    return found, sum((penalty.cost for penalty in found), Fraction(0))


def _why(result: MatchResult) -> str:
    corners = "corner does" if len(result.broken) == 1 else "corners do"
    return f"{len(result.broken)} {corners} not run on"


def _runs(node: Node) -> Iterator[Node]:
    """Yield the nodes that carry a run's name; of leaves resawn from one blank, that blank."""
    if node.run:
        yield node
        if node.cut is not None and node.cut.axis is Axis.Z:
            return
    for piece in node.pieces:
        yield from _runs(piece)


def _copies(node: Node) -> Iterator[Copy]:
    if isinstance(node.use, BlankUse):
        yield node.use.part, node.use.copy
    for piece in node.pieces:
        yield from _copies(piece)


def _homes(
    layouts: Sequence[Layout], panels: Sequence[Panel]
) -> Mapping[Copy, set[tuple[str, int]]]:
    """Return for each copy of a part the stock, with its copy, that its wood comes from."""
    homes: dict[Copy, set[tuple[str, int]]] = {}
    strips: dict[str, set[tuple[str, int]]] = {}
    for layout in layouts:
        place = (layout.stock, layout.copy)
        for copy in _copies(layout.tree):
            homes.setdefault(copy, set()).add(place)
        for panel in _strips(layout.tree):
            strips.setdefault(panel, set()).add(place)
    for glued in panels:
        for copy in glued.parts:
            homes.setdefault(copy, set()).update(strips.get(glued.id, set()))
    return homes


def _strips(node: Node) -> Iterator[str]:
    if isinstance(node.use, StripUse):
        yield node.use.panel
    for piece in node.pieces:
        yield from _strips(piece)

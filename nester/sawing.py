"""A cut as it is said at the saw: which saw, where the line is, on which side of it the saw runs.

The cut list in the terminal and the drawings both take their words and measures from here, so that
they cannot differ. Stock coordinates in 1/320 mm: x from end A, y from the near edge.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from inventory.length import MM, Length
from nester.layout import Axis, Cut, Layout, Node, Saw, WasteUse

SAW_WORDS = {
    Saw.CROSSCUT: "crosscut",
    Saw.RIP: "rip",
    Saw.ROUGH_RIP: "rough rip",
    Saw.RESAW: "resaw",
    Saw.MITER: "joint cut",  # square in a sequence; the list of joints has its angle
}
"""What is done at each saw; the sheet saw crosscuts and rips."""

MEASURED = {Axis.X: "from end A", Axis.Y: "from near edge", Axis.Z: "from face A"}
"""Where the line of a cut is measured from."""

SIDES = {
    Axis.X: ("end A", "end B"),
    Axis.Y: ("near edge", "far edge"),
    Axis.Z: ("face A", "face B"),
}
"""What lies before and beyond a cut."""


@dataclass(frozen=True, slots=True)
class SawLine:
    """One cut with the piece it is made in.

    The line is where the maker draws it: on the side of the kerf that is kept. The saw runs
    ``beyond`` it, or else before it (nearer to end A or to the near edge), which is so where the
    first piece is waste or nothing. ``trim``: the cut squares an end or straightens an edge.
    """

    cut: Cut
    node: Node
    beyond: bool
    trim: bool

    @property
    def line(self) -> Length:
        """The line, from end A, from the near edge, or of a resaw from face A."""
        if self.beyond:
            return self.cut.at
        far = self.cut.at + self.cut.kerf
        return far if self.cut.axis is Axis.Z else min(far, self.end)

    @property
    def start(self) -> Length:
        """Where the piece in hand begins, across the cut."""
        if self.cut.axis is Axis.Z:
            return 0
        return self.node.x if self.cut.axis is Axis.X else self.node.y

    @property
    def end(self) -> Length:
        """Where the piece in hand ends, across the cut; of a resaw nobody knows here."""
        if self.cut.axis is Axis.X:
            return self.node.x + self.node.length
        return self.node.y + self.node.width

    @property
    def stop(self) -> Length:
        """The line measured on the piece in hand, from its own end or edge nearest to end A."""
        return self.line - self.start

    @property
    def word(self) -> str:
        """What is done at the saw."""
        if self.cut.saw is Saw.SHEET:
            return SAW_WORDS[Saw.CROSSCUT if self.cut.axis is Axis.X else Saw.RIP]
        return SAW_WORDS[self.cut.saw]

    @property
    def measured(self) -> str:
        """Where the line is measured from."""
        return MEASURED[self.cut.axis]

    @property
    def side(self) -> str:
        """On which side of the line the saw runs: the end, edge or face that lies that way."""
        return SIDES[self.cut.axis][self.beyond]

    @property
    def rest_is_kerf(self) -> bool:
        """Whether a piece is kept and the saw takes all that lies beyond it."""
        return self.beyond and len(self.node.pieces) == 1


def saw_line(node: Node) -> SawLine | None:
    """Return the cut of ``node``, None where it is not cut."""
    if node.cut is None:
        return None
    first = first_piece(node)
    trim = first is None or any(is_trim(piece) for piece in node.pieces)
    return SawLine(node.cut, node, first is not None and not is_waste(first), trim)


def saw_lines(layout: Layout) -> list[SawLine]:
    """Return the cuts of ``layout`` in the order they are made."""
    found = [saw for node in walk(layout.tree) if (saw := saw_line(node)) is not None]
    return sorted(found, key=lambda saw: saw.cut.order)


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


SPARE = 2 * MM
"""More than any usual grid rounds a size up [1/320 mm]."""


def has_spare(node: Node, long: Length, wide: Length) -> bool:
    """Whether the sawn piece is clearly larger than ``long`` along the stock by ``wide``."""
    return node.length - long > SPARE or node.width - wide > SPARE

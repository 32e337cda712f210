"""What the drawing says about a piece: name, copy and size, in the project's units."""

from dataclasses import dataclass, field

from inventory.formatter import Formatter, exact_text
from inventory.length import INCH, Length
from inventory.stock import Board, Stock
from nester.draw.cutting import is_resawn
from nester.draw.type import clean
from nester.glued import Glued
from nester.joints import Joints
from nester.layout import BlankUse, Node, OffcutUse, StripUse
from nester.model import Part
from nester.sawing import has_spare


@dataclass(frozen=True, slots=True)
class Wording:
    """Words for measures and pieces. ``parts`` are the project's by name, ``up`` the face seen.

    ``opened``: what is seen is the leaf of a book that was turned over about the seam.
    """

    measure: Formatter
    stock: Stock
    parts: dict[str, Part]
    joints: Joints = field(default_factory=Joints)
    panel: Glued | None = None
    up: str = "face A up"
    opened: bool = False

    def length(self, value: Length) -> str:
        """Return a measure at the nearest mark of the tape, inches with their sign: 23 3/8″."""
        return self.measure.length(value) + self.unit

    @property
    def unit(self) -> str:
        """The sign after a measure; millimetres go without, the title block names them."""
        return "″" if self.measure.units == "in" else ""

    def exact(self, value: Length) -> str:
        """Return a measure in full: one that the tape cannot show stands in its own unit."""
        if self.measure.shows(value):
            return self.length(value)
        text = exact_text(value, self.measure.units)
        if self.measure.units == "mm":
            inch = exact_text(value, "in")
            return f"{inch}″" if "mm" not in inch else f"{self.measure.length(value)}"
        return text if text.endswith("mm") else f"{text}″"

    def part(self, node: Node) -> Part | None:
        """Return the part that a piece becomes, None where it is none of the project's."""
        return self.parts.get(node.use.part) if isinstance(node.use, BlankUse) else None

    def size(self, node: Node) -> tuple[Length, Length]:
        """Return a piece's length and width as printed, the part's own length first.

        A blank on a board is printed by its size on the grid, a blank on a sheet by its exact
        needed size.
        """
        use = node.use
        if not isinstance(use, BlankUse):
            return node.length, node.width
        part = self.part(node)
        if part is not None and not isinstance(self.stock, Board) and part.edging is None:
            return part.length + part.extra_length, part.width + part.extra_width
        return (node.width, node.length) if use.turned else (node.length, node.width)

    def sawn(self, node: Node) -> str:
        """Return " from" and what the saw leaves where a piece must still be cut down, else ""."""
        turned = isinstance(node.use, BlankUse) and node.use.turned
        long, wide = self.size(node)
        if not has_spare(node, *((wide, long) if turned else (long, wide))):
            return ""
        found = (node.width, node.length) if turned else (node.length, node.width)
        return " from " + " × ".join(map(self.length, found))

    def name(self, node: Node) -> str:
        """Return what a piece is called; offcuts by their id."""
        use = node.use
        if is_resawn(node):
            return clean(node.run or "pair") or "pair"
        if isinstance(use, BlankUse):
            return clean(use.part) or "unnamed"
        if isinstance(use, StripUse):
            return clean(f"panel {use.panel}")
        if isinstance(use, OffcutUse):
            return clean(use.id) or "unnamed"
        return "waste"

    def copy(self, node: Node) -> str:
        """Return which copy a piece is: "2 of 4", "spare", "strip 3"; empty for the only one."""
        use = node.use
        if is_resawn(node):
            return "two leaves"
        if isinstance(use, StripUse):
            return f"strip {use.strip}"
        if isinstance(use, OffcutUse):
            return "offcut"
        if not isinstance(use, BlankUse):
            return ""
        part = self.part(node)
        if part is None:
            return f"#{use.copy}"
        if use.copy > part.count:
            return f"spare {use.copy - part.count}" if part.spare > 1 else "spare"
        return f"{use.copy} of {part.count}" if part.count > 1 else ""

    def about(self, node: Node) -> str:
        """Return the text alternative of a piece."""
        first, second = (self.exact(value) for value in self.size(node))
        name = self.name(node)[:200]
        words = " ".join(filter(None, (name, self.copy(node))))
        x, y = self.length(node.x), self.length(node.y)
        return f"{words}, {first} × {second}, {x} from end A, {y} from the {self.lower}"

    @property
    def lower(self) -> str:
        """What the edge at the bottom of the drawing is, from which widths are measured."""
        return "seam" if self.opened else "near edge"

    def thickness(self, value: Length) -> str:
        """Return a thickness as it is known: inches where it is a fraction of one, else mm."""
        if self.measure.units == "in" and value % (INCH // 64) == 0:
            return f"{exact_text(value, 'in')}″"
        return f"{exact_text(value, 'mm')} mm"

    def sold(self) -> str:
        """Return how the stock's thickness was paid for or is called."""
        if self.panel is not None:
            return "glued up"
        if isinstance(self.stock, Board):
            quarters, rest = divmod(self.stock.sold_as, INCH // 4)
            if rest == 0 and quarters >= 4:
                return f"sold as {quarters}/4"
            return f"sold as {self.thickness(self.stock.sold_as)}"
        return f"called {self.thickness(self.stock.nominal)}"

"""The strips of glued-up panels: which boards they come from, and where their glue lines lie."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from inventory.length import Length
from nester.joints import place_words
from nester.layout import Layout, Node, StripUse
from nester.plan import Panel, Plan
from nester.sawing import walk


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip as it is sawn: its number from the panel's near edge, its board, its size.

    ``place`` is what the board is called.
    """

    number: int
    stock: str
    copy: int
    length: Length
    width: Length
    place: str


@dataclass(frozen=True, slots=True)
class Glued:
    """A panel with its strips in order.

    ``lines`` are its glue lines from the near edge; each strip has lost the same to jointing.
    """

    panel: Panel
    strips: tuple[Strip, ...]

    @property
    def lines(self) -> list[Fraction]:
        """Where the glue lines lie, from the panel's near edge [1/320 mm]."""
        lost = Fraction(sum(strip.width for strip in self.strips) - self.panel.width)
        each = lost / max(1, len(self.strips))
        found: list[Fraction] = []
        at = Fraction(0)
        for strip in self.strips[:-1]:
            at += strip.width - each
            found.append(at)
        return found

    @property
    def ends(self) -> list[Length]:
        """Where each strip ends, from the panel's near edge [1/320 mm]."""
        return [*(round(at) for at in self.lines), self.panel.width]

    def layout(self, thickness: Length = 0) -> Layout:
        """Return the panel's own cuts as those of a board are told, from end A and near edge."""
        panel = self.panel
        size = (panel.length, panel.width, thickness)
        return Layout(panel.id, 1, "board", *size, "0", panel.tree)

    @property
    def each_loses(self) -> Length:
        """What a strip loses to jointing and glue lines [1/320 mm]."""
        lost = sum(strip.width for strip in self.strips) - self.panel.width
        return lost // max(1, len(self.strips))


def glued_panels(plan: Plan) -> list[Glued]:
    """Return the panels of a plan with their strips, in the plan's order."""
    strips: dict[str, list[Strip]] = {}
    for layout in plan.layouts:
        for panel, number, node in _strips(layout.tree):
            place = place_words(layout.stock, layout.copy, plan)
            found = Strip(number, layout.stock, layout.copy, node.length, node.width, place)
            strips.setdefault(panel, []).append(found)
    return [
        Glued(panel, tuple(sorted(strips.get(panel.id, ()), key=lambda s: s.number)))
        for panel in plan.panels
    ]


def materials_of(glued: Glued, plan: Plan) -> Mapping[str, Length]:
    """Return the woods of a panel's strips, each with the thickness of its thinnest board."""
    found: dict[str, Length] = {}
    for strip in glued.strips:
        item = plan.stock_by_id(strip.stock)
        found[item.material] = min(item.thickness, found.get(item.material, item.thickness))
    return found


def _strips(tree: Node) -> Iterator[tuple[str, int, Node]]:
    for node in walk(tree):
        if isinstance(node.use, StripUse):
            yield node.use.panel, node.use.strip, node

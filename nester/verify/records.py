"""What the checker reads out of a plan document, as frozen records. Lengths are in 1/320 mm."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, TypeAlias

Point: TypeAlias = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop's values that a rule asks for."""

    grid: int
    kerf: Mapping[str, int]  # by saw
    blank_extra_length: int
    blank_extra_width: int
    plane_off: Mapping[str, int]  # by surface
    panel_off: int
    end_trim: int
    edge_trim: int
    sheet_trim: int
    flaw_margin: int
    split_margin: int
    metal_clear: int
    offcut_min: tuple[int, int]
    sheet_offcut_min: tuple[int, int]
    offcut_credit: Fraction
    shortest_milled: int
    shortest_rip: int
    jointer_width: int
    resaw_height: int
    thick_spare: int
    first_cut: str
    stages: int | None  # None: any number
    sheet_stages: int | None
    corner_penalty: Fraction | None  # None: corners come before money


@dataclass(frozen=True, slots=True)
class Flaw:
    """Something in the stock. ``outline`` is the true shape where it is no rectangle."""

    kind: str
    x: int
    y: int
    length: int
    width: int
    face: str  # "a", "b" or "both"
    sound: bool
    outline: tuple[Point, ...] | None


@dataclass(frozen=True, slots=True)
class Stock:
    """A board or a sheet; what only one of them has is empty or 0 in the other."""

    id: str
    board: bool
    material: str
    length: int
    width_a: int
    width_b: int
    thickness: int
    sold: int  # thickness paid for; of a sheet its nominal one
    nominal: int  # of a sheet; of a board 0
    rough_ends: bool
    rough_edges: bool
    surface: str
    sawn: str
    grain: str  # of a sheet: "length", "width" or "none"
    count: int
    bow: int
    crook: int
    cup: int
    twist: int
    price: Fraction
    per: str
    flaws: tuple[Flaw, ...]

    @property
    def width(self) -> int:
        """The wider end, so the width of the bounding box."""
        return max(self.width_a, self.width_b)

    @property
    def kind(self) -> str:
        """The word for it in the document."""
        return "board" if self.board else "sheet"


@dataclass(frozen=True, slots=True)
class Arch:
    """A circular arc on an edge of a part, sawn away later."""

    edge: str  # "near" or "far"
    start: int
    span: int
    rise: int


@dataclass(frozen=True, slots=True)
class Outline:
    """A polygon of a part that is sawn away later."""

    points: tuple[Point, ...]


Cutaway: TypeAlias = Arch | Outline


@dataclass(frozen=True, slots=True)
class GlueUp:
    """How a part may be edge-glued: how wide its strips may be, what each loses, how many."""

    narrowest: int
    widest: int
    per_strip: int
    most: int


@dataclass(frozen=True, slots=True)
class Part:
    """A finished piece of the project."""

    name: str
    count: int
    spare: int
    length: int
    width: int
    thickness: int
    materials: tuple[str, ...]
    grain: str
    quality: str
    allow: frozenset[str]
    only_from: tuple[str, ...]
    not_from: tuple[str, ...]
    sawn: str
    extra_length: int
    extra_width: int
    blank_extra_length: int | None
    blank_extra_width: int | None
    plane_off: int | None
    pulled_flat: bool
    glue_up: GlueUp | None
    cutaways: tuple[Cutaway, ...]

    @property
    def copies(self) -> int:
        """How many blanks are needed, spares included."""
        return self.count + self.spare


@dataclass(frozen=True, slots=True)
class Cut:
    """One straight cut; its kerf lies from ``at`` to ``at + kerf``."""

    axis: str  # "x": a crosscut, "y": a rip, "z": through the thickness, from face A
    at: int
    kerf: int
    saw: str
    order: int


@dataclass(frozen=True, slots=True)
class Use:
    """What a piece becomes."""

    kind: str  # "blank", "strip", "offcut" or "waste"
    part: str = ""
    copy: int = 0
    turned: bool = False
    reversed: bool = False
    flipped: bool = False
    id: str = ""
    trim: bool = False
    panel: str = ""
    strip: int = 0


@dataclass(frozen=True, slots=True)
class Node:
    """A rectangle of a cut tree, kept in a flat list: a node stands before its pieces.

    ``parent``, ``first`` and ``second`` are places in that list, None where there is no such node.
    """

    index: int
    parent: int | None
    x: int
    y: int
    length: int
    width: int
    cut: Cut | None
    first: int | None
    second: int | None
    use: Use | None
    run: str = ""

    def span(self, axis: str) -> tuple[int, int]:
        """Return where the rectangle starts and ends along ``axis``."""
        if axis == "x":
            return self.x, self.x + self.length
        return self.y, self.y + self.width


@dataclass(frozen=True, slots=True)
class Layout:
    """The cuts made in one copy of one stock item, or in a glued-up panel, which has a ``name``."""

    stock: str
    copy: int
    kind: str
    length: int
    width: int
    thickness: int
    value: Fraction
    first_cut: str
    tree: tuple[Node, ...]
    name: str = ""

    @property
    def place(self) -> str:
        """What the layout is called in a fault."""
        return self.name or f"{self.stock} copy {self.copy}"

    def leaf_place(self, node: Node) -> str:
        """What a leaf is called in a fault."""
        use = node.use
        if use is not None and use.kind == "blank":
            return f"{self.place}, {use.part} {use.copy}"
        if use is not None and use.kind == "offcut":
            return f"{self.place}, offcut {use.id}"
        if use is not None and use.kind == "strip":
            return f"{self.place}, strip {use.strip} of {use.panel}"
        return f"{self.place}, waste from cut {self.cut_before(node)}"

    def cut_place(self, cut: Cut) -> str:
        """What a cut is called in a fault."""
        return f"{self.place}, cut {cut.order}"

    def cut_before(self, node: Node) -> int:
        """The number of the cut that a node is a piece of, 0 for the whole stock."""
        cut = self.tree[node.parent].cut if node.parent is not None else None
        return cut.order if cut is not None else 0


@dataclass(frozen=True, slots=True)
class Panel:
    """A glued-up panel: the copies of parts that are cut from it, in order, and how."""

    id: str
    parts: tuple[tuple[str, int], ...]
    match: str | None
    strips: int
    layout: Layout

    @property
    def place(self) -> str:
        """What the panel is called in a fault."""
        return self.layout.place


@dataclass(frozen=True, slots=True)
class Match:
    """Parts whose grain runs on from one to the next."""

    name: str
    how: str  # "wrap", "sequence", "stack", "book" or "same board"
    parts: tuple[str, ...]
    miter: Fraction  # degrees
    joint_trim: int
    required: bool
    sets: int


@dataclass(frozen=True, slots=True)
class Result:
    """What the document says has become of a match."""

    name: str
    corners: int
    matched: int
    broken: tuple[tuple[str, str], ...]
    stock: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Penalty:
    """Money that the document charges for corners that do not match."""

    match: str
    cost: Fraction


@dataclass(frozen=True, slots=True)
class Missing:
    """Copies of a part that the plan could not place."""

    part: str
    count: int


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan document as read.

    ``whole`` is false where something in it could not be read; sums over all of it (copies, cost,
    yield) then mean nothing and are not asked for.
    """

    status: str
    cost: Fraction
    bound: Fraction | None
    gap: Fraction | None
    shop: Shop
    stock: Mapping[str, Stock]
    parts: Mapping[str, Part]
    matches: Mapping[str, Match]
    layouts: tuple[Layout, ...]
    panels: tuple[Panel, ...]
    results: tuple[Result, ...]
    penalties: tuple[Penalty, ...]
    missing: tuple[Missing, ...]
    yields: Mapping[str, Fraction]
    whole: bool

    @property
    def trees(self) -> tuple[Layout, ...]:
        """All cut trees: those of the stock, then those of the panels."""
        return (*self.layouts, *(panel.layout for panel in self.panels))


Document: TypeAlias = Mapping[str, Any]

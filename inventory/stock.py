"""What the shop owns: boards, sheets and their flaws, as frozen records.

Axes: lay the piece down with face A up and end A to the left; x runs from end A along the length, y
from the near edge across the width. All sizes are lengths in 1/320 mm (``inventory.length``).
"""

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from inventory.issue import Source
from inventory.length import Length


class FlawKind(Enum):
    """What a flaw is. The words are the trade's."""

    KNOT = "knot"
    CHECK = "check"
    SPLIT = "split"
    SHAKE = "shake"
    WANE = "wane"
    PITH = "pith"
    BARK_POCKET = "bark pocket"
    SAPWOOD = "sapwood"
    STAIN = "stain"
    WORM_HOLE = "worm hole"
    ROT = "rot"
    METAL = "metal"
    VOID = "void"  # no wood at all
    OTHER = "other"


NEVER_SOUND = frozenset(
    {FlawKind.WANE, FlawKind.SPLIT, FlawKind.SHAKE, FlawKind.ROT, FlawKind.METAL, FlawKind.VOID}
)
SOUND_BY_DEFAULT = frozenset({FlawKind.SAPWOOD, FlawKind.STAIN})


class Face(Enum):
    """Which face shows a flaw."""

    A = "a"
    B = "b"
    BOTH = "both"


class Surface(Enum):
    """How a board's faces stand."""

    ROUGH = "rough"
    SKIP_PLANED = "skip planed"
    S2S = "S2S"
    S4S = "S4S"


class Ends(Enum):
    """Whether a board's ends must be trimmed."""

    ROUGH = "rough"
    SQUARE = "square"


class Edges(Enum):
    """Whether a board's edges must be trimmed."""

    ROUGH = "rough"
    STRAIGHT = "straight"


class Sawn(Enum):
    """How a board was sawn from the log."""

    FLAT = "flat"
    RIFT = "rift"
    QUARTER = "quarter"


class SheetGrain(Enum):
    """Which way the face grain of a sheet runs."""

    LENGTH = "length"
    WIDTH = "width"
    NONE = "none"


class Per(Enum):
    """What a price is for."""

    BOARD_FOOT = "board foot"
    SQUARE_FOOT = "square foot"
    SQUARE_METRE = "square metre"
    CUBIC_METRE = "cubic metre"
    PIECE = "piece"


Point: TypeAlias = tuple[Length, Length]


@dataclass(frozen=True, slots=True)
class Flaw:
    """Something in the stock that a part may have to avoid.

    ``x, y, length, width`` is the bounding rectangle; ``outline``, where given, is the true polygon
    (three points or more, in order round it).
    """

    kind: FlawKind
    x: Length
    y: Length
    length: Length
    width: Length
    face: Face = Face.BOTH
    sound: bool = False
    outline: tuple[Point, ...] | None = None
    note: str = ""
    source: Source | None = field(default=None, compare=False, repr=False, kw_only=True)


@dataclass(frozen=True, slots=True)
class Board:
    """A solid board. ``width_a`` and ``width_b`` are at end A and end B; the far edge tapers.

    ``bow``, ``crook``, ``cup`` and ``twist`` are over the whole untrimmed board.
    """

    id: str
    species: str
    length: Length
    width_a: Length
    width_b: Length
    thickness: Length
    sold_as: Length
    surface: Surface = Surface.ROUGH
    ends: Ends = Ends.ROUGH
    edges: Edges = Edges.ROUGH
    sawn: Sawn | None = None
    count: int = 1
    bow: Length = 0
    crook: Length = 0
    cup: Length = 0
    twist: Length = 0
    price: Fraction = Fraction(0)
    per: Per = Per.BOARD_FOOT
    lot: str = ""
    show_face: Face | None = None  # A or B
    hollow_face: Face | None = None  # A or B
    hollow_edge: str = ""  # "near" or "far"; empty where not said
    moisture: Fraction | None = None  # percent
    shelf: str = ""
    note: str = ""
    flaws: tuple[Flaw, ...] = ()
    source: Source | None = field(default=None, compare=False, repr=False, kw_only=True)

    @property
    def width(self) -> Length:
        """The wider end, so the width of the bounding box."""
        return max(self.width_a, self.width_b)

    @property
    def material(self) -> str:
        """The species, under the name that parts ask for."""
        return self.species


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of plywood or other panel.

    ``thickness`` is measured, ``nominal`` what it is called.
    """

    id: str
    material: str
    length: Length
    width: Length
    thickness: Length
    nominal: Length
    grain: SheetGrain = SheetGrain.LENGTH
    count: int = 1
    price: Fraction = Fraction(0)
    per: Per = Per.PIECE
    lot: str = ""
    show_face: Face | None = None
    shelf: str = ""
    note: str = ""
    flaws: tuple[Flaw, ...] = ()
    source: Source | None = field(default=None, compare=False, repr=False, kw_only=True)


Stock: TypeAlias = Board | Sheet

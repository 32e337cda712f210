"""What a project asks for: parts, matches and the shop they are made in, as frozen records.

Lengths are in 1/320 mm (``inventory.length``). Defaults are filled in by the readers, so every
value here is the one that is used.
"""

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from inventory.issue import Source
from inventory.length import Length
from inventory.stock import FlawKind, Point, Sawn


class System(Enum):
    """The units of a file and of what is printed from it."""

    INCH = "in"
    METRIC = "mm"


class Grain(Enum):
    """Which way the grain runs in a part."""

    LENGTH = "length"
    WIDTH = "width"
    ANY = "any"


class Quality(Enum):
    """What flaws a part may hold."""

    CLEAR = "clear"  # no flaw on either face
    CLEAR_FACE = "clear face"  # one face free of flaws, only sound ones on the other
    SOUND = "sound"  # sound flaws only
    HIDDEN = "hidden"  # sound flaws, and small loose ones


class Held(Enum):
    """How a part's edges are held, for the movement check."""

    FREE = "free"
    ONE_EDGE = "one edge"
    MIDDLE = "middle"
    ALL_ROUND = "all round"


class How(Enum):
    """How the parts of a match belong together."""

    WRAP = "wrap"
    SEQUENCE = "sequence"
    STACK = "stack"
    BOOK = "book"
    SAME_BOARD = "same board"


@dataclass(frozen=True, slots=True)
class Arch:
    """A circular arc on the near or far edge of a part, sawn away later."""

    edge: str  # "near" or "far"
    start: Length
    span: Length
    rise: Length


@dataclass(frozen=True, slots=True)
class Outline:
    """A polygon of the finished part that is sawn away later."""

    points: tuple[Point, ...]


Cutaway: TypeAlias = Arch | Outline


@dataclass(frozen=True, slots=True)
class GlueUp:
    """A part that may be edge-glued from strips of widths between ``narrowest`` and ``widest``."""

    narrowest: Length
    widest: Length
    per_strip: Length
    max_strips: int


@dataclass(frozen=True, slots=True)
class Laminate:
    """A part glued up in thickness."""

    plies: int
    per_face: Length


@dataclass(frozen=True, slots=True)
class Edging:
    """Solid lipping of a sheet part, included in its finished size."""

    thickness: Length
    edges: tuple[str, ...]  # of "near", "far", "start", "end"
    over: Length


@dataclass(frozen=True, slots=True)
class Part:
    """A finished piece of the project, ``count`` copies plus ``spare`` for test cuts."""

    name: str
    length: Length
    width: Length
    thickness: Length
    materials: tuple[str, ...]
    count: int = 1
    spare: int = 0
    grain: Grain = Grain.LENGTH
    quality: Quality = Quality.CLEAR_FACE
    allow: frozenset[FlawKind] = frozenset()
    from_stock: tuple[str, ...] = ()
    not_from: tuple[str, ...] = ()
    sawn: Sawn | None = None
    extra_length: Length = 0
    extra_width: Length = 0
    blank_extra_length: Length | None = None  # None: the shop's
    blank_extra_width: Length | None = None
    plane_off: Length | None = None
    pulled_flat: bool = False
    held: Held = Held.FREE
    glue_up: GlueUp | None = None
    laminate: Laminate | None = None
    edging: Edging | None = None
    resaw: bool = False
    cutaways: tuple[Cutaway, ...] = ()
    note: str = ""
    thickness_as_written: str = ""
    source: Source | None = field(default=None, compare=False, repr=False, kw_only=True)

    @property
    def copies(self) -> int:
        """How many blanks are needed, spares included."""
        return self.count + self.spare


@dataclass(frozen=True, slots=True)
class Match:
    """Parts whose grain runs on from one to the next."""

    name: str
    how: How
    parts: tuple[str, ...]
    miter: Fraction = Fraction(45)  # degrees
    joint_trim: Length = 0
    required: bool = False
    sets: int = 1
    source: Source | None = field(default=None, compare=False, repr=False, kw_only=True)


class FirstCut(Enum):
    """Direction of a board's first stage."""

    CROSSCUT = "crosscut"
    RIP = "rip"
    EITHER = "either"


@dataclass(frozen=True, slots=True)
class Kerfs:
    """Wood turned to dust by each saw."""

    crosscut: Length
    rip: Length
    rough_rip: Length
    sheet: Length
    resaw: Length


@dataclass(frozen=True, slots=True)
class PlaneOff:
    """Thickness lost to flatten a flat board, both faces, by surface."""

    rough: Length
    skip_planed: Length
    s2s: Length
    s4s: Length


@dataclass(frozen=True, slots=True)
class Shop:
    """Saws, allowances and habits of the shop. Every value filled in."""

    system: System
    tape: Length
    grid: Length
    kerf: Kerfs
    blank_extra_length: Length
    blank_extra_width: Length
    plane_off: PlaneOff
    panel_off: Length
    end_trim: Length
    edge_trim: Length
    sheet_trim: Length
    flaw_margin: Length
    split_margin: Length
    metal_clear: Length
    offcut_min: tuple[Length, Length]
    sheet_offcut_min: tuple[Length, Length]
    offcut_credit: Fraction
    shortest_milled: Length
    shortest_rip: Length
    jointer_width: Length
    planer_width: Length
    rip_capacity: Length
    resaw_height: Length
    thick_spare: Length
    first_cut: FirstCut
    stages: int | None  # None: any
    sheet_stages: int | None
    corner_penalty: Fraction | None
    use_cutaways: bool


@dataclass(frozen=True, slots=True)
class Project:
    """A part list and the shop it is made in."""

    name: str
    units: System
    shop: Shop
    parts: tuple[Part, ...]
    matches: tuple[Match, ...] = ()
    sha256: str = ""
    source: Source | None = field(default=None, compare=False, repr=False, kw_only=True)

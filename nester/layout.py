"""A layout: one stock item and the tree of saw cuts made in it. Lengths are in 1/320 mm."""

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from inventory.length import Length
from nester.model import FirstCut


class Axis(Enum):
    """Direction of a cut."""

    X = "x"  # crosscut: at a distance along the length
    Y = "y"  # rip: at a distance across the width
    Z = "z"  # resaw: through the thickness


class Saw(Enum):
    """Which saw makes a cut."""

    CROSSCUT = "crosscut"
    RIP = "rip"
    ROUGH_RIP = "rough_rip"
    SHEET = "sheet"
    RESAW = "resaw"
    MITER = "miter"


@dataclass(frozen=True, slots=True)
class Cut:
    """One straight cut, edge to edge. The kerf lies from ``at`` to ``at + kerf``."""

    axis: Axis
    at: Length
    kerf: Length
    saw: Saw
    order: int


@dataclass(frozen=True, slots=True)
class BlankUse:
    """A rectangle that becomes a part. ``copy`` counts from 1."""

    part: str
    copy: int
    turned: bool = False
    reversed: bool = False
    flipped: bool = False


@dataclass(frozen=True, slots=True)
class StripUse:
    """A rectangle that becomes strip number ``strip`` (from 1) of a glued-up panel."""

    panel: str
    strip: int


@dataclass(frozen=True, slots=True)
class OffcutUse:
    """A leftover big enough to keep."""

    id: str


@dataclass(frozen=True, slots=True)
class WasteUse:
    """A leftover too small to keep; ``trim`` where it was cut off to square or straighten."""

    trim: bool = False


Use: TypeAlias = BlankUse | StripUse | OffcutUse | WasteUse


@dataclass(frozen=True, slots=True)
class Node:
    """A rectangle of wood: either used, or cut in two by one straight cut."""

    x: Length
    y: Length
    length: Length
    width: Length
    cut: Cut | None = None
    pieces: tuple["Node", ...] = ()
    use: Use | None = None
    gang: bool = False
    run: str = ""


@dataclass(frozen=True, slots=True)
class Layout:
    """The cuts made in one copy of one stock item; ``length`` and ``width`` bound its outline."""

    stock: str
    copy: int
    kind: str  # "board" or "sheet"
    length: Length
    width: Length
    thickness: Length
    value: str  # money, a decimal of at most three places (see decimal_text)
    tree: Node
    first_cut: FirstCut = FirstCut.CROSSCUT
    note: str = field(default="", compare=False)


def decimal_text(money: Fraction) -> str:
    """Return money as a plan has it: a decimal rounded to three places, no zeros at its end."""
    thousandths = round(money * 1000)
    whole, rest = divmod(abs(thousandths), 1000)
    text = f"{whole}.{rest:03d}".rstrip("0").rstrip(".")
    return f"-{text}" if thousandths < 0 else text

"""The records of a plan."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from inventory.length import Length
from inventory.stock import Stock
from nester.layout import Layout, Node
from nester.model import Match, Part, Shop, System

FORMAT = "nester-plan 1"


class Status(Enum):
    """How a planning run ended."""

    OPTIMAL = "optimal"  # no plan on this grid costs less
    WITHIN_GAP = "within gap"  # the asked-for gap is proven
    FEASIBLE = "feasible"  # complete, stopped earlier
    SHORT = "short"  # parts are missing


@dataclass(frozen=True, slots=True)
class Missing:
    """Copies of a part that could not be had, with a reason a maker understands."""

    part: str
    count: int
    reason: str


@dataclass(frozen=True, slots=True)
class MatchResult:
    """How well a match came out: how many corners run on, and which do not."""

    name: str
    corners: int
    matched: int
    broken: tuple[tuple[str, str], ...]
    stock: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Penalty:
    """Money charged for a corner that does not match."""

    match: str
    why: str
    cost: Fraction


@dataclass(frozen=True, slots=True)
class Panel:
    """A glued-up panel and the cuts made in it. ``parts``: (name, copy) in order."""

    id: str
    parts: tuple[tuple[str, int], ...]
    match: str | None
    strips: int
    length: Length
    width: Length
    tree: Node


@dataclass(frozen=True, slots=True)
class Yield:
    """Areas over all layouts [1/320 mm squared]; parts, offcuts, kerf and waste add up to stock."""

    stock: int = 0
    parts: int = 0
    offcuts: int = 0
    kerf: int = 0
    waste: int = 0

    @property
    def fraction(self) -> float:
        """Share of the stock cut that becomes blanks."""
        return self.parts / self.stock if self.stock else 0.0


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole plan: the input it was made from, its layouts, and what was proven about it.

    ``cost`` and ``bound`` are money; ``bound`` and ``gap`` are None where parts are missing.
    ``made`` is a UTC time in ISO 8601.
    """

    version: str
    made: str
    units: System
    seed: int
    project: str
    project_sha256: str
    status: Status
    cost: Fraction
    bound: Fraction | None
    gap: Fraction | None
    seconds: float
    stopped_by: str
    shop: Shop
    stock: tuple[Stock, ...]
    parts: tuple[Part, ...]
    matches: tuple[Match, ...]
    layouts: tuple[Layout, ...]
    panels: tuple[Panel, ...] = ()
    missing: tuple[Missing, ...] = ()
    match_results: tuple[MatchResult, ...] = ()
    penalties: tuple[Penalty, ...] = ()
    yields: Yield = Yield()

    def stock_by_id(self, name: str) -> Stock:
        """Return the stock item whose id is ``name``; raises ``KeyError`` where there is none."""
        for item in self.stock:
            if item.id == name:
                return item
        raise KeyError(name)

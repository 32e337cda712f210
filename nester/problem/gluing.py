"""Which blanks may be glued up, and the kinds of strips that they may be glued from."""

from collections.abc import Sequence
from dataclasses import dataclass

from inventory.stock import Board, Stock
from nester.model import Grain, How, Part, Quality, Shop
from nester.problem.choice import Glue
from nester.problem.inner import Inner, Slot
from nester.problem.kinds import Kind, Line, Strip
from nester.problem.shapes import posed

MOST_WIDTHS = 64
"""Widths of strips that are thought of for panels of one kind."""


@dataclass(frozen=True, slots=True)
class _Limits:
    """From the narrowest to the widest strip [cells], and what a panel needs [1/320 mm]."""

    low: int
    high: int
    need: int
    per_strip: int
    most: int


class Gluer:
    """Makes strips for blanks that may be glued up; panels that are alike share them."""

    def __init__(self, stock: Sequence[Stock], shop: Shop, kinds: list[Kind]) -> None:
        self.boards = [item for item in stock if isinstance(item, Board)]
        self.shop = shop
        self.kinds = kinds
        self.first = 0
        self.wanted: list[tuple[int, tuple[Part, ...], Line | None, _Limits]] = []

    def part(self, demand: int, part: Part) -> None:
        """Take note of a part that may be glued up."""
        across = part.length + part.extra_length
        if part.grain is not Grain.WIDTH:
            across = part.width + part.extra_width
        self._note(demand, (part,), None, across)

    def line(self, demand: int, line: Line) -> None:
        """Take note of a run; only where all its parts may be glued up is one panel made of it."""
        if line.match.how is How.STACK or any(part.glue_up is None for part in line.parts):
            return
        if any(part.grain is Grain.WIDTH for part in line.parts):
            return
        across = max(part.width + part.extra_width for part in line.parts)
        self._note(demand, line.parts, line, across)

    def _note(self, demand: int, parts: tuple[Part, ...], line: Line | None, need: int) -> None:
        found = [part.glue_up for part in parts if part.glue_up is not None]
        if not found or not self.boards:
            return
        grid = self.shop.grid
        low = -(-max(glue.narrowest for glue in found) // grid)
        high = min(*(glue.widest for glue in found), self.shop.jointer_width) // grid
        per_strip = max(glue.per_strip for glue in found)
        most = min(glue.max_strips for glue in found)
        if low > high or most < 2 or most * (high * grid - per_strip) < need:
            return
        self.wanted.append((demand, parts, line, _Limits(low, high, need, per_strip, most)))

    def glues(self) -> list[Glue]:
        """Return the blanks that may be glued up, adding the strips to the list of kinds."""
        families: dict[tuple[object, ...], list[int]] = {}
        for i, (_, parts, line, _) in enumerate(self.wanted):
            length = Strip(parts, line, 1).length(self.boards[0], self.shop)
            alike = frozenset(_likeness(part) for part in parts)
            families.setdefault((length, alike), []).append(i)
        made: dict[int, Glue] = {}
        grid = self.shop.grid
        for members in families.values():
            _, parts, line, _ = self.wanted[members[0]]
            kind_of: dict[int, int] = {}
            for i in members:
                demand, _, _, limits = self.wanted[i]
                hidden = any(part.quality is Quality.HIDDEN for part in parts)
                for width in _widths(limits, grid, every=hidden):
                    if width not in kind_of:
                        kind_of[width] = self._add(Strip(parts, line, width))
            for i in members:
                demand, of, run, limits = self.wanted[i]
                own = sorted(w for w in kind_of if limits.low <= w <= limits.high)
                made[i] = Glue(
                    demand,
                    tuple((kind_of[w], w * grid) for w in own),
                    limits.high * grid,
                    limits.need,
                    limits.per_strip,
                    limits.most,
                    Strip(of, run, 1).length(self.boards[0], self.shop) // grid,
                    self._inner(of, run),
                )
        return [made[i] for i in range(len(self.wanted))]

    def _inner(self, parts: tuple[Part, ...], line: Line | None) -> Inner | Slot:
        """Return how a panel is parted: a run's parts in order, a part alone not at all."""
        if line is None:
            return Slot(0, turned=parts[0].grain is Grain.WIDTH)
        return posed(line.shape(self.boards[0], self.shop, False), False, False, False)

    def _add(self, kind: Kind) -> int:
        self.kinds.append(kind)
        return self.first + len(self.kinds) - 1


def _likeness(part: Part) -> tuple[object, ...]:
    """Return what strips of two parts must have in common."""
    return (
        part.grain is Grain.WIDTH,
        (part.width, part.extra_width, part.blank_extra_width) if part.grain is Grain.WIDTH else 0,
        part.thickness,
        frozenset(part.materials),
        part.quality,
        part.allow,
        frozenset(part.from_stock),
        frozenset(part.not_from),
        part.sawn,
        part.plane_off,
        part.pulled_flat,
    )


def _widths(limits: _Limits, grid: int, every: bool) -> list[int]:
    """Return the widths to think of: evenly spread, and those that make equal strips.

    ``every``: all of them, since what a strip may hold goes by its width.
    """
    step = 1 if every else -(-(limits.high - limits.low + 1) // MOST_WIDTHS)
    found = {limits.high, *range(limits.low, limits.high + 1, step)}
    for n in range(2, limits.most + 1):
        each = -(-(limits.need + n * limits.per_strip) // (n * grid))
        if limits.low <= each <= limits.high:
            found.add(each)
    return sorted(found)

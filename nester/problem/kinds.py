"""Kinds of blanks that are more than one part: how each stock item may give them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import Protocol

from inventory.length import Length
from inventory.stock import Board, Stock
from nester.blanks import Needed, fits_flat, needed, plane_off, refusal, round_up, thickness_left
from nester.blanks.runs import joint_loss
from nester.layout import Saw
from nester.model import Match, Part, Quality, Shop
from nester.problem.inner import Inner, Slot
from nester.problem.lists import Ground, StripGround
from nester.problem.records import Option
from nester.problem.shapes import Row, Shape, milled, posed, row_shape, stack_shape, turns

ANY_THICKNESS = 10**9


class Kind(Protocol):
    """A kind of blank: the parts in one of it, and the ways a stock item may give it."""

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts in one blank."""
        ...

    def options(self, demand: int, ground: Ground) -> list[Option]:
        """Return the ways ``ground`` gives the blank, as kind number ``demand``."""
        ...


@dataclass(frozen=True, slots=True)
class Line:
    """A run of parts end to end, or with more rows than one a stack, as ``match`` asks."""

    match: Match
    rows: tuple[Row, ...]

    @property
    def parts(self) -> tuple[Part, ...]:
        """All parts, row by row."""
        return tuple(part for row in self.rows for part in row.parts)

    def shape(self, item: Stock, shop: Shop, turned: bool) -> Shape:
        """Return the blank, parts ascending."""
        if len(self.rows) == 1:
            shape = row_shape(self.rows[0], item, shop)
        else:
            shape = stack_shape(self.rows, self.match, item, shop)
        if not isinstance(item, Board):
            return shape
        return milled(shape, round_up(shop.shortest_milled, shop.grid) // shop.grid, turned)

    def options(self, demand: int, ground: Ground) -> list[Option]:
        """Return the ways ``ground`` gives the blank: along or across, either end first."""
        item, shop = ground.item, ground.shop
        made: list[Option] = []
        for turned in turns(self.parts, item, shop):
            shape = self.shape(item, shop, turned)
            length, width = _lying(shape, turned)
            if not _fits(self.parts, item, shop, length, width):
                continue
            if isinstance(item, Board) and not _rippable(shape.inner, turned, length, width, shop):
                continue
            seen: set[int] = set()
            for flipped in ground.faces():
                for back in (False, True):
                    inner = posed(shape, turned, back, flipped)
                    assert isinstance(inner, Inner)
                    size = (0, 0, length, width)
                    index = ground.of_blank(self.parts, inner, size, flipped)
                    if index in seen:
                        continue
                    seen.add(index)
                    made.append(
                        Option(demand, length, width, turned, ((index, flipped),), inner=inner)
                    )
        return made


@dataclass(frozen=True, slots=True)
class Leaves:
    """Two leaves resawn from one blank and opened, their sawn faces outside.

    ``second`` is the leaf of face B, ``first`` that of face A; each is a row in the order of the
    match. A wrap's leaves lie opposite ways, so that one edge is up; those of a book lie alike.
    """

    match: Match
    second: Row
    first: Row
    opposite: bool

    @property
    def parts(self) -> tuple[Part, ...]:
        """All parts, the second leaf's before the first's: in the order of the match."""
        return (*self.second.parts, *self.first.parts)

    def options(self, demand: int, ground: Ground) -> list[Option]:
        """Return the ways ``ground`` gives the blank: boards thick enough do."""
        item, shop = ground.item, ground.shop
        if not isinstance(item, Board):
            return []
        made: list[Option] = []
        seen: set[int] = set()
        for back in (False, True):
            for turned in turns(self.parts, item, shop):
                option = self._option(demand, ground, item, turned, back)
                if option is not None and option.shows[0][0] not in seen:
                    seen.add(option.shows[0][0])
                    made.append(option)
        return made

    def _option(
        self, demand: int, ground: Ground, item: Board, turned: bool, back: bool
    ) -> Option | None:
        shop = ground.shop
        grid = shop.grid
        least = round_up(shop.shortest_milled, grid) // grid
        shapes = self._shapes(item, shop)
        if shapes is None:
            return None
        own = [_lying(milled(shape, least, turned), turned) for shape in shapes]
        along = max(shape.along for shape in shapes)
        across = max(shape.across for shape in shapes)
        whole = [milled(replace(s, along=along, across=across), least, turned) for s in shapes]
        if self.opposite and not turned:
            whole[1] = _from_end(shapes[1], whole[1])
        length, width = _lying(whole[0], turned)
        at = _resaw_at(self, item, shop, own)
        if at is None or width * grid > shop.resaw_height:
            return None
        planks = [replace(part, thickness=0) for part in self.parts]
        loose = replace(shop, thick_spare=ANY_THICKNESS)
        way = Needed(length * grid, width * grid, turned, 0, 0, 0)
        if any(refusal(plank, item, loose, way) is not None for plank in planks):
            return None
        second = posed(whole[0], turned, back, False, leaf=True)
        first = posed(whole[1], turned, back != self.opposite, True, leaf=True)
        kerf = round_up(shop.kerf.resaw, grid) // grid
        inner = Inner(
            "z", Saw.RESAW, kerf, (0, at + kerf), (at, at + kerf), (first, second), self.match.name
        )
        index = ground.of_leaves(self.parts, inner, (0, 0, length, width))
        most = shop.resaw_height // grid
        return Option(demand, length, width, turned, ((index, False),), inner=inner, most=most)

    def _shapes(self, item: Board, shop: Shop) -> tuple[Shape, Shape] | None:
        """Return the shapes of the second and the first leaf, None where they cannot be aligned."""
        two = row_shape(self.second, item, shop, 0, self.parts)
        one = row_shape(self.first, item, shop, len(self.second.parts), self.parts)
        if self.opposite:
            joint = joint_loss(self.match, item, shop) // shop.grid
            sizes = [
                [round_up(p.length + p.extra_length, shop.grid) // shop.grid for p in row.parts]
                for row in (self.second, self.first)
            ]
            totals = [sum(own) + joint * (len(own) - 1) for own in sizes]
            ends = _margins(two.inner, two.along, sizes[0])
            others = _margins(one.inner, one.along, sizes[1])
            if totals[0] != totals[1] or ends is None or others != ends[::-1]:
                return None
        return two, one


def _from_end(shape: Shape, longer: Shape) -> Shape:
    """Return a run made longer at its first part, where its end is the one that is aligned."""
    more = longer.along - shape.along
    inner = shape.inner
    if isinstance(inner, Slot) or not more:
        return longer
    starts = (0, *(start + more for start in inner.starts[1:]))
    inner = replace(inner, starts=starts, ends=tuple(end + more for end in inner.ends))
    return replace(longer, inner=inner)


def _margins(inner: Inner | Slot, along: int, sizes: Sequence[int]) -> tuple[int, int] | None:
    """Return what a run has beyond its finished sizes at its start and at its end [cells].

    None for a part alone: what it has is shared between its ends, so it cannot be aligned.
    """
    if isinstance(inner, Slot):
        return None
    return inner.ends[0] - sizes[0], along - inner.starts[-1] - sizes[-1]


def _resaw_at(
    leaves: Leaves, item: Board, shop: Shop, own: Sequence[tuple[int, int]]
) -> int | None:
    """Return where a blank is resawn from face A [cells], both leaves thick enough; or None."""
    grid = shop.grid
    needs = []
    for row, (length, width) in zip((leaves.second, leaves.first), own, strict=True):
        parts = _alike(row.parts, item, shop)
        warped = [
            item.thickness
            - thickness_left(item, 0, length * grid, width * grid, part.pulled_flat)
            + plane_off(part, item, shop)
            + part.thickness
            for part in parts
        ]
        needs.append(max(warped))
    kerf = round_up(shop.kerf.resaw, grid)
    low = round_up(ceil(needs[1]), grid) // grid
    high = floor(item.thickness - kerf - needs[0]) // grid
    return (low + high) // 2 if low <= high else None


def _lying(shape: Shape, turned: bool) -> tuple[int, int]:
    return (shape.across, shape.along) if turned else (shape.along, shape.across)


def _alike(parts: Sequence[Part], item: Stock, shop: Shop) -> list[Part]:
    """Return the parts as milled in one piece: the most is planed off, all or none pulled flat."""
    if not isinstance(item, Board):
        return list(parts)
    most = max(plane_off(part, item, shop) for part in parts)
    flat = all(part.pulled_flat for part in parts)
    return [replace(part, plane_off=most, pulled_flat=flat) for part in parts]


def _fits(parts: Sequence[Part], item: Stock, shop: Shop, length: int, width: int) -> bool:
    """Whether a stock item may give a blank of this size to all these parts, flaws apart."""
    grid = shop.grid
    way = Needed(length * grid, width * grid, False, 0, 0, 0)
    if any(refusal(part, item, shop, way) is not None for part in parts):
        return False
    return not isinstance(item, Board) or all(
        fits_flat(part, item, shop, way.length, way.width) for part in _alike(parts, item, shop)
    )


def _rippable(inner: Inner | Slot, turned: bool, length: int, width: int, shop: Shop) -> bool:
    """Whether the parts of a board's blank may be ripped from one another."""
    axis = inner.axis if isinstance(inner, Inner) else ""
    if shop.shortest_rip == 0 or axis != ("x" if turned else "y"):
        return True
    return length >= max(round_up(shop.shortest_rip, shop.grid) // shop.grid, width)


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of a glued-up panel, ``width`` cells wide on the board.

    ``parts`` are those cut from the panel; ``line`` is their run where there are several.
    """

    parts: tuple[Part, ...]
    line: Line | None
    width: int

    def length(self, item: Stock, shop: Shop) -> Length:
        """Return how long a strip must be [1/320 mm]: as long as the blank."""
        if self.line is not None:
            return self.line.shape(item, shop, False).along * shop.grid
        return needed(self.parts[0], item, shop)[0].length

    def options(self, demand: int, ground: Ground) -> list[Option]:
        """Return the way ``ground`` gives the strip: boards do, if any."""
        item, shop = ground.item, ground.shop
        if not isinstance(item, Board):
            return []
        known = ground.strips.get(id(self.parts))
        if known is None:
            known = ground.strips[id(self.parts)] = StripGround(
                self.length(item, shop) // shop.grid, self._glued(item, shop), ANY_THICKNESS
            )
        if self.width >= known.refused:
            return []
        way = Needed(known.length * shop.grid, self.width * shop.grid, False, 0, 0, 0)
        if any(refusal(part, item, shop, way) is not None for part in known.glued):
            # A wider strip of the same length warps more, and has less room.
            known.refused = self.width
            return []
        hidden = any(part.quality is Quality.HIDDEN for part in self.parts)
        if hidden or not known.shows:
            known.shows = self._shows(ground)
        return [Option(demand, known.length, self.width, False, known.shows, most=self.width)]

    def _shows(self, ground: Ground) -> tuple[tuple[int, bool], ...]:
        own = self.width * ground.shop.grid
        shows: dict[int, bool] = {}
        for flipped in ground.faces():
            blocks = [b for part in self.parts for b in ground.of_part(part, own, flipped)]
            shows.setdefault(ground.keep_clear([*blocks, *ground.metal()]), flipped)
        return tuple(shows.items())

    def _glued(self, item: Board, shop: Shop) -> tuple[Part, ...]:
        """Return the parts as if each lost what a panel loses besides."""
        return tuple(
            replace(part, plane_off=plane_off(part, item, shop) + shop.panel_off)
            for part in _alike(self.parts, item, shop)
        )

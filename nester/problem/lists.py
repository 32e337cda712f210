"""What blanks of several parts must keep clear of: each part's flaws over its own stretch."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from inventory.length import Length
from inventory.stock import Face, FlawKind, Stock
from nester.blanks import Needed, Obstacle, obstacles, round_up
from nester.blanks.cutaways import Lie
from nester.blanks.runs import more_width
from nester.model import Part, Quality, Shop
from nester.problem.excuses import Excuse, excuse, in_slot
from nester.problem.inner import Inner, Rect, Slot, slots
from nester.problem.raster import Block, blocks_of

Row: TypeAlias = tuple[Block, Excuse | None]


@dataclass(slots=True)
class StripGround:
    """What strips for panels of one kind have in common on one board, found out once.

    They are ``length`` cells long, as thick as ``glued`` parts need; from ``refused`` cells on they
    are too wide. ``shows`` are their lists, where those do not go by the width.
    """

    length: int
    glued: tuple[Part, ...]
    refused: int
    shows: tuple[tuple[int, bool], ...] = ()


class Ground:
    """One stock item's flaws as blocks, and the block lists that its composite blanks go by.

    ``first`` is the number of the first list made here.
    """

    def __init__(
        self, item: Stock, shop: Shop, edge: Sequence[Block], size: tuple[int, int], first: int
    ) -> None:
        self.item, self.shop, self.edge, self.size, self.first = item, shop, edge, size, first
        self.lists: dict[tuple[Row, ...], int] = {}
        self.known: dict[Obstacle, list[Block]] = {}
        self.strips: dict[int, StripGround] = {}

    def faces(self) -> tuple[bool, bool]:
        """Return whether face B shows, the better way first."""
        first = self.item.show_face is Face.B
        return first, not first

    def keep_clear(self, blocks: Iterable[Block]) -> int:
        """Return the number of the list of these blocks and those past the stock's edges."""
        return self._list((block, None) for block in blocks)

    def _list(self, rows: Iterable[Row]) -> int:
        found = dict.fromkeys([*((block, None) for block in self.edge), *rows])
        key = tuple(sorted(found, key=lambda row: row[0]))
        return self.lists.setdefault(key, len(self.lists) + self.first)

    def of_blank(self, parts: Sequence[Part], inner: Inner | Slot, size: Rect, face: bool) -> int:
        """Return the list for a blank in which ``parts`` lie as ``inner`` says.

        A part's block is moved so that the whole blank meets it where the part would. Where its
        cutaway may lie over the flaw, the block says so.
        """
        found: list[Row] = []
        for slot, rect in slots(inner, size):
            part = parts[slot.index]
            own = own_width(part, self.item, self.shop)
            shown = face if slot.flipped is None else slot.flipped
            lie = Lie(slot.turned, slot.reversed, shown)
            for obstacle in self._obstacles(part, own, face):
                excused = excuse(part, lie, obstacle.flaw, self.item, self.shop.grid)
                if excused is not None:
                    excused = in_slot(excused, rect, size, self._seat(part, slot.turned))
                found += [(_moved(b, rect, size), excused) for b in self._blocks(obstacle)]
        return self._list([*found, *((block, None) for block in self.metal())])

    def _seat(self, part: Part, turned: bool) -> tuple[int, int]:
        """Return how much of the stock's length and width a part in a run takes [cells]."""
        grid = self.shop.grid
        length = round_up(part.length + part.extra_length, grid) // grid
        width = round_up(part.width + part.extra_width, grid) // grid
        return (width, length) if turned else (length, width)

    def of_leaves(self, parts: Sequence[Part], inner: Inner, size: Rect) -> int:
        """Return the list for a blank that is resawn: a flaw on any face counts on all."""
        strict = [
            replace(part, quality=Quality.CLEAR) if part.quality is Quality.CLEAR_FACE else part
            for part in parts
        ]
        return self.of_blank(strict, inner, size, False)

    def of_part(self, part: Part, own: Length, face: bool) -> list[Block]:
        """Return the blocks that a part of this own width must keep clear of, cutaways or not."""
        found = self._obstacles(part, own, face)
        return [block for obstacle in found for block in self._blocks(obstacle)]

    def _obstacles(self, part: Part, own: Length, face: bool) -> tuple[Obstacle, ...]:
        way = Needed(0, 0, False, 0, 0, own)
        faces = obstacles(part, way, self.item, self.shop)
        return faces.get(Face.BOTH, faces.get(Face.B if face else Face.A, ()))

    def metal(self) -> list[Block]:
        """Return the blocks that no cut may come near, so that no joint lies over metal either."""
        clear = self.shop.metal_clear
        return [
            block
            for flaw in self.item.flaws
            if flaw.kind is FlawKind.METAL
            for block in self._blocks(Obstacle(flaw, clear, clear))
        ]

    def _blocks(self, obstacle: Obstacle) -> list[Block]:
        if obstacle not in self.known:
            self.known[obstacle] = blocks_of(obstacle, self.shop.grid, *self.size)
        return self.known[obstacle]


def own_width(part: Part, item: Stock, shop: Shop) -> Length:
    """Return the needed width of a part's own blank, by which small loose flaws are judged."""
    width = part.width + part.extra_width + more_width([part], item, shop)
    return round_up(width, shop.grid)


def _moved(block: Block, rect: Rect, size: Rect) -> Block:
    """Return the block that a blank of ``size`` meets where its part in ``rect`` meets ``block``.

    It may end before it begins, where the part is much smaller than the blank: what is compared
    are the blank's ends with the block's, and they still say the same.
    """
    x1, y1, x2, y2 = block
    return (
        x1 - rect[2] + size[2],
        y1 - rect[3] + size[3],
        x2 - rect[0],
        y2 - rect[1],
    )

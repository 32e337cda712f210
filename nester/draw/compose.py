"""Sharing a sheet between the drawing and its lists."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, permutations

from inventory.stock import Board, Stock
from nester.draw.cutting import Cutting
from nester.draw.jointlist import caret_words, joint_table, joints_in, strip_table
from nester.draw.lists import (
    CAUTION,
    Detail,
    cut_table,
    flaw_table,
    note_lines,
    piece_table,
    reading_note,
)
from nester.draw.names import Wording
from nester.draw.page import Box, Paper
from nester.draw.rows import arrange
from nester.draw.scene import Scene, draw_scene
from nester.draw.tables import APART, ON, PITCH, Placed, Space, Table, flow
from nester.draw.titleblock import block_box
from nester.draw.type import Line
from nester.layout import Layout

LEAST_DRAWING = 84.0
"""Height that the lists must leave for the drawing; what does not fit then goes overleaf [mm]."""
LEAST_LISTS = 22.0
"""Height under the drawing that is always left to the lists [mm]."""
STEP = 2.0
"""In such steps the border between drawing and lists is tried [mm]."""
BETWEEN = 3.0
"""White between drawing and lists [mm]."""
DOWN = 0.4
"""Share of the white left over that comes above the drawing."""


@dataclass(frozen=True, slots=True)
class Composition:
    """What stands on the first sheet, title block apart; ``left``: the lists that go overleaf."""

    scene: Scene
    placed: list[Placed]
    notes: list[Line]
    left: list[Table]


@dataclass(frozen=True, slots=True)
class Trial:
    """A drawing that leaves its lists room: with the lists from ``start`` down, at ``detail``."""

    scene: Scene
    detail: Detail
    start: float
    placed: list[Placed]

    @property
    def worth(self) -> tuple[int, int, int]:
        """What trials are compared by, the less the better.

        Numbered pieces, then lists that go on higher up, then short lists.
        """
        return len(self.scene.keyed), rises(self.placed), self.detail.value


@dataclass(frozen=True, slots=True)
class Composer:
    """One layout and the paper it is to be shown on; ``more`` are notes of this layout alone."""

    cutting: Cutting
    layout: Layout
    stock: Stock
    wording: Wording
    paper: Paper
    more: tuple[str, ...] = ()

    def composed(self) -> Composition:
        """Return the drawing that names most pieces, with all lists under and beside it.

        Of those the one with the fullest lists, of those the largest. Where the lists do not fit
        even beside a small drawing, it takes the sheet for itself and they go overleaf, the cut
        list last. Raises ``ValueError`` where the stock cannot be drawn at all.
        """
        best: Trial | None = None
        last: Scene | None = None
        for top in self.borders():
            if self.hopeless(top, last):
                continue
            last = self.drawn(top, draft=True)
            if last is None:
                continue
            if best is not None and len(last.keyed) > len(best.scene.keyed):
                break
            best = self.better(best, last, top)
            if best is not None and best.detail is Detail.FULL and not rises(best.placed):
                break
        return self.overleaf() if best is None else self.finished(best)

    def borders(self) -> Iterator[float]:
        """Yield the heights at which the drawing may end and the lists begin, the lowest first."""
        live = self.paper.live
        lowest = live.bottom - len(self.notes(None)) * PITCH - BETWEEN - LEAST_LISTS
        for i in range(int((lowest - live.top - LEAST_DRAWING) / STEP) + 1):
            yield lowest - STEP * i

    def lists(self, scene: Scene | None, detail: Detail) -> list[Table]:
        """Return the lists that go with a drawing, without those that are empty."""
        keyed = scene.keyed if scene is not None else ()
        found = [
            cut_table(self.cutting, self.wording, detail),
            piece_table(self.cutting, self.wording, keyed, detail),
            strip_table(self.wording),
            joint_table(self.cutting, self.wording, detail),
            flaw_table(self.stock.flaws, self.wording),
        ]
        return [table for table in found if table.rows]

    def notes(self, scene: Scene | None) -> list[Line]:
        """Return the notes that go with a drawing; without one, as many as may be needed."""
        note = reading_note(
            self.cutting,
            sheet=not isinstance(self.stock, Board),
            rows=scene.rows if scene is not None else 2,
            keyed=bool(scene.keyed) if scene is not None else True,
            tags=bool(joints_in(self.cutting, self.wording)),
            carets=caret_words(self.cutting, self.wording),
            bare=scene.bare if scene is not None else False,
            shaped=any(p.cutaways for n in self.cutting.leaves if (p := self.wording.part(n))),
        )
        return note_lines(
            [*self.more, *filter(None, (note, CAUTION))],
            block_box(self.paper).left - self.paper.live.left - APART,
        )

    def space(self, top: float, right: float, scene: Scene | None) -> Space:
        """Return the room for lists from ``top`` down and right of ``right``."""
        live = self.paper.live
        foot = live.bottom - len(self.notes(scene)) * PITCH - BETWEEN
        return Space(live, top, right + APART, block_box(self.paper), foot)

    def drawn(self, top: float, down: float = 0.0, *, draft: bool = False) -> Scene | None:
        """Return the drawing over the border ``top``, all of it moved ``down`` [mm]."""
        live = self.paper.live
        room = Box(live.left, live.top + down, live.right, top - BETWEEN + down)
        return draw_scene(self.cutting, self.layout, self.stock, self.wording, room, draft=draft)

    def hopeless(self, top: float, last: Scene | None) -> bool:
        """Return whether not even the shortest lists fit under a border.

        ``last`` is the drawing over the border below it, which is no smaller.
        """
        live = self.paper.live
        room = Box(live.left, live.top, live.right, top - BETWEEN)
        first = arrange(self.cutting, self.layout, self.wording, room, 1)
        right = first.views[0].x(self.layout.length) + 8.0 if first is not None else live.right
        shortest = self.lists(last, Detail.KEY)
        return in_some_order(shortest, self.space(top, right, None)) is None

    def better(self, best: Trial | None, scene: Scene, top: float) -> Trial | None:
        """Return the trial that ``scene`` makes with its fullest lists, or ``best`` if as good."""
        for detail in Detail:
            if best is not None and (len(scene.keyed), 0, detail.value) >= best.worth:
                break
            tables = self.lists(scene, detail)
            space = self.space(top, scene.right, scene)
            trials = []
            for start in starts(top, scene.bottom + BETWEEN):
                placed = in_some_order(tables, replace(space, top=start))
                if placed is not None:
                    trials.append(Trial(scene, detail, start, placed))
            if trials:
                found = min(trials, key=lambda t: (rises(t.placed), len(t.placed), -t.start))
                if best is None or found.worth < best.worth:
                    best = found
                if not rises(found.placed):
                    break
        return best

    def finished(self, trial: Trial) -> Composition:
        """Return a trial drawn, with the white over its lists shared out above and below."""
        down = DOWN * (trial.start - BETWEEN - trial.scene.bottom)
        for moved in (down, 0.0):
            scene = self.drawn(trial.start, moved)
            if scene is not None and scene.keyed == trial.scene.keyed:
                return Composition(scene, trial.placed, self.notes(scene), [])
        return self.overleaf()

    def overleaf(self) -> Composition:
        """Return the drawing as large as the sheet allows, and what of the lists is left."""
        scene = self.drawn(next(self.borders()))
        if scene is None:
            raise ValueError(f'"{self.layout.stock}" cannot be drawn on {self.paper.name}')
        cuts = self.lists(scene, Detail.SHORT)[:1]
        others = self.lists(scene, Detail.KEY)[1:]
        space = self.space(scene.bottom + BETWEEN, scene.right, scene)
        placed, left = flow([*others, *cuts], space)
        return Composition(scene, placed, self.notes(scene), left)


def in_some_order(tables: Sequence[Table], space: Space) -> list[Placed] | None:
    """Return all the tables placed in the order that breaks the fewest; None where none fits.

    A list that goes on higher up, beside the drawing, is read in the wrong order, so that comes
    last.
    """
    best: list[Placed] | None = None
    for order in permutations(tables):
        placed, left = flow(order, space)
        if not left and (best is None or cost_of(placed) < cost_of(best)):
            best = placed
    return best


def cost_of(placed: Sequence[Placed]) -> tuple[int, int]:
    """Return what placings are compared by, the less the better."""
    return rises(placed), len(placed)


def rises(placed: Sequence[Placed]) -> int:
    """Return how many lists go on in a column that begins higher than they themselves do."""
    return sum(
        after.table.title.endswith(ON) and after.y < before.y - STEP
        for before, after in pairwise(placed)
    )


def starts(lowest: float, highest: float) -> list[float]:
    """Return where lists may begin, the lowest first, up to just under the drawing."""
    if lowest <= highest:
        return [highest]
    count = int((lowest - highest) / STEP)
    return [lowest - STEP * i for i in range(count + 1)]

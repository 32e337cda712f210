"""Every way to saw one stock item: the most credit that can be kept while a set of blanks is cut.

Tables run over sets of blanks and rectangles (lines x1, x2, y1, y2). A stage of cuts in one
direction is a row of pieces, each of which goes on to the next stage; the best row in a rectangle
is its best first piece beside the best of the rest.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numba as nb
import numpy as np
from numpy.typing import NDArray

from nester.model import FirstCut, Part, Shop
from tests.oracle.rules import (
    Ground,
    Stock,
    ground,
    offcut_table,
    sound_wood,
    ways,
)

NEVER = -1e30
MANY = 12
"""Stages where any number will do: more than six blanks can ask for."""

Tables = NDArray[np.float64]


@nb.njit(cache=True)
def row_of_pieces(
    below: Tables,
    allowed: NDArray[np.bool_],
    places: NDArray[np.int64],
    cuttable: int,
    kerf: int,
    first: NDArray[np.int32],
    splits: NDArray[np.int32],
) -> Tables:
    """Return the best of each rectangle where the next cuts go across its first direction.

    ``below`` (set, a1, a2, b1, b2): the best once the next stage begins. ``allowed``: whether a
    rectangle may be cut at all. ``places``: where the lines lie, the first ``cuttable`` of them a
    grid apart. ``splits[first[s] : first[s + 1]]``: the ways to share out set ``s``.
    """
    best = below.copy()
    sets, lines, _, m, _ = below.shape
    unit = places[1] - places[0]
    for b1 in range(m):
        for b2 in range(b1 + 1, m):
            for a2 in range(1, lines):
                for a1 in range(a2 - 1, -1, -1):
                    if not allowed[a1, a2, b1, b2]:
                        continue
                    for s in range(sets):
                        for at in range(a1, min(a2, cuttable)):
                            after = at + kerf
                            gone = places[at] + kerf * unit >= places[a2]
                            for k in range(first[s], first[s + 1]):
                                one, two = splits[k, 0], splits[k, 1]
                                if at == a1:
                                    if one != 0:
                                        continue
                                    worth = 0.0
                                else:
                                    worth = below[one, a1, at, b1, b2]
                                if gone:
                                    if two != 0:
                                        continue
                                else:
                                    worth += best[two, after, a2, b1, b2]
                                if worth > best[s, a1, a2, b1, b2]:
                                    best[s, a1, a2, b1, b2] = worth
    return best


@dataclass(frozen=True)
class Sets:
    """All ways to take some copies of each part: ``counts[s]``; set 0 is none of them."""

    counts: tuple[tuple[int, ...], ...]
    first: NDArray[np.int32]
    splits: NDArray[np.int32]


def sets_of(parts: Sequence[Part]) -> Sets:
    """Return the sets of copies of parts, with the ways to share each out in two."""
    counts = tuple(product(*(range(part.count + part.spare + 1) for part in parts)))
    index = {c: s for s, c in enumerate(counts)}
    first, splits = [0], []
    for whole in counts:
        for one in product(*(range(n + 1) for n in whole)):
            rest = tuple(n - k for n, k in zip(whole, one, strict=True))
            splits.append((index[one], index[rest]))
        first.append(len(splits))
    return Sets(counts, np.array(first, np.int32), np.array(splits, np.int32))


def kept_wood(parts: Sequence[Part], stock: Stock, shop: Shop, sets: Sets) -> NDArray[np.float64]:
    """Return, for each set of blanks, the most sound wood [1/320 mm squared] left in offcuts.

    It is ``NEVER`` (or less) where the stock cannot give the set.
    """
    return Sawyer(parts, stock, shop, sets).best()


@dataclass(frozen=True)
class Stage:
    """The best of each rectangle: as it is, and where its edges may be trimmed first."""

    row: Tables
    trimmed: Tables


@dataclass(frozen=True)
class Start:
    """Where the cutting of a whole stock item begins, and what it can keep for each set.

    ``first_cut``: the direction that counts as the first stage.
    """

    stages: list[tuple[Stage, Stage]]
    stage: int
    axis: str
    rect: tuple[int, int, int, int]
    values: NDArray[np.float64]
    first_cut: str


class Sawyer:
    """Fills the tables of one stock item, stage by stage."""

    def __init__(self, parts: Sequence[Part], stock: Stock, shop: Shop, sets: Sets) -> None:
        self.here: Ground = ground(stock, shop)
        self.stock, self.shop, self.sets = stock, shop, sets
        here = self.here
        self.raw = np.zeros((len(here.xs), len(here.xs)), np.int64)
        """The line that a piece is straightened to between x1 and x2; 0 where it is straight."""
        for i, x1 in enumerate(here.xs):
            for j, x2 in enumerate(here.xs[i + 1 :], i + 1):
                self.raw[i, j] = here.near(x2 - x1) // shop.grid
        self.far = np.full((len(here.xs), len(here.xs)), -1, np.int64)
        """The line that the far edge is trimmed to; -1 where nothing is."""
        if here.far:
            for i, x1 in enumerate(here.xs):
                for j, x2 in enumerate(here.xs[i + 1 :], i + 1):
                    self.far[i, j] = max(0, int(here.far_limit(x1, x2)) // shop.grid)
        self.ways = [ways(part, here) for part in parts]
        if self.rough:
            for way in (way for one in self.ways for way in one):
                way.table[:, :, 0, :] = False
        self.leaf = self._leaves(parts)
        self.x_cuts = np.ones(self.leaf.shape[1:], bool)
        self.y_cuts = self._rippable()

    @property
    def rough(self) -> bool:
        """Whether near edges have to be straightened."""
        return bool(self.raw.any())

    def _leaves(self, parts: Sequence[Part]) -> Tables:
        here = self.here
        self.kept = np.where(offcut_table(here), sound_wood(here), 0.0)
        leaf = np.full((len(self.sets.counts), *self.kept.shape), NEVER)
        leaf[0] = self.kept
        for p in range(len(parts)):
            alone = tuple(int(i == p) for i in range(len(parts)))
            if alone not in self.sets.counts:
                continue
            one = leaf[self.sets.counts.index(alone)]
            for way in self.ways[p]:
                one[way.table] = 0.0
        return leaf

    def _rippable(self) -> NDArray[np.bool_]:
        here = self.here
        table = np.ones(self.leaf.shape[1:], bool)
        if self.rough:
            table[:, :, 0, :] = False
        if not here.board or not self.shop.shortest_rip:
            return table
        for i, x1 in enumerate(here.xs):
            for j, x2 in enumerate(here.xs[i + 1 :], i + 1):
                wide = here.wide(x1, x2)
                for k, y1 in enumerate(here.ys):
                    for n, y2 in enumerate(here.ys[k + 1 :], k + 1):
                        long_enough = x2 - x1 >= max(self.shop.shortest_rip, min(y2, wide) - y1)
                        table[i, j, k, n] &= long_enough
        return table

    def trim(self, tables: Tables) -> None:
        """Let pieces that have an edge of the stock be trimmed there, which is no stage."""
        lines, top = tables.shape[1], tables.shape[4] - 1
        for i in range(lines):
            for j in range(i + 1, lines):
                far, near = int(self.far[i, j]), int(self.raw[i, j])
                if 0 <= far < top:
                    # Not below the trim's own kerf: the piece must lie before it.
                    part = tables[:, i, j, :far, top]
                    np.maximum(part, tables[:, i, j, :far, far], out=part)
                if 0 < near < top:
                    part = tables[:, i, j, 0, near + 1 :]
                    np.maximum(part, tables[:, i, j, near, near + 1 :], out=part)

    def across(self, below: Tables) -> Tables:
        """Return the tables of a stage of crosscuts before ``below``."""
        here = self.here
        return row_of_pieces(
            below,
            self.x_cuts,
            np.array(here.xs, np.int64),
            self.on_grid(here.xs),
            here.kx,
            self.sets.first,
            self.sets.splits,
        )

    def along(self, below: Tables) -> Tables:
        """Return the tables of a stage of rips before ``below``."""
        here = self.here
        made = row_of_pieces(
            np.ascontiguousarray(below.transpose(0, 3, 4, 1, 2)),
            np.ascontiguousarray(self.y_cuts.transpose(2, 3, 0, 1)),
            np.array(here.ys, np.int64),
            self.on_grid(here.ys),
            here.ky,
            self.sets.first,
            self.sets.splits,
        )
        return np.ascontiguousarray(made.transpose(0, 3, 4, 1, 2))

    def on_grid(self, lines: Sequence[int]) -> int:
        """Return how many of the lines are places for a cut: all but a true edge off the grid."""
        return len(lines) - (lines[-1] % self.shop.grid > 0)

    def stages(self) -> list[tuple[Stage, Stage]]:
        """Return the stages that begin with crosscuts and with rips, the last stage first."""
        limit = self.shop.stages if self.here.board else self.shop.sheet_stages
        last = self._stage(self.leaf)
        made = [(last, last)]
        for _ in range(MANY if limit is None else limit):
            x, y = made[-1]
            made.append((self._stage(self.across(y.trimmed)), self._stage(self.along(x.trimmed))))
            pairs = zip(made[-1], made[-2], strict=True)
            if all(np.array_equal(a.trimmed, b.trimmed) for a, b in pairs):
                break  # a further stage would change nothing either
        return made

    def _stage(self, row: Tables) -> Stage:
        trimmed = row.copy()
        self.trim(trimmed)
        return Stage(row, trimmed)

    def best(self) -> NDArray[np.float64]:
        """Return the most wood kept from the whole stock item for each set."""
        return np.max([start.values for start in self.starts()], axis=0)

    def starts(self) -> list["Start"]:
        """Return the ways to begin on the whole stock item."""
        stages = self.stages()
        n = len(stages) - 1
        whole = (0, len(self.here.xs) - 1, 0, len(self.here.ys) - 1)
        x, y = stages[n]
        either = not self.here.board or self.shop.first_cut is FirstCut.EITHER
        found = []
        if either or self.shop.first_cut is FirstCut.CROSSCUT:
            found.append(Start(stages, n, "x", whole, x.trimmed[(slice(None), *whole)], "x"))
        if either or self.shop.first_cut is FirstCut.RIP:
            if not self.rough:
                found.append(Start(stages, n, "y", whole, y.trimmed[(slice(None), *whole)], "y"))
            else:
                # A first stage without a rip; or the whole of the crook is lost at once.
                first, _ = stages[n - 1]
                found.append(
                    Start(stages, n - 1, "x", whole, first.trimmed[(slice(None), *whole)], "y")
                )
                near = self.here.near(self.stock.length) // self.shop.grid
                if near < whole[3]:
                    rest = (0, whole[1], near, whole[3])
                    found.append(Start(stages, n, "y", rest, y.trimmed[(slice(None), *rest)], "y"))
        return found

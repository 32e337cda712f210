"""The best layout of a plate: prices, quick layouts at them, then all that could still be better.

Quick layouts are grown first, with ever more kept for each rectangle; the better the best of them,
the less must be put together to prove it. Where that does not come to an end in the memory given,
more are grown at shaken prices, and a better one has the proof begun anew.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from nester.solve.plate.layouts import CELLS_A_ROOM, CELLS_A_SEARCH, Grown, Search
from nester.solve.plate.pieces import Pieces, Wanted
from nester.solve.plate.prices import priced
from nester.solve.rows import Row

MOST = 1_000_000
"""Layouts kept in memory, at the most; each takes about a hundred bytes."""

KEEPS = (1, 4, 16)
"""Layouts kept for each rectangle where they are grown, one after the other."""

SHARES = (1.0, 0.9)
"""Prices they are grown at, as parts of those that bound the plate best."""

SHAKE = 0.5
"""How much prices are shaken at the most, where growing goes on."""

FIRST = 5_000
"""Layouts that a proof has room for at first: most need no more, and room takes time to make."""

CHUNK = 5_000_000
"""Pairs tried between two looks at whether to go on."""

CELLS_A_PLATE = 400_000
"""Programme cells that are filled in the time of getting ready for a plate."""

GoOn = Callable[[int], bool]


@dataclass(frozen=True, slots=True)
class Best:
    """The best layout found and the most that any layout is worth, for all that was proven.

    ``row`` stands at the plate's corner, ``Blank.option`` counts into what was wanted, and so do
    ``counts``. ``work`` is told in programme cells.
    """

    value: int
    bound: int
    row: Row
    counts: tuple[int, ...]
    work: int


def best_plate(
    length: int,
    width: int,
    wanted: Sequence[Wanted],
    go_on: GoOn,
    most: int = MOST,
    least: int = 0,
) -> Best:
    """Return the most valuable guillotine layout of ``length`` by ``width``, by any stages.

    ``go_on`` is told the work so far now and then and asked whether to look further; ``most``
    layouts are kept in memory. A layout is only looked for if it is worth more than ``least``:
    where none is found, that is the value, of an empty row. A kerf is dealt with by growing
    blanks and plate by it.
    """
    pieces = Pieces(length, width, wanted)
    if not len(pieces.owner):
        return Best(least, least, Row("x", ()), (0,) * len(wanted), 0)
    return _Looking(pieces, len(wanted), go_on, most, least).look()


class _Looking:
    def __init__(self, pieces: Pieces, wants: int, go_on: GoOn, most: int, least: int) -> None:
        self.pieces, self.wants, self.most = pieces, wants, most
        self.asked = go_on
        self.prices = priced(pieces, go_on, least)
        self.work = CELLS_A_PLATE + self.prices.work
        self.value, self.bound = least, max(least, self.prices.bound)
        self.row, self.counts = Row("x", ()), (0,) * wants

    def look(self) -> Best:
        """Grow, then prove; where there is no room for the proof, grow again and so on."""
        for keep in KEEPS:
            for share in SHARES if self._room(keep) else ():
                if self._goes_on() or (keep == 1 and self.bound > self.value):
                    self._grow(keep, np.full(len(self.pieces.values), share))
        self._prove()
        rng = np.random.default_rng(0)
        proven = self.value
        while self._goes_on():
            keep = max(keep for keep in KEEPS if keep == 1 or self._room(keep))
            self._grow(keep, rng.uniform(1 - SHAKE, 1, len(self.pieces.values)))
            if self.value > proven:
                self._prove()
                proven = self.value
        return Best(self.value, self.bound, self.row, self.counts, self.work)

    def _goes_on(self) -> bool:
        return self.bound > self.value and self.asked(self.work)

    def _room(self, keep: int) -> bool:
        return self.pieces.cells * keep <= self.most

    def _grow(self, keep: int, share: np.ndarray[tuple[int], np.dtype[np.float64]]) -> None:
        grown = Grown(self.pieces, (self.prices.prices * share).astype(np.int64), keep)
        self.work += grown.work
        self._take(grown)

    def _prove(self) -> None:
        for most in dict.fromkeys((min(FIRST, self.most), self.most)):
            if not self._goes_on():
                return
            search = Search(self.pieces, self.prices, self.value, most)
            self.work += CELLS_A_SEARCH + CELLS_A_ROOM * most
            while not search.ended and self.asked(self.work):
                self.work += search.run(CHUNK)
            self._take(search)
            self.bound = max(self.value, min(self.bound, search.bound))

    def _take(self, found: Grown | Search) -> None:
        if found.best > self.value:
            self.value = found.best
            self.row, self.counts = found.row(found.at, self.wants)

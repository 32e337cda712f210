"""The best layout of a plate: prices, quick layouts at them, then all that could still be better.

Quick layouts are grown first, with ever more kept for each rectangle; the better the best of them,
the less must be put together to prove it. Where that does not come to an end in the memory given,
more are grown at shaken prices, and a better one has the proof begun anew.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nester.solve.plate.layouts import CELLS_A_ROOM, CELLS_A_SEARCH, Grown, Search
from nester.solve.plate.pieces import Pieces, Wanted
from nester.solve.plate.prices import Priced, Prices
from nester.solve.rows import Row

MOST = 1_000_000
"""Layouts kept in memory, at the most; each takes about a hundred bytes."""

KEEPS = (4, 16)
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
    return Looking(length, width, wanted, most, least).on(go_on)


class Looking:
    """Looks for the best layout of a plate as ``best_plate`` does, with pauses where wanted."""

    def __init__(
        self, length: int, width: int, wanted: Sequence[Wanted], most: int = MOST, least: int = 0
    ) -> None:
        self.pieces = Pieces(length, width, wanted)
        self.most = most
        self.value, self.bound = least, least
        self.row, self.counts = Row("x", ()), (0,) * len(wanted)
        self.asked: Prices | None = None
        self.steps: Iterator[None] = iter(())
        self.made = 0
        if len(self.pieces.owner):
            self.asked = Prices(self.pieces, least)
            self.bound = max(least, int(self.pieces.values @ self.pieces.copies))

    @property
    def work(self) -> int:
        """What was done so far [programme cells]."""
        return 0 if self.asked is None else CELLS_A_PLATE + self.asked.work + self.made

    @property
    def loose(self) -> bool:
        """Whether more may be worth more than the best found."""
        return self.bound > self.value

    def on(self, go_on: GoOn) -> Best:
        """Look on until the best is proven or ``go_on`` says no; return what is known by then.

        Prices come first. Where they are cut short quick layouts are grown all the same, so that
        there is one; all begins anew with the better prices of the next time.
        """
        if self.asked is not None and not self.asked.settled:
            made = self.made
            self.asked.look(lambda work: go_on(work + made))
            self.bound = max(self.value, min(self.bound, self.asked.bound))
            self.steps = self._steps(self.asked)
        for _ in self.steps:
            if not go_on(self.work):
                break
        return Best(self.value, self.bound, self.row, self.counts, self.work)

    def _steps(self, asked: Prices) -> Iterator[None]:
        """Grow, then prove; where there is no room for the proof, grow again and so on.

        Whatever is yielded, the next step is one that may be left for later.
        """
        prices = asked.center
        for share in SHARES if self._room(1) else ():
            if self.loose:
                self._grow(1, prices * share)
        if not self.loose:
            return
        yield
        told = asked.told()
        self.bound = max(self.value, min(self.bound, told.bound))
        for keep in KEEPS:
            for share in SHARES if self._room(keep) else ():
                if self.loose:
                    yield
                    self._grow(keep, prices * share)
        yield from self._prove(told)
        rng = np.random.default_rng(0)
        proven = self.value
        while self.loose:
            yield
            keep = max(keep for keep in (1, *KEEPS) if keep == 1 or self._room(keep))
            self._grow(keep, prices * rng.uniform(1 - SHAKE, 1, len(prices)))
            if self.value > proven:
                yield from self._prove(told)
                proven = self.value

    def _room(self, keep: int) -> bool:
        return self.pieces.cells * keep <= self.most

    def _grow(self, keep: int, prices: NDArray[np.float64]) -> None:
        grown = Grown(self.pieces, prices.astype(np.int64), keep)
        self.made += grown.work
        self._take(grown)

    def _prove(self, told: Priced) -> Iterator[None]:
        for most in dict.fromkeys((min(FIRST, self.most), self.most)):
            if not self.loose:
                return
            yield
            search = Search(self.pieces, told, self.value, most)
            self.made += CELLS_A_SEARCH + CELLS_A_ROOM * most
            while not search.ended:
                yield
                self.made += search.run(CHUNK)
                self._take(search)
                self.bound = max(self.value, min(self.bound, search.bound))

    def _take(self, found: Grown | Search) -> None:
        if found.best > self.value:
            self.value = found.best
            self.row, self.counts = found.row(found.at, len(self.counts))

"""Prices for sets of boards by whole boards: rows of sections, flaws where they lie.

A board gives one row of sections (Dantzig and Wolfe 1960, "Decomposition principle for linear
programs"), priced exactly by ``flawed``. Rows at far-off prices tell little, so in the programme a
price may move from the best ones so far by a share of them only, and then pays (as in du Merle,
Villeneuve, Desrosiers and Hansen 1999, "Stabilized column generation"); prices half-way to what it
says are looked at (Wentges 1997, "Weighted Dantzig-Wolfe decomposition for linear mixed-integer
programming").
"""

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.bound.board_sets import BoardSets, Cut
from nester.solve.bound.flawed import LONGEST, Flawed, FlawedRow
from nester.solve.bound.strips import Priced
from nester.solve.lp import CELLS_A_MASTER, GrowingLp

BOX, WIDEST = 0.05, 3.0
"""How far a price may move from the best one so far, as a share of it, and further where all has
been seen that is so near."""

FLOOR = 0.04
"""A price is taken for so much of the mean price by area at the least, as some are nought."""

HALFWAY = 0.5
"""The share of the best prices in those that are looked at."""

NEAR = 1e-4
"""A set has settled where its programme promises no more than this share above what is proven."""

AHEAD = 3e-3
"""Another set is looked into where one is so much above all others, and above what it was."""

QUICK, QUICKS = 1.0, 3
"""What boards are worth is told to within such a share of it at first, which may give better rows
but proves little; so often at the most before it is told closely."""

SHARE = 0.25
"""Then it is told to within this share of what there is to gain,"""

COARSE, CLOSE = 5e-3, 5e-4
"""and to within these shares of itself; to the second where that is a cut for other sets too."""

FINE = 2e-5
"""Where nothing else gets on it is told more closely, up to this."""

GAIN = 1e-6
"""What a row gains at the least for the programme to change, in prices of a board."""


class ByRows:
    """Raises what sets cost at the least, step by step, each of one programme and its pricing."""

    def __init__(self, problem: Problem, boards: BoardSets) -> None:
        self.boards = boards
        self.last_work = 0
        long = max(size.long for size in boards.sizes)
        self.done = long > LONGEST or not np.isfinite(boards.least.min())
        if self.done:
            return
        flawed = {
            s: Flawed(problem.stock[s], boards.alike[g], size)
            for s, g, size in zip(boards.stock, boards.group, boards.sizes, strict=True)
        }
        self.flawed = [flawed[s] for s in boards.stock]
        self.held: list[dict[bytes, NDArray[np.float64]]] = [{} for _ in boards.stock]
        """The rows of each board: blanks by kind, then credit [cells]."""
        self.lp = self._programme()
        by_area = self._by_area()
        self.floor = FLOOR * float(by_area.mean())
        self.quick = 0  # steps since boards were priced closely
        self.settled = np.zeros(len(boards.sets), bool)
        if not any(cut.prices.any() for cut in boards.cuts):
            self._cut(by_area, {})
        self._choose()

    def _by_area(self) -> NDArray[np.float64]:
        """Return what each blank costs by its area, on the board that is cheapest for its room."""
        boards = self.boards
        room = np.array([size.room for size in boards.sizes])
        area = np.array([alike.area for alike in boards.alike]).min(axis=0)
        cell = float((boards.rest / room).min()) * boards.scale
        return np.asarray(area * cell, np.float64)

    def _programme(self) -> GrowingLp:
        """Return the programme: rows of blanks, then of boards."""
        n, pieces = len(self.boards.copies), len(self.boards.stock)
        inf = np.inf
        lp = GrowingLp([*self.boards.copies, *[-inf] * pieces], [*[inf] * n, *[0.0] * pieces])
        for sign in (1.0, -1.0):  # more or less of a blank, for prices at the ends of the box
            for d in range(n):
                lp.add(0.0, inf, {d: sign})
        return lp

    def _choose(self) -> None:
        """Go to the set that is least now, from the best prices for it, or end."""
        boards = self.boards
        while True:
            self.at = int(np.argmin(boards.least))
            if self.settled[self.at] or not np.isfinite(boards.least[self.at]):
                self.done = True
                return
            chosen = boards.sets[self.at]
            cut = boards.best_cut(self.at)
            far = np.flatnonzero(chosen & ~cut.close).tolist()
            if not far:
                break
            rows = self._rows(far, self._priced(cut.prices), CLOSE)
            for b, row in rows:
                self._add(b, *row.held())
            boards.closer(cut, {b: row.worth for b, row in rows})
        self.came_with = float(boards.least[self.at])
        self.center, self.cut = cut.prices, cut
        self.worth = cut.of(np.flatnonzero(chosen).tolist())
        self.proven = boards.costs(self.at, cut.prices, self.worth)
        self.box, self.halfway, self.fine = BOX, HALFWAY, COARSE
        copies = boards.copies
        upper = np.concatenate([np.full(len(copies), np.inf), chosen * 1.0])
        self.lp.set_rows(np.concatenate([copies, np.full(len(chosen), -np.inf)]), upper)

    def step(self) -> None:
        """Solve the programme of the set that is least, and price its boards."""
        self.last_work = CELLS_A_MASTER
        boards, n = self.boards, len(self.center)
        center = self.center / boards.scale
        reach = self.box * np.maximum(center, self.floor / boards.scale)
        self.lp.set_costs(np.concatenate([center + reach, np.minimum(0.0, reach - center)]))
        if not self.lp.solve():
            self.done = True
            return
        promised = self.lp.objective + float(boards.sets[self.at] @ boards.rest)
        moved = float(self.lp.values[: 2 * n].sum()) > GAIN
        self._look(self.lp.duals * boards.scale, promised, moved)

    def _look(self, duals: NDArray[np.float64], promised: float, moved: bool) -> None:
        """Price the set's boards near the prices asked for, and see whether it has settled."""
        boards, asked = self.boards, np.maximum(0.0, duals[: len(self.center)])
        prices = self.halfway * self.center + (1 - self.halfway) * asked
        worth, fresh = self._worth(prices, asked, -duals[len(asked) :], promised)
        proven = boards.cut_one(self.at, prices, worth)
        if not fresh and proven <= self.proven and self.halfway == 0:
            self.fine /= 5
        near = boards.least[self.at] >= promised - NEAR * abs(promised)
        if near and moved:
            self.box = min(WIDEST, 3 * self.box)
        elif proven <= self.proven:
            self.box = max(BOX, self.box / 2)
        self.halfway = HALFWAY if fresh or proven > self.proven else 0.0
        if proven > self.proven:
            self.proven, self.center, self.worth = proven, prices, worth
        if self.fine < FINE or (near and not moved):
            self.settled[self.at] = True
        others = np.delete(boards.least, self.at).min(initial=np.inf)
        least = float(boards.least[self.at])
        ahead = least > max(others, self.came_with) * (1 + AHEAD)
        if self.settled[self.at] or ahead or not np.isfinite(least):
            if self.center is not self.cut.prices:
                self._cut(self.center, self.worth)
            self._choose()

    def _worth(
        self,
        prices: NDArray[np.float64],
        asked: NDArray[np.float64],
        costs: NDArray[np.float64],
        promised: float,
    ) -> tuple[dict[int, float], bool]:
        """Price the set's boards; return what they are worth, and whether a row of them is better.

        It is if it is worth more than its board ``costs`` at the prices ``asked`` for. Boards are
        priced closely only where that may raise what is proven, or no row is better.
        """
        boards, chosen = self.boards, np.flatnonzero(self.boards.sets[self.at]).tolist()
        priced = self._priced(prices)
        rows = self._rows(chosen, priced, QUICK)
        fresh = self._take(rows, asked, costs)
        self.quick += 1
        may_gain = boards.costs(self.at, prices, {b: r.found for b, r in rows}) > self.proven
        if not fresh or (may_gain and self.quick >= QUICKS):
            gap = (promised - self.proven) / abs(promised)
            rows = self._rows(chosen, priced, min(self.fine, max(CLOSE, SHARE * gap)))
            fresh |= self._take(rows, asked, costs)
            self.quick = 0
        return {b: row.worth for b, row in rows}, fresh

    def _take(
        self,
        rows: list[tuple[int, FlawedRow]],
        asked: NDArray[np.float64],
        costs: NDArray[np.float64],
    ) -> bool:
        """Take over rows; return whether one of them is better at the prices asked for."""
        boards, better = self.boards, False
        for b, row in rows:
            counts, credit = row.held()
            self._add(b, counts, credit)
            worth = float(counts @ asked) + credit * boards.alike[boards.group[b]].rate
            better |= worth > float(costs[b]) + GAIN * boards.scale
        return better

    def _cut(self, prices: NDArray[np.float64], close: dict[int, float]) -> None:
        """Raise what all sets cost at the least by prices, at which boards are worth so much.

        Other boards are priced quickly; closely only once a set with them is the least.
        """
        pieces = range(len(self.boards.stock))
        others = [b for b in pieces if b not in close]
        rows = self._rows(others, self._priced(prices), QUICK)
        worth = close | {b: row.worth for b, row in rows}
        told = np.array([worth[b] for b in pieces])
        self.boards.cut(Cut(prices, told, np.array([b in close for b in pieces])))

    def _priced(self, prices: NDArray[np.float64]) -> list[Priced]:
        """Price the boards of each group, flaws left out."""
        found = [Priced(one, prices, 0.0, one.long, one.wide) for one in self.boards.alike]
        self.last_work += sum(one.work for one in found)
        return found

    def _rows(
        self, which: list[int], priced: list[Priced], near: float
    ) -> list[tuple[int, FlawedRow]]:
        """Return the best row of each board; none is looked for beyond the best of those known."""
        rows = [(b, self._row(b, priced[self.boards.group[b]], near)) for b in which]
        self.last_work += sum(row.work for _, row in rows)
        return rows

    def _row(self, b: int, priced: Priced, near: float) -> FlawedRow:
        worth = np.append(priced.value, priced.rate)
        held = np.array(list(self.held[b].values())).reshape(-1, len(worth))
        known = max((held @ worth).tolist(), default=0.0)
        return self.flawed[b].price(priced, known, near)

    def _add(self, b: int, counts: NDArray[np.float64], credit: float) -> None:
        """Take a row of a board over into the programme, unless it is there."""
        row = np.append(counts, credit)
        if row.tobytes() in self.held[b]:
            return
        self.held[b][row.tobytes()] = row
        entries = {int(d): float(counts[d]) for d in np.flatnonzero(counts)}
        entries[len(counts) + b] = 1.0
        rate = self.boards.alike[self.boards.group[b]].rate
        self.lp.add(-rate * credit / self.boards.scale, np.inf, entries)

"""At which steps along a strip blanks may begin, for all of them at once.

What is clear from a start is one number: how far it is to the next block. A blank may begin there
if it is no longer than that, so one row of numbers serves blanks of every length.
"""

from collections.abc import Collection
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from nester.solve.arrays import Arrays
from nester.solve.bound.loose import Loose
from nester.solve.kernels import columns as k
from nester.solve.kernels.rooms import rooms


class Clear:
    """Which starts are free in a range of rows, for each option of one class.

    Ranges of rows that meet the same blocks are one pattern; patterns go by number.
    """

    def __init__(
        self, found: Arrays, cls: int, rows: NDArray[np.int32], nu: int, fine: int
    ) -> None:
        table = found.classes[cls]
        self.u1 = int(table[k.C_U1])
        self.span = int(table[k.C_U2]) - self.u1
        self.lengths = rows[:, 1].astype(np.int64)
        self.nu, self.fine = nu, fine
        first = int(table[k.C_BLOCKS])
        used = sorted({int(i) for i in rows[:, 3:5].ravel() if i >= 0})
        spans = [found.lists[first + i] for i in used]
        blocks = [found.blocks[low:high] for low, high in spans]
        self.lists = len(blocks)
        self.ends = np.cumsum([0, *map(len, blocks)])
        self.every = every = np.concatenate([np.zeros((0, 5), np.int32), *blocks])
        self.near, self.far = every[:, 1], every[:, 3]
        self.excuses = {
            row: Loose(found.blocks, int(b[4])) for row, b in enumerate(every) if b[4] >= 0
        }
        # Number of each option's lists; the last stands for none.
        number = {i: n for n, i in enumerate(used)}
        self.own = np.array(
            [[number.get(int(i), len(used)) for i in row] for row in rows[:, 3:5]], np.int64
        ).reshape(-1, 2)
        self.numbers: dict[bytes, int] = {}
        self.patterns: list[NDArray[np.bool_]] = []
        self.rooms: dict[int, NDArray[np.int64]] = {}
        self.excusable: dict[int, list[tuple[int, list[int]]]] = {}
        self.over: dict[tuple[int, int, int], NDArray[np.uint8]] = {}

    def numbered(self, first: int, beyond: int, width: int) -> NDArray[np.int64]:
        """Return the pattern of rows v to v + ``width``, for each v from first to below beyond."""
        v1 = np.arange(first, beyond)
        if len(v1) == 0:
            return v1
        met = (self.near < (v1 + width)[:, None]) & (self.far > v1[:, None])
        loose = np.zeros((len(v1), len(self.excuses)), bool)
        for column, (row, excuse) in enumerate(self.excuses.items()):
            loose[:, column] = met[:, row] & excuse.may(v1, width)
        marks = np.concatenate([met, loose], axis=1)
        fresh = np.concatenate([[True], (marks[1:] != marks[:-1]).any(axis=1)])
        heads = marks[fresh]
        found = [self._number(mark) for mark in heads]
        numbers: NDArray[np.int64] = np.array(found, np.int64)[np.cumsum(fresh) - 1]
        return numbers

    def _number(self, mark: NDArray[np.bool_]) -> int:
        key = mark.tobytes()
        if key not in self.numbers:
            self.numbers[key] = len(self.patterns)
            self.patterns.append(mark)
        return self.numbers[key]

    def free(self, numbers: Collection[int], options: NDArray[np.int32]) -> NDArray[np.uint8]:
        """Return (options, nu): 1 where some start in the step is free in one of the patterns."""
        found = np.max([self._rooms(number) for number in numbers], axis=0)
        own = self.own[options]
        room = np.maximum(found[own[:, 0]], found[own[:, 1]])
        free: NDArray[np.uint8] = (room >= self.lengths[options, None]).astype(np.uint8)
        for number in numbers:
            for i, rows in self._loose(number):
                for at in np.flatnonzero((own == i).any(axis=1)):
                    free[at] |= self._excused(number, i, rows, int(options[at]))
        return free

    def _rooms(self, number: int) -> NDArray[np.int64]:
        """Return (lists and one for none, nu): how long a blank may be that begins in a step."""
        known = self.rooms.get(number)
        if known is None:
            known = np.full((self.lists + 1, self.nu), -1, np.int64)
            known[:-1] = rooms(
                self.every,
                self.ends,
                self.patterns[number][: self.ends[-1]],
                self.u1,
                self.span,
                self.nu,
                self.fine,
            )
            self.rooms[number] = known
        return known

    def _loose(self, number: int) -> list[tuple[int, list[int]]]:
        """Return the lists with blocks that may be excused, and these, by number over all lists."""
        known = self.excusable.get(number)
        if known is None:
            loose = self.patterns[number][self.ends[-1] :]
            rows = [row for row, may in zip(self.excuses, loose, strict=True) if may]
            by_list = [
                (i, [row for row in rows if low <= row < high])
                for i, (low, high) in enumerate(pairwise(self.ends.tolist()))
            ]
            known = [(i, own) for i, own in by_list if own]
            self.excusable[number] = known
        return known

    def _excused(self, number: int, i: int, rows: list[int], option: int) -> NDArray[np.uint8]:
        """Return the free steps of an option over blocks that may lie in its cutaways."""
        key = (number, i, int(self.lengths[option]))
        known = self.over.get(key)
        if known is not None:
            return known
        length = int(self.lengths[option])
        met = self.patterns[number][: self.ends[-1]].copy()
        met[rows] = False
        span = self.ends[i : i + 2]
        (gap,) = rooms(self.every, span, met, self.u1, self.span, self.span, 1)
        one = gap >= length
        for row in rows:
            u1, _, u2, _, _ = self.every[row].tolist()
            first = max(0, u1 - length + 1 - self.u1)
            last = min(max(0, u2 - self.u1), self.span - length + 1)
            if last > first:
                starts = np.arange(first, last) + self.u1
                one[first:last] &= self.excuses[row].starts(starts, length)
        padded = np.zeros(max(self.nu * self.fine, self.span), np.uint8)
        padded[: self.span] = one
        steps: NDArray[np.uint8] = padded[: self.nu * self.fine].reshape(self.nu, self.fine)
        self.over[key] = steps.max(axis=1)
        return self.over[key]

"""At which steps along a strip blanks may begin, for all of them at once.

What is clear from a start is one number: how far it is to the next block. A blank may begin there
if it is no longer than that, so one row of numbers serves blanks of every length.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from nester.solve.arrays import Arrays
from nester.solve.bound.loose import Loose
from nester.solve.kernels import columns as k
from nester.solve.kernels.rooms import begins, rooms


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
        self.rooms = np.zeros((0, self.lists, nu), np.int64)
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

    def free(self, sets: Sequence[Sequence[int]], options: NDArray[np.int32]) -> NDArray[np.uint8]:
        """Return (sets, options, nu): 1 where some start in the step is free in a pattern of it."""
        first = np.cumsum([0, *map(len, sets)])
        members = np.array([number for numbers in sets for number in numbers], np.int64)
        own = self.own[options]
        free = begins(self._rooms(), first, members, own, self.lengths[options])
        if self.excuses:
            lengths = self.lengths[options].tolist()
            by_list = [np.flatnonzero((own == i).any(axis=1)).tolist() for i in range(self.lists)]
            for numbers, found in zip(sets, free, strict=True):
                for number in numbers:
                    for i, rows in self._loose(number):
                        for at in by_list[i]:
                            found[at] |= self._excused(number, i, rows, lengths[at])
        return free

    def _rooms(self) -> NDArray[np.int64]:
        """Return (patterns, lists, nu): how long a blank may be that begins in a step."""
        fresh = self.patterns[len(self.rooms) :]
        if fresh:
            met = np.ascontiguousarray(np.array(fresh)[:, : self.ends[-1]])
            more = rooms(self.every, self.ends, met, self.u1, self.span, self.nu, self.fine)
            self.rooms = np.concatenate([self.rooms, more])
        return self.rooms

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

    def _excused(self, number: int, i: int, rows: list[int], length: int) -> NDArray[np.uint8]:
        """Return the free steps of a blank so long over blocks that may lie in its cutaways."""
        key = (number, i, length)
        known = self.over.get(key)
        if known is not None:
            return known
        met = self.patterns[number][: self.ends[-1]].copy()
        met[rows] = False
        span = self.ends[i : i + 2]
        ((gap,),) = rooms(self.every, span, met[None], self.u1, self.span, self.span, 1)
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

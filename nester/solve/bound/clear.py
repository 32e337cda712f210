"""At which steps along a strip blanks may begin, for all of them at once.

What is clear from a start is one number: how far it is to the next block. A blank may begin there
if it is no longer than that, so one row of numbers serves blanks of every length.
"""

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from nester.solve.arrays import Arrays
from nester.solve.bound.loose import Loose
from nester.solve.kernels import columns as k


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
        self.blocks = [found.blocks[low:high] for low, high in spans]
        self.ends = np.cumsum([0, *map(len, self.blocks)])
        every = np.concatenate([np.zeros((0, 5), np.int32), *self.blocks])
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
        self.gaps: dict[tuple[int, bytes], NDArray[np.int64]] = {}
        self.rooms: dict[int, NDArray[np.int64]] = {}

    def numbered(self, first: int, beyond: int, width: int) -> NDArray[np.int64]:
        """Return the pattern of rows v to v + ``width``, for each v from first to below beyond."""
        v1 = np.arange(first, beyond)
        if len(v1) == 0:
            return v1
        met = (self.near < (v1 + width)[:, None]) & (self.far > v1[:, None])
        loose = np.zeros((len(v1), len(self.excuses)), bool)
        for column, (row, excuse) in enumerate(self.excuses.items()):
            for at in np.flatnonzero(met[:, row]).tolist():
                loose[at, column] = excuse.may(first + at, first + at + width)
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
        rooms = np.max([self._rooms(number) for number in numbers], axis=0)
        own = self.own[options]
        room = np.maximum(rooms[own[:, 0]], rooms[own[:, 1]])
        free: NDArray[np.uint8] = (room >= self.lengths[options, None]).astype(np.uint8)
        for number in numbers:
            for i in range(len(self.blocks)):
                rows = self._loose(number, i)
                if rows:
                    for at in np.flatnonzero((own == i).any(axis=1)):
                        free[at] |= self._excused(number, i, rows, int(options[at]))
        return free

    def _rooms(self, number: int) -> NDArray[np.int64]:
        """Return (lists and one for none, nu): how long a blank may be that begins in a step."""
        known = self.rooms.get(number)
        if known is None:
            known = np.full((len(self.blocks) + 1, self.nu), -1, np.int64)
            for i in range(len(self.blocks)):
                known[i] = self._steps(self._gap(i, self._met(number, i)))
            self.rooms[number] = known
        return known

    def _steps(self, fine: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return the most of every step's cells."""
        padded = np.full(self.nu * self.fine, -1, np.int64)
        some = min(len(fine), len(padded))
        padded[:some] = fine[:some]
        most: NDArray[np.int64] = padded.reshape(self.nu, self.fine).max(axis=1)
        return most

    def _met(self, number: int, i: int) -> NDArray[np.bool_]:
        return self.patterns[number][self.ends[i] : self.ends[i + 1]]

    def _gap(self, i: int, met: NDArray[np.bool_]) -> NDArray[np.int64]:
        """Return from each start how far it is to the next of the blocks met, or to the end."""
        key = (i, met.tobytes())
        known = self.gaps.get(key)
        if known is None:
            starts = np.arange(self.span, dtype=np.int64)
            known = self.span - starts
            for u1, _, u2, _, _ in self.blocks[i][met].tolist():
                before = max(0, u2 - self.u1)
                known[:before] = np.minimum(known[:before], u1 - self.u1 - starts[:before])
            self.gaps[key] = known
        return known

    def _loose(self, number: int, i: int) -> list[int]:
        """Return the rows, by number over all lists, of one list's blocks that may be excused."""
        loose = self.patterns[number][self.ends[-1] :]
        return [
            row
            for row, may in zip(self.excuses, loose, strict=True)
            if may and self.ends[i] <= row < self.ends[i + 1]
        ]

    def _excused(self, number: int, i: int, rows: list[int], option: int) -> NDArray[np.uint8]:
        """Return the free steps of an option over blocks that may lie in its cutaways."""
        length = int(self.lengths[option])
        met = self._met(number, i).copy()
        for row in rows:
            met[row - self.ends[i]] = False
        one = self._gap(i, met) >= length
        for row in rows:
            u1, _, u2, _, _ = self.blocks[i][row - self.ends[i]].tolist()
            first = max(0, u1 - length + 1 - self.u1)
            last = min(max(0, u2 - self.u1), self.span - length + 1)
            if last > first:
                starts = np.arange(first, last) + self.u1
                one[first:last] &= self.excuses[row].starts(starts, length)
        return (self._steps(one.astype(np.int64)) > 0).astype(np.uint8)

"""Every cutting of a plain bar that is worth so much, none that leaves room for one blank more.

With a bound at hand a plan better than the best known can hold only layouts whose reduced cost is
less than what lies between the two; often they are few enough to be listed (Baldacci, Christofides
and Mingozzi 2008, Math. Programming 115(2), 351-385, did so for routes).
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Counts = NDArray[np.int32]


@kernel
def worthy_bars(
    nx: int,
    lengths: Counts,
    values: NDArray[np.int64],
    copies: Counts,
    least: int,
    most: int,
    steps: int,
) -> tuple[Counts, int, int]:
    """Return the counts of each cutting worth at least ``least``, how many they are, and steps.

    ``lengths`` [cells], the longest first, ``values`` and most ``copies`` of each blank. The
    number is -1 where there are more than ``most``, or where they take more than ``steps``.
    """
    kinds = lengths.shape[0]
    # What the blanks from one on are worth at the most in so much room.
    reach = np.zeros((kinds + 1, nx + 1), np.int64)
    for i in range(kinds - 1, -1, -1):
        length, value = lengths[i], values[i]
        below, here = reach[i + 1], reach[i]
        here[:] = below
        for c in range(1, min(copies[i], nx // length) + 1):
            for x in range(c * length, nx + 1):
                here[x] = max(here[x], below[x - c * length] + c * value)
    found = np.empty((most, kinds), np.int32)
    number, taken = 0, 0
    counts = np.zeros(kinds, np.int32)
    # A walk through all counts, the first blank's first; i is the next to be told.
    i, room, worth = 0, nx, np.int64(0)
    if reach[0, nx] < least:
        return found[:0], 0, 0
    down = True
    while True:
        taken += 1
        if taken > steps:
            return found[:0], -1, taken
        if down:
            while i < kinds:
                counts[i] = min(copies[i], room // lengths[i])
                room -= counts[i] * lengths[i]
                worth += counts[i] * values[i]
                i += 1
                if worth + reach[i, room] < least:
                    break
            if i == kinds and worth >= least:
                full = True
                for k in range(kinds):
                    if counts[k] < copies[k] and lengths[k] <= room:
                        full = False
                        break
                if full:
                    if number == most:
                        return found[:0], -1, taken
                    found[number] = counts
                    number += 1
            down = False
        # Back to the last blank that is in: one less of it.
        i -= 1
        while i >= 0 and counts[i] == 0:
            i -= 1
        if i < 0:
            return found[:number], number, taken
        counts[i] -= 1
        room += lengths[i]
        worth -= values[i]
        i += 1
        down = worth + reach[i, room] >= least

"""Layouts as sections in order: the best, and others that differ from it somewhere."""

from collections.abc import Iterator
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

ALIKE = 16
"""Sections count as the same where both ends are within one in so many parts of the length."""

Sections: TypeAlias = list[tuple[int, int]]
"""Where each section begins and ends, in order [steps along u]."""


def sections_to(came: NDArray[np.int32], end: int) -> Sections:
    """Return the sections of the best layout up to ``end``; ``came`` is what pricing came from."""
    layout = []
    while end > 0:
        start = int(came[end])
        if start == -1:
            end -= 1
        elif start < -1:
            end = -2 - start
        else:
            layout.append((start, end))
            end = start
    return layout[::-1]


def other_layouts(
    reached: NDArray[np.int64],
    came: NDArray[np.int32],
    sections: NDArray[np.int64],
    after: NDArray[np.int64],
    least: int,
    most: int,
) -> Iterator[tuple[int, Sections]]:
    """Yield up to ``most`` layouts besides the best one, and what each is worth at the most.

    ``reached`` and ``after`` are worth most up to each step and from there on, ``sections`` (from,
    to) what lies between. Each layout is worth more than ``least`` and the best with a section that
    none before it has.
    """
    totals = np.where(sections > 0, reached[:, None] + sections + after, -1)
    near = max(1, len(reached) // ALIKE)
    layout = sections_to(came, len(reached) - 1)
    for _ in range(most):
        for us, ue in layout:
            totals[max(0, us - near) : us + near + 1, max(0, ue - near) : ue + near + 1] = -1
        at = int(totals.argmax())
        us, ue = divmod(at, len(reached))
        worth = int(totals[us, ue])
        if worth <= least:
            return
        layout = [*sections_to(came, us), (us, ue), *sections_from(sections, after, ue)]
        yield worth, layout


def sections_from(sections: NDArray[np.int64], after: NDArray[np.int64], start: int) -> Sections:
    """Return the sections of a layout that is worth ``after[start]``; offcuts are left out."""
    layout = []
    last = len(after) - 1
    while start < last and after[start] > 0:
        row = sections[start]
        ends = np.flatnonzero((row > 0) & (row + after == after[start]))
        if len(ends):
            layout.append((start, int(ends[0])))
            start = int(ends[0])
        else:
            start += 1
    return layout

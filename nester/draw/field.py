"""What is taken on the page, so that no label lies on another; rows of labels spread out."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from nester.draw.page import Box

BIN = 8.0
"""Boxes are kept by squares of this size, to be found fast [mm]."""


@dataclass(slots=True)
class Field:
    """The boxes that are taken, within ``room``. Boxes that only touch do not overlap."""

    room: Box
    taken: list[Box] = field(default_factory=list)
    bins: dict[tuple[int, int], list[Box]] = field(default_factory=dict, repr=False)

    def free(self, box: Box, apart: float = 0.0) -> bool:
        """Return whether ``box`` lies in the room and ``apart`` [mm] from all that is taken."""
        if not self.room.holds(box):
            return False
        wanted = box.grown(apart) if apart else box
        return not any(
            wanted.overlaps(other) for key in squares(wanted) for other in self.bins.get(key, ())
        )

    def at(self, x: float, y: float) -> bool:
        """Return whether a point lies inside something that is taken."""
        here = self.bins.get((int(x // BIN), int(y // BIN)), ())
        return any(b.left < x < b.right and b.top < y < b.bottom for b in here)

    def take(self, box: Box) -> None:
        """Mark ``box`` as taken."""
        self.taken.append(box)
        for key in squares(box):
            self.bins.setdefault(key, []).append(box)

    def release(self, box: Box) -> None:
        """Mark ``box`` as free again; raises ``ValueError`` where it was not taken."""
        self.taken.remove(box)
        for key in squares(box):
            self.bins[key].remove(box)

    def take_all(self, boxes: Iterable[Box]) -> None:
        """Mark all ``boxes`` as taken."""
        for box in boxes:
            self.take(box)


def squares(box: Box) -> Iterator[tuple[int, int]]:
    """Yield the squares that a box reaches into."""
    for i in range(int(box.left // BIN), int(box.right // BIN) + 1):
        for j in range(int(box.top // BIN), int(box.bottom // BIN) + 1):
            yield i, j


def spread(
    wanted: Sequence[float], sizes: Sequence[float], gap: float, low: float, high: float
) -> list[float] | None:
    """Return middles for labels in a row, as near to ``wanted`` as not overlapping allows.

    ``wanted`` must ascend; the order is kept, ``gap`` lies between neighbours and all stay between
    ``low`` and ``high``. None where they do not fit. Neighbours that are in each other's way move
    apart evenly about their mean.
    """
    if not wanted:
        return []
    if sum(sizes) + gap * (len(sizes) - 1) > high - low + 1e-9:
        return None
    # Each group is a block of labels side by side: first index, length, and its middle.
    groups: list[tuple[int, int, float]] = []

    def extent(first: int, end: int) -> float:
        return sum(sizes[first:end]) + gap * (end - first - 1)

    def middle(first: int, end: int) -> float:
        total, edge = 0.0, 0.0
        for i in range(first, end):
            total += wanted[i] - (edge + sizes[i] / 2)
            edge += sizes[i] + gap
        half = extent(first, end) / 2
        return min(max(total / (end - first) + half, low + half), high - half)

    for i in range(len(wanted)):
        groups.append((i, i + 1, middle(i, i + 1)))
        while len(groups) > 1:
            (a, b, left), (c, d, right) = groups[-2:]
            if right - left >= (extent(a, b) + extent(c, d)) / 2 + gap - 1e-9:
                break
            groups[-2:] = [(a, d, middle(a, d))]
    places: list[float] = []
    for first, end, centre in groups:
        edge = centre - extent(first, end) / 2
        for i in range(first, end):
            places.append(edge + sizes[i] / 2)
            edge += sizes[i] + gap
    return places


def shifts(slack_x: float, slack_y: float, steps: int = 4) -> Iterator[tuple[float, float]]:
    """Yield offsets from the middle within the slack to each side, the nearest first."""
    grid = [
        (slack_x * i / steps, slack_y * j / steps)
        for i in range(-steps, steps + 1)
        for j in range(-steps, steps + 1)
    ]
    seen: set[tuple[float, float]] = set()
    for dx, dy in sorted(grid, key=lambda d: (d[0] ** 2 + d[1] ** 2, d)):
        if (dx, dy) not in seen:
            seen.add((dx, dy))
            yield dx, dy

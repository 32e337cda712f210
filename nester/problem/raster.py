"""Flaw shapes as blocks of grid cells: every cell that a shape, grown by its margin, reaches into.

A rectangle on the grid overlaps the true shape exactly where it holds one of these cells, so
nothing is given away by the rounding.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from inventory.length import Length
from inventory.stock import Board, Flaw, Point
from nester.blanks import Obstacle

Block = tuple[int, int, int, int]


def blocks_of(obstacle: Obstacle, grid: Length, nx: int, ny: int) -> list[Block]:
    """Return the blocks of a flaw with its margins, clipped to ``nx`` by ``ny`` cells."""
    flaw = obstacle.flaw
    mx, my = obstacle.margin_x, obstacle.margin_y
    if flaw.outline is None:
        box = (
            (flaw.x - mx) // grid,
            (flaw.y - my) // grid,
            -(-(flaw.x + flaw.length + mx) // grid),
            -(-(flaw.y + flaw.width + my) // grid),
        )
        return clipped([box], nx, ny)
    columns = []
    first = max(0, (flaw.x - mx) // grid)
    last = min(nx, -(-(flaw.x + flaw.length + mx) // grid))
    for i in range(first, last):
        for low, high in spans(flaw.outline, i * grid - mx, (i + 1) * grid + mx):
            columns.append((i, (low - my) // grid, i + 1, -(-(high + my) // grid)))
    return clipped(merged(columns), nx, ny)


def spans(outline: Sequence[Point], left: Length, right: Length) -> list[tuple[int, int]]:
    """Return the ranges of y that a polygon covers between two values of x, rounded outward."""
    found: list[tuple[int, int]] = []
    xs = sorted({left, right, *(x for x, _ in outline if left < x < right)})
    edges = [
        (a, b) if a[0] < b[0] else (b, a)
        for a, b in zip(outline, [*outline[1:], outline[0]], strict=True)
        if a[0] != b[0]
    ]
    for u, v in pairwise(xs):
        across = [e for e in edges if e[0][0] <= u and e[1][0] >= v]
        # Edges of a simple polygon do not cross inside a slab, so twice the middle orders them.
        across.sort(key=lambda e: _at2(e, u + v))
        for low, high in zip(across[::2], across[1::2], strict=False):
            found.append(
                (
                    min(_floor_at(low, u), _floor_at(low, v)),
                    max(_ceil_at(high, u), _ceil_at(high, v)),
                )
            )
    return joined(found)


def joined(ranges: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return the union of ranges as ranges in order."""
    out: list[tuple[int, int]] = []
    for low, high in sorted(ranges):
        if out and low <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out


def merged(columns: Sequence[Block]) -> list[Block]:
    """Return blocks with neighbours of equal height made one."""
    open_runs: dict[tuple[int, int], Block] = {}
    done: list[Block] = []
    for x1, y1, x2, y2 in columns:
        run = open_runs.get((y1, y2))
        if run is not None and run[2] == x1:
            open_runs[(y1, y2)] = (run[0], y1, x2, y2)
        else:
            if run is not None:
                done.append(run)
            open_runs[(y1, y2)] = (x1, y1, x2, y2)
    return sorted([*done, *open_runs.values()])


def clipped(blocks: Iterable[Block], nx: int, ny: int) -> list[Block]:
    """Return the parts of blocks that lie on the grid of ``nx`` by ``ny`` cells."""
    out = []
    for x1, y1, x2, y2 in blocks:
        x1, y1, x2, y2 = max(0, x1), max(0, y1), min(nx, x2), min(ny, y2)
        if x1 < x2 and y1 < y2:
            out.append((x1, y1, x2, y2))
    return out


def far_edge(board: Board, loss: Length, grid: Length, nx: int, ny: int) -> list[Block]:
    """Return the blocks past a board's far edge, ``loss`` inside each column's narrowest width."""
    widths = widths_floor(board, grid, nx)
    rows = np.maximum(0, (np.minimum(widths[:-1], widths[1:]) - loss) // grid)
    steps = [0, *(np.flatnonzero(np.diff(rows)) + 1).tolist(), nx]
    blocks = [(i, int(rows[i]), j, ny) for i, j in pairwise(steps)]
    return clipped(blocks, nx, ny)


def widths_floor(board: Board, grid: Length, nx: int) -> NDArray[np.int64]:
    """Return the board's width at each grid line along it, rounded down to 1/320 mm."""
    lines = np.arange(nx + 1, dtype=np.int64) * grid
    return board.width_a + (board.width_b - board.width_a) * lines // board.length


def inside(flaw: Flaw, grid: Length, nx: int, ny: int) -> list[Block]:
    """Return blocks of cells that lie wholly inside a flaw (some may be left out)."""
    if flaw.outline is None:
        box = (
            -(-flaw.x // grid),
            -(-flaw.y // grid),
            (flaw.x + flaw.length) // grid,
            (flaw.y + flaw.width) // grid,
        )
        return clipped([box], nx, ny)
    columns = []
    for i in range(max(0, flaw.x // grid), min(nx, -(-(flaw.x + flaw.length) // grid))):
        left, right = i * grid, (i + 1) * grid
        if any(left < x < right for x, _ in flaw.outline):
            continue
        edges = [
            (a, b) if a[0] < b[0] else (b, a)
            for a, b in zip(flaw.outline, [*flaw.outline[1:], flaw.outline[0]], strict=True)
            if a[0] != b[0]
        ]
        across = sorted(
            (e for e in edges if e[0][0] <= left and e[1][0] >= right),
            key=lambda e: _at2(e, left + right),
        )
        for low, high in zip(across[::2], across[1::2], strict=False):
            bottom = max(_ceil_at(low, left), _ceil_at(low, right))
            top = min(_floor_at(high, left), _floor_at(high, right))
            if bottom < top:
                columns.append((i, -(-bottom // grid), i + 1, top // grid))
    return clipped(merged(columns), nx, ny)


def _at2(edge: tuple[Point, Point], twice_x: int) -> float:
    (x1, y1), (x2, y2) = edge
    return y1 + (y2 - y1) * (twice_x / 2 - x1) / (x2 - x1)


def _floor_at(edge: tuple[Point, Point], x: Length) -> int:
    (x1, y1), (x2, y2) = edge
    return y1 + (y2 - y1) * (x - x1) // (x2 - x1)


def _ceil_at(edge: tuple[Point, Point], x: Length) -> int:
    (x1, y1), (x2, y2) = edge
    return y1 - (-(y2 - y1) * (x - x1) // (x2 - x1))

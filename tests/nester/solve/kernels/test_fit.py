"""Where a rectangle fits between blocks, against looking at every place."""

from random import Random

import numpy as np
import pytest
from numpy.typing import NDArray

from nester.solve.kernels import fit
from tests.nester.solve.kernels.outside import outside

first_u, first_v = outside(fit.first_u), outside(fit.first_v)
is_clear, past_saw = outside(fit.is_clear), outside(fit.past_saw)

Blocks = NDArray[np.int32]


def random_blocks(rng: Random, length: int, width: int) -> tuple[Blocks, int]:
    """Return a few blocks with one before them that is not to be looked at, and where they end.

    After them come the places at which some of them are excused.
    """
    blocks = [[0, 0, length, width, -1]]
    for _ in range(rng.randint(0, 5)):
        u, v = rng.randrange(length), rng.randrange(width)
        blocks.append([u, v, u + rng.randint(1, 4), v + rng.randint(1, 3), -1])
    hi = len(blocks)
    for i in range(1, hi):
        if rng.random() < 0.5:
            blocks[i][4] = len(blocks)
            side, edges, ranges = rng.randrange(8), rng.randint(1, 4), rng.randint(1, 2)
            blocks.append([rng.randrange(width), edges, ranges, side, 0])
            for _ in range(2 * edges * ranges):
                low = rng.randrange(2 * length)
                blocks.append([low, low + rng.randint(-2, 8), 0, 0, 0])
    blocks.append([0, 0, length, width, -1])
    return np.array(blocks, np.int32), hi


def excused(blocks: Blocks, row: int, u1: int, v1: int, u2: int, v2: int) -> bool:
    """Whether the places that stand at a row name this one, by reading all of them."""
    first, edges, ranges, side, _ = blocks[row]
    named = [(e, odd) for e in range(first, first + edges) for odd in (0, 1) for _ in range(ranges)]
    edge = (v1, v2, u1, u2)[side % 4]
    first, last = (u1, u2) if side % 4 < 2 else (v1, v2)
    total = first + (first if side >= 4 else last)
    return any(
        at == (edge, total % 2) and blocks[i, 0] <= total <= blocks[i, 1]
        for i, at in enumerate(named, start=row + 1)
    )


def free(blocks: Blocks, hi: int, u1: int, v1: int, u2: int, v2: int) -> bool:
    """Whether no cell of a rectangle lies in a block that is not excused, cell by cell."""
    cells = {(u, v) for u in range(u1, u2) for v in range(v1, v2)}
    return not any(
        (u, v) in cells
        for a, b, c, d, row in blocks[1:hi]
        if row < 0 or not excused(blocks, row, u1, v1, u2, v2)
        for u in range(a, c)
        for v in range(b, d)
    )


@pytest.mark.parametrize("seed", range(150))
def test_first_place(seed: int) -> None:
    """The first free start is what looking at every start in turn gives, a kerf on or more."""
    rng = Random(seed)
    length, width = rng.randint(6, 20), rng.randint(4, 10)
    blocks, hi = random_blocks(rng, length, width)
    a, b = rng.randint(1, 6), rng.randint(1, 4)
    u, v, kerf = rng.randrange(length), rng.randrange(width), rng.randint(0, 3)
    starts = [s for s in range(u, length - a + 1) if s == u or s >= u + kerf]
    along = next((s for s in starts if free(blocks, hi, s, v, s + a, v + b)), -1)
    assert first_u(blocks, 1, hi, u, v, v + b, a, length, kerf) == along
    starts = [s for s in range(v, width - b + 1) if s == v or s >= v + kerf]
    across = next((s for s in starts if free(blocks, hi, u, s, u + a, s + b)), -1)
    assert first_v(blocks, 1, hi, u, u + a, v, b, width, kerf) == across
    assert is_clear(blocks, 1, hi, u, v, u + a, v + b) == free(blocks, hi, u, v, u + a, v + b)


def test_abutting_is_clear() -> None:
    """A rectangle may share an edge with a block."""
    blocks = np.array([[4, 2, 6, 4, -1]], np.int32)
    assert is_clear(blocks, 0, 1, 0, 2, 4, 4)
    assert is_clear(blocks, 0, 1, 6, 2, 9, 4)
    assert is_clear(blocks, 0, 1, 4, 0, 6, 2)
    assert is_clear(blocks, 0, 1, 4, 4, 6, 9)
    assert not is_clear(blocks, 0, 1, 3, 2, 5, 4)
    assert first_u(blocks, 0, 1, 3, 2, 4, 2, 20, 1) == 6
    # What lies before the start has to be sawn off, so the start is a kerf on at least.
    assert first_u(blocks, 0, 1, 3, 2, 4, 2, 20, 5) == 8


def test_over_a_block_that_a_cutaway_takes_away() -> None:
    """A rectangle may lie over a block where it is excused, and only there."""
    # Excused where the blank's near edge is at 1 and its ends sum up to 12, 14 or 16.
    rows = [[6, 1, 8, 3, 1], [1, 1, 1, 0, 0], [12, 16, 0, 0, 0], [1, 0, 0, 0, 0]]
    blocks = np.array(rows, np.int32)
    assert is_clear(blocks, 0, 1, 3, 1, 9, 5)
    assert is_clear(blocks, 0, 1, 5, 1, 11, 5)
    assert not is_clear(blocks, 0, 1, 2, 1, 8, 5)
    assert not is_clear(blocks, 0, 1, 6, 1, 12, 5)
    assert not is_clear(blocks, 0, 1, 3, 2, 9, 6)
    assert first_u(blocks, 0, 1, 1, 1, 5, 6, 30, 1) == 3
    assert first_u(blocks, 0, 1, 6, 1, 5, 6, 30, 1) == 8
    assert first_u(blocks, 0, 1, 3, 2, 6, 6, 30, 1) == 8
    assert first_v(blocks, 0, 1, 3, 9, 0, 4, 30, 1) == 1


@pytest.mark.parametrize("seed", range(100))
def test_past_the_saw(seed: int) -> None:
    """A start whose cuts come near metal moves a kerf past that metal, any other stays."""
    rng = Random(seed)
    blocks = random_blocks(rng, 20, 10)[0][:, :]
    start, size, kerf, limit = rng.randint(2, 12), rng.randint(1, 6), rng.randint(1, 2), 18
    low = rng.randrange(8)
    high, moved, axis = low + rng.randint(1, 3), rng.random() < 0.5, rng.randrange(2)
    lo, hi = 1, min(len(blocks), rng.randint(1, 4))
    cuts = [(start - kerf, start)] if moved else []
    cuts += [(start + size, start + size + kerf)] if start + size < limit else []
    near = {
        int(block[axis + 2]) + kerf
        for block in blocks[lo:hi]
        if set(range(low, high)) & set(range(block[1 - axis], block[3 - axis]))
        and any(set(range(*cut)) & set(range(block[axis], block[axis + 2])) for cut in cuts)
    }
    past = past_saw(blocks, lo, hi, axis, start, size, low, high, moved, limit, kerf)
    assert past in near if near else past == start


def test_a_start_just_past_metal_is_a_kerf_further() -> None:
    """A nail's clear zone from 2 to 5: a blank may start at 6 with a kerf of 1, not at 5."""
    blocks = np.array([[2, 0, 5, 3, -1]], np.int32)
    assert past_saw(blocks, 0, 1, 0, 5, 4, 0, 2, True, 30, 1) == 6
    assert past_saw(blocks, 0, 1, 0, 6, 4, 0, 2, True, 30, 1) == 6
    assert past_saw(blocks, 0, 1, 0, 5, 4, 0, 2, False, 30, 1) == 5
    assert past_saw(blocks, 0, 1, 0, 5, 4, 3, 5, True, 30, 1) == 5
    assert past_saw(blocks, 0, 1, 1, 3, 4, 1, 4, True, 30, 1) == 4

"""Where a rectangle fits between blocks, against looking at every place."""

from random import Random

import numpy as np
import pytest

from nester.solve.kernels.fit import first_u, first_v, is_clear


def random_blocks(rng: Random, length: int, width: int) -> "np.ndarray":
    """Return a few blocks, with two more around them that are not to be looked at."""
    blocks = [(0, 0, length, width)]
    for _ in range(rng.randint(0, 5)):
        u, v = rng.randrange(length), rng.randrange(width)
        blocks.append((u, v, u + rng.randint(1, 4), v + rng.randint(1, 3)))
    blocks.append((0, 0, length, width))
    return np.array(blocks, np.int32)


def free(blocks: "np.ndarray", u1: int, v1: int, u2: int, v2: int) -> bool:
    """Whether no cell of a rectangle lies in a block, cell by cell."""
    cells = {(u, v) for u in range(u1, u2) for v in range(v1, v2)}
    return not any(
        (u, v) in cells for a, b, c, d in blocks for u in range(a, c) for v in range(b, d)
    )


@pytest.mark.parametrize("seed", range(60))
def test_first_place(seed: int) -> None:
    """The first free start is what looking at every start in turn gives, a kerf on or more."""
    rng = Random(seed)
    length, width = rng.randint(6, 20), rng.randint(4, 10)
    blocks = random_blocks(rng, length, width)
    lo, hi = 1, len(blocks) - 1
    seen = blocks[lo:hi]
    a, b = rng.randint(1, 6), rng.randint(1, 4)
    u, v, kerf = rng.randrange(length), rng.randrange(width), rng.randint(0, 3)
    starts = [s for s in range(u, length - a + 1) if s == u or s >= u + kerf]
    along = next((s for s in starts if free(seen, s, v, s + a, v + b)), -1)
    assert first_u(blocks, lo, hi, u, v, v + b, a, length, kerf) == along
    starts = [s for s in range(v, width - b + 1) if s == v or s >= v + kerf]
    across = next((s for s in starts if free(seen, u, s, u + a, s + b)), -1)
    assert first_v(blocks, lo, hi, u, u + a, v, b, width, kerf) == across
    assert is_clear(blocks, lo, hi, u, v, u + a, v + b) == free(seen, u, v, u + a, v + b)


def test_abutting_is_clear() -> None:
    """A rectangle may share an edge with a block."""
    blocks = np.array([[4, 2, 6, 4]], np.int32)
    assert is_clear(blocks, 0, 1, 0, 2, 4, 4)
    assert is_clear(blocks, 0, 1, 6, 2, 9, 4)
    assert is_clear(blocks, 0, 1, 4, 0, 6, 2)
    assert is_clear(blocks, 0, 1, 4, 4, 6, 9)
    assert not is_clear(blocks, 0, 1, 3, 2, 5, 4)
    assert first_u(blocks, 0, 1, 3, 2, 4, 2, 20, 1) == 6
    # What lies before the start has to be sawn off, so the start is a kerf on at least.
    assert first_u(blocks, 0, 1, 3, 2, 4, 2, 20, 5) == 8

"""Where a rectangle fits between blocks."""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel


@kernel
def first_u(
    blocks: NDArray[np.int32],
    lo: int,
    hi: int,
    u: int,
    v1: int,
    v2: int,
    a: int,
    limit: int,
    kerf: int,
) -> int:
    """Return the least start from ``u`` at which a length ``a`` is clear, or -1 past ``limit``.

    ``blocks[lo:hi]`` are (u1, v1, u2, v2). A start is either ``u`` itself or at least a kerf on:
    the saw takes a kerf to cut away what lies before it.
    """
    start = u
    moved = True
    while moved:
        moved = False
        if start + a > limit:
            return -1
        for i in range(lo, hi):
            if (
                blocks[i, 0] < start + a
                and blocks[i, 2] > start
                and blocks[i, 1] < v2
                and blocks[i, 3] > v1
            ):
                start = max(blocks[i, 2], u + kerf)
                moved = True
                if start + a > limit:
                    return -1
    return start


@kernel
def first_v(
    blocks: NDArray[np.int32],
    lo: int,
    hi: int,
    u1: int,
    u2: int,
    v: int,
    b: int,
    limit: int,
    kerf: int,
) -> int:
    """Return the least start from ``v`` at which a width ``b`` is clear, or -1 past ``limit``."""
    start = v
    moved = True
    while moved:
        moved = False
        if start + b > limit:
            return -1
        for i in range(lo, hi):
            if (
                blocks[i, 1] < start + b
                and blocks[i, 3] > start
                and blocks[i, 0] < u2
                and blocks[i, 2] > u1
            ):
                start = max(blocks[i, 3], v + kerf)
                moved = True
                if start + b > limit:
                    return -1
    return start


@kernel
def is_clear(
    blocks: NDArray[np.int32], lo: int, hi: int, u1: int, v1: int, u2: int, v2: int
) -> bool:
    """Whether a rectangle reaches into none of ``blocks[lo:hi]``."""
    for i in range(lo, hi):
        if blocks[i, 0] < u2 and blocks[i, 2] > u1 and blocks[i, 1] < v2 and blocks[i, 3] > v1:
            return False
    return True

"""Room for more children, and the best of them in order."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Ints: TypeAlias = NDArray[np.int32]
Floats: TypeAlias = NDArray[np.float64]


@kernel
def ranked(scores: Floats, most: int) -> NDArray[np.int64]:
    """Return the order of the best scores: at least ``most``, or all where there are few."""
    if scores.shape[0] <= 2 * most:
        return np.argsort(scores, kind="mergesort")
    limit = np.partition(scores, most)[most]
    chosen = np.flatnonzero(scores <= limit)
    return chosen[np.argsort(scores[chosen], kind="mergesort")]


@kernel
def grown_int(a: Ints) -> Ints:
    """Return a table with room for twice as many rows."""
    out = np.zeros((a.shape[0] * 2, a.shape[1]), np.int32)
    out[: a.shape[0]] = a
    return out


@kernel
def grown_one(a: Ints) -> Ints:
    """Return a list with room for twice as many numbers."""
    out = np.zeros(a.shape[0] * 2, np.int32)
    out[: a.shape[0]] = a
    return out


@kernel
def grown_float(a: Floats) -> Floats:
    """Return a list with room for twice as many floats."""
    out = np.zeros(a.shape[0] * 2)
    out[: a.shape[0]] = a
    return out

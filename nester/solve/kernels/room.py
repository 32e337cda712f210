"""Room for more children, and the best of them in order."""

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf

Ints: TypeAlias = NDArray[np.int32]
Floats: TypeAlias = NDArray[np.float64]


@kernel
def nth_smallest(scores: Floats, n: int) -> float:
    """Return the score that ``n`` others come before (Hoare 1961, algorithm 65, "FIND").

    Written out because numpy's own takes seconds to compile.
    """
    rest = scores.copy()
    low, high = 0, rest.shape[0] - 1
    while low < high:
        pivot = rest[(low + high) // 2]
        i, j = low, high
        while i <= j:
            while rest[i] < pivot:
                i += 1
            while rest[j] > pivot:
                j -= 1
            if i <= j:
                rest[i], rest[j] = rest[j], rest[i]
                i += 1
                j -= 1
        if n <= j:
            high = j
        elif n >= i:
            low = i
        else:
            break
    return rest[n]


@kernel
def ranked(scores: Floats, most: int) -> NDArray[np.int64]:
    """Return the order of the best scores: at least ``most``, or all where there are few."""
    if scores.shape[0] <= 2 * most:
        return np.argsort(scores, kind="mergesort")
    limit = nth_smallest(scores, most)
    chosen = np.empty(scores.shape[0], np.int64)
    best = np.empty(scores.shape[0], np.float64)
    n = 0
    for i in range(scores.shape[0]):
        if scores[i] <= limit:
            chosen[n], best[n] = i, scores[i]
            n += 1
    order = np.argsort(best[:n], kind="mergesort")
    for i in range(n):
        order[i] = chosen[order[i]]
    return order


@kernel
def thinned(
    child: Ints,
    places: Ints,
    parents: Ints,
    demands: Ints,
    spent: Floats,
    scores: Floats,
    single: Ints,
    n: int,
    most: int,
) -> tuple[int, float]:
    """Move the children told in ``single`` to the front, but for those that ``most`` come before.

    Returns how many there are then, and the score that none of them exceeds. What is told at a
    place never stands before it, so that none is overwritten before it is moved.
    """
    dearest = np.inf
    if n > most:
        own = np.empty(n)
        for i in range(n):
            own[i] = scores[single[i]]
        dearest = nth_smallest(own, most)
    kept = 0
    for i in range(n):
        c = single[i]
        if scores[c] > dearest:
            continue
        copy_row(child, kept, child, c)
        copy_row(places, kept, places, c)
        parents[kept], demands[kept] = parents[c], demands[c]
        spent[kept], scores[kept] = spent[c], scores[c]
        kept += 1
    return kept, dearest


@leaf
def copy_row(to: NDArray[Any], i: int, of: NDArray[Any], j: int) -> None:
    """Copy row ``j`` of a table to row ``i`` of another as wide.

    Written out because numba compiles the message of a wrong shape with each whole row.
    """
    for c in range(to.shape[1]):
        to[i, c] = of[j, c]


@kernel
def grown_int(a: Ints) -> Ints:
    """Return a table with room for twice as many rows."""
    out = np.zeros((a.shape[0] * 2, a.shape[1]), np.int32)
    for i in range(a.shape[0]):
        for j in range(a.shape[1]):
            out[i, j] = a[i, j]
    return out


@kernel
def grown_one(a: Ints) -> Ints:
    """Return a list with room for twice as many numbers."""
    out = np.zeros(a.shape[0] * 2, np.int32)
    for i in range(a.shape[0]):
        out[i] = a[i]
    return out


@kernel
def grown_float(a: Floats) -> Floats:
    """Return a list with room for twice as many floats."""
    out = np.zeros(a.shape[0] * 2)
    for i in range(a.shape[0]):
        out[i] = a[i]
    return out

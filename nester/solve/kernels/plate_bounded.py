"""The most valuable guillotine layout of a plate where each blank is wanted so many times at most.

Layouts are put side by side and one above the other, starting from single pieces, the most
promising first (Wang 1983, "Two algorithms for constrained two-dimensional cutting stock problems";
Viswanathan and Bagchi 1993, "Best-first search methods for constrained two-dimensional cutting
stock problems"; Cung, Hifi and Le Cun 2000). A layout is promising by what it holds and the most
that can be had around it, both at two sets of prices: none, and those of the best Lagrangian bound.
Of two layouts that hold the same, the one that leaves no more of the plate in either direction is
dropped. When all that could still beat the best are put together with all others, it is proven.

Counts of pieces are kept as bit fields, each with a spare top bit that a sum too large would set.
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Ints = NDArray[np.int32]
Longs = NDArray[np.int64]

# Columns of a layout's row in ``table``.
POS_X, POS_Y, KIND, ALIVE, NEXT, SAME, LEFT, RIGHT = range(8)
"""Its size as positions, how it is made, whether it is still in use, chains, its two halves."""

SINGLE, BESIDE, ABOVE = range(3)
"""How a layout is made: a piece, two halves along the length, two along the width."""

# Columns of ``worths``.
VALUE, WORTH, BOUND = range(3)
"""What its pieces are worth, the same at prices, and the most any plate with it is worth."""

# What ``state`` holds.
COUNT, HEAP, BEST, BEST_AT, MISSED, DONE, FULL = range(7)
"""Layouts, those waiting, best value and layout, the bound where memory ran out, how it ended."""

PRIME, LOW = 16777619, 2**31 - 1
"""For chains of layouts that hold the same (Fowler, Noll and Vo's multiplier), in 31 bits."""


@kernel
def combine(
    xs: Ints,
    ys: Ints,
    floor_x: Ints,
    floor_y: Ints,
    around: NDArray[np.int64],
    base: int,
    scale: int,
    fields: Longs,
    item_area: Longs,
    item_value: Longs,
    item_copies: Ints,
    pad: Longs,
    guard: Longs,
    table: Ints,
    worths: Longs,
    counts: Longs,
    heap: Ints,
    chains: Ints,
    first: Ints,
    latest: Ints,
    members: Ints,
    lines: Longs,
    state: Longs,
    limit: int,
) -> int:
    """Put layouts together until none is left that could be better, or ``limit`` pairs are tried.

    ``around[0]`` tells what surrounds a layout at no prices, ``around[1]`` at prices, ``scale``
    times over; ``base`` is what all copies cost at prices. ``fields`` holds for each piece, by
    falling value for its area (``item_value``, ``item_area``, ``item_copies``), the word and shift
    of its count; ``pad`` and ``guard`` find a count too large. The rest is what the search goes on
    from; returns the pairs tried, and the steps to find a layout's place among those of its size.
    """
    nx, ny = xs.shape[0], ys.shape[0]
    full_x, full_y = floor_x.shape[0] - 1, floor_y.shape[0] - 1
    plate = np.int64(full_x) * full_y
    words = counts.shape[1]
    most = table.shape[0] - 1
    mask = chains.shape[0] - 1
    tried = 0
    while True:
        if state[HEAP] == 0 or worths[heap[0], BOUND] <= state[BEST]:
            state[DONE] = 1
            return tried
        if tried >= limit or state[FULL] == 1:
            return tried
        # Take the most promising layout off the heap.
        r = heap[0]
        size = state[HEAP] - 1
        state[HEAP] = size
        last = heap[size]
        at = 0
        while 2 * at + 1 < size:
            child = 2 * at + 1
            if child + 1 < size:
                one, two = heap[child], heap[child + 1]
                if worths[two, BOUND] > worths[one, BOUND] or (
                    worths[two, BOUND] == worths[one, BOUND]
                    and worths[two, VALUE] > worths[one, VALUE]
                ):
                    child += 1
            one = heap[child]
            if worths[last, BOUND] > worths[one, BOUND] or (
                worths[last, BOUND] == worths[one, BOUND]
                and worths[last, VALUE] >= worths[one, VALUE]
            ):
                break
            heap[at] = one
            at = child
        heap[at] = last
        if table[r, ALIVE] == 0:
            continue
        # It joins those that others are put together with, sorted by worth within its size.
        ix, iy = table[r, POS_X], table[r, POS_Y]
        worth_r = worths[r, WORTH]
        s = first[ix, iy]
        if s < 0:
            members[0, ix, lines[0, 0, ix]] = iy
            lines[0, 0, ix] += 1
            members[1, iy, lines[1, 0, iy]] = ix
            lines[1, 0, iy] += 1
        if s < 0 or worths[s, WORTH] < worth_r:
            table[r, NEXT] = s
            first[ix, iy] = r
        else:
            # Its place is most often near that of the last one that joined.
            if worths[latest[ix, iy], WORTH] >= worth_r:
                s = latest[ix, iy]
            while table[s, NEXT] >= 0 and worths[table[s, NEXT], WORTH] >= worth_r:
                s = table[s, NEXT]
                tried += 1
            table[r, NEXT] = table[s, NEXT]
            table[s, NEXT] = r
        latest[ix, iy] = r
        lines[0, 1, ix] = max(lines[0, 1, ix], worth_r)
        lines[1, 1, iy] = max(lines[1, 1, iy], worth_r)
        for d in range(2):
            kind = BESIDE if d == 0 else ABOVE
            chained = table[r, KIND] == kind
            along = xs if d == 0 else ys
            n = nx if d == 0 else ny
            p_r, q_r = (ix, iy) if d == 0 else (iy, ix)
            full = full_x if d == 0 else full_y
            for p in range(1, n):
                total = along[p] + along[p_r]
                if total > full:
                    break
                if lines[d, 0, p] == 0:
                    continue
                need = scale * (state[BEST] + 1) - base - worth_r
                if d == 0:
                    rem_p = floor_x[full - total]
                    rem_q = floor_y[full_y - ys[q_r]]
                    beside = around[1, rem_p, rem_q]
                else:
                    rem_p = floor_y[full - total]
                    rem_q = floor_x[full_x - xs[q_r]]
                    beside = around[1, rem_q, rem_p]
                if lines[d, 1, p] + beside < need:
                    continue
                tried += lines[d, 0, p]
                for m in range(lines[d, 0, p]):
                    q = members[d, p, m]
                    wide = max(q, q_r)
                    if d == 0:
                        left_x, left_y = rem_p, floor_y[full_y - ys[wide]]
                        new_x, new_y = floor_x[total], wide
                        s = first[p, q]
                    else:
                        left_x, left_y = floor_x[full_x - xs[wide]], rem_p
                        new_x, new_y = wide, floor_y[total]
                        s = first[q, p]
                    beside = around[1, left_x, left_y]
                    free = around[0, left_x, left_y]
                    while s >= 0 and worths[s, WORTH] + beside >= need:
                        o = s
                        s = table[s, NEXT]
                        tried += 1
                        value = worths[r, VALUE] + worths[o, VALUE]
                        if value + free <= state[BEST] or table[o, ALIVE] == 0:
                            continue
                        if chained and table[o, KIND] == kind:
                            continue
                        fits = True
                        for w in range(words):
                            if (counts[r, w] + counts[o, w] + pad[w]) & guard[w]:
                                fits = False
                                break
                        if not fits:
                            continue
                        # Is there one with the same pieces that leaves no less?
                        n_new = state[COUNT]
                        key = np.int64(0)
                        for w in range(words):
                            word = counts[r, w] + counts[o, w]
                            counts[n_new, w] = word
                            key = ((key ^ (word & LOW)) * PRIME) & LOW
                            key = ((key ^ (word >> 31)) * PRIME) & LOW
                        chain = (key ^ (key >> 13)) & mask
                        t = chains[chain]
                        worse = False
                        while t >= 0:
                            if table[t, ALIVE] == 1:
                                same = True
                                for w in range(words):
                                    if counts[t, w] != counts[n_new, w]:
                                        same = False
                                        break
                                if same:
                                    t_x = floor_x[full_x - xs[table[t, POS_X]]]
                                    t_y = floor_y[full_y - ys[table[t, POS_Y]]]
                                    if t_x >= left_x and t_y >= left_y:
                                        worse = True
                                        break
                                    if t_x <= left_x and t_y <= left_y:
                                        table[t, ALIVE] = 0
                            t = table[t, SAME]
                        if worse:
                            continue
                        worth = worth_r + worths[o, WORTH]
                        bound = min(value + free, (base + worth + beside) // scale)
                        # What is left of the copies bounds what the rest of the plate gives.
                        room = plate - np.int64(full_x - xs[left_x]) * (full_y - ys[left_y])
                        rest = value
                        for k in range(item_area.shape[0]):
                            used = (counts[n_new, fields[k, 0]] >> fields[k, 1]) & fields[k, 2]
                            area = item_area[k] * (item_copies[k] - used)
                            if area > room:
                                rest += item_value[k] * room // item_area[k]
                                break
                            rest += item_value[k] * (item_copies[k] - used)
                            room -= area
                            if rest >= bound:
                                break
                        bound = min(bound, rest)
                        if bound <= state[BEST]:
                            continue
                        table[n_new, POS_X], table[n_new, POS_Y] = new_x, new_y
                        table[n_new, KIND], table[n_new, ALIVE] = kind, 1
                        table[n_new, NEXT] = -1
                        table[n_new, SAME] = chains[chain]
                        table[n_new, LEFT], table[n_new, RIGHT] = r, o
                        chains[chain] = n_new
                        worths[n_new, VALUE], worths[n_new, WORTH] = value, worth
                        worths[n_new, BOUND] = bound
                        if value > state[BEST]:
                            state[BEST], state[BEST_AT] = value, n_new
                            need = scale * (value + 1) - base - worth_r
                        at = state[HEAP]
                        while at > 0:
                            up = (at - 1) // 2
                            one = heap[up]
                            if worths[one, BOUND] > bound or (
                                worths[one, BOUND] == bound and worths[one, VALUE] >= value
                            ):
                                break
                            heap[at] = one
                            at = up
                        heap[at] = n_new
                        state[HEAP] += 1
                        state[COUNT] += 1
                        if state[COUNT] >= most:
                            state[FULL] = 1
                            state[MISSED] = worths[r, BOUND]
                            return tried

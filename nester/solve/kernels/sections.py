"""The most valuable three-stage layout of a flawed stock item, copies unlimited.

A dynamic programme on three levels: sections follow each other along u, strips lie across v in a
section, segments follow each other along u in a strip. Positions may be coarse: a piece then takes
its size rounded down and a place counts as free where any fine position in it is, so the value is
never too small and serves as a bound; at step 1 it is exact but for the rules on short rips.

After Gilmore and Gomory (1965), "Multistage cutting stock problems of two and more dimensions",
with places instead of sizes for the flaws.
"""

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel


@kernel
def best_sections(
    nu: int,
    nv: int,
    row_kind: NDArray[np.int32],
    strip_width: NDArray[np.int32],
    strip_step: NDArray[np.int32],
    kind_first: NDArray[np.int32],
    member: NDArray[np.int32],
    starts: NDArray[np.uint8],
    step_u: NDArray[np.int32],
    value: NDArray[np.int64],
    first_v: NDArray[np.int32],
    credit: int,
    off_u: int,
    off_v: int,
    off_cells: int,
    fine_u: int,
    fine_v: int,
    kerf_u: int,
    kerf_v: int,
    whole_wide: int,
) -> tuple[int, NDArray[np.int64], NDArray[np.int32]]:
    """Return the best value, the value reached at each u, and the section start chosen there.

    ``row_kind[v, w]`` is the kind of strip that a strip of width class ``w`` starting at ``v`` is
    (-1: it does not fit). ``strip_width`` and ``strip_step`` are a class's width and what it takes
    of v, kerf in it. Members of kind ``k`` are ``member[kind_first[k]:kind_first[k + 1]]`` with
    rows of ``starts`` saying where each may start. ``step_u`` and ``value`` per option;
    ``first_v[l]``: where strips of a section ``l`` steps long begin. ``credit`` a cell; ``off_u``,
    ``off_v``: least steps of an offcut, ``off_cells`` its least width in cells; ``fine_u``,
    ``fine_v``: cells a step.
    """
    n_width = strip_width.shape[0]
    n_kind = kind_first.shape[0] - 1
    reached = np.zeros(nu + 1, np.int64)
    came = np.full(nu + 1, -1, np.int32)
    strip = np.zeros((n_kind, nu + 1), np.int64)
    column = np.zeros(n_kind, np.int64)
    across = np.zeros(nv + 1, np.int64)
    kind_width = np.zeros(n_kind, np.int32)
    for v in range(nv + 1):
        for w in range(n_width):
            if row_kind[v, w] >= 0:
                kind_width[row_kind[v, w]] = strip_width[w]
    for us in range(nu):
        if us > 0 and reached[us - 1] > reached[us]:
            reached[us], came[us] = reached[us - 1], -1
        base = reached[us]
        if credit > 0 and whole_wide == 1:
            for ue in range(us + off_u, nu + 1):
                worth = base + credit * nv * fine_v * ((ue - us + 1) * fine_u - 1 - kerf_u)
                if worth > reached[ue]:
                    reached[ue], came[ue] = worth, -2 - us
        first_change = nu + 1
        changed = np.zeros(nu + 1, np.uint8)
        for k in range(n_kind):
            line = strip[k]
            for u in range(us, nu + 1):
                line[u] = 0
            rate = np.int64(0)
            if credit > 0 and kind_width[k] >= off_cells:
                rate = credit * kind_width[k]
            keep = np.int64(-(2**62))
            for u in range(us, nu + 1):
                if u > us and line[u - 1] > line[u]:
                    line[u] = line[u - 1]
                if rate > 0 and u - off_u >= us:
                    # A leftover in the strip, long enough to keep.
                    back = line[u - off_u] - rate * fine_u * (u - off_u)
                    if back > keep:
                        keep = back
                    worth = keep + rate * (fine_u * (u + 1) - 1 - kerf_u)
                    if worth > line[u]:
                        line[u] = worth
                        changed[u] = 1
                        if u < first_change:
                            first_change = u
                here = line[u]
                for m in range(kind_first[k], kind_first[k + 1]):
                    if u < nu and starts[m, u] == 1:
                        o = member[m]
                        end = u + step_u[o]
                        if value[o] > 0 and end <= nu and here + value[o] > line[end]:
                            line[end] = here + value[o]
                            changed[end] = 1
                            if end < first_change:
                                first_change = end
        for ue in range(first_change, nu + 1):
            if changed[ue] == 0:
                continue
            length = ue - us
            for k in range(n_kind):
                column[k] = strip[k, ue]
            v0 = first_v[length]
            for v in range(v0, nv + 1):
                across[v] = 0
            keep = np.int64(-(2**62))
            cell = credit * ((length + 1) * fine_u - 1 - kerf_u) * fine_v
            offcuts = credit > 0 and length >= off_u
            for v in range(v0, nv + 1):
                if v > v0 and across[v - 1] > across[v]:
                    across[v] = across[v - 1]
                if offcuts:
                    if v - off_v >= v0:
                        back = across[v - off_v] - cell * (v - off_v)
                        if back > keep:
                            keep = back
                    if keep > -(2**62):
                        worth = keep + cell * v + cell
                        if worth > across[v]:
                            across[v] = worth
                here = across[v]
                for w in range(n_width):
                    k = row_kind[v, w]
                    if k >= 0:
                        end = v + strip_step[w]
                        if end <= nv and here + column[k] > across[end]:
                            across[end] = here + column[k]
            if v0 <= nv:
                worth = base + across[nv]
                if worth > reached[ue]:
                    reached[ue], came[ue] = worth, us
    if reached[nu - 1] > reached[nu]:
        reached[nu], came[nu] = reached[nu - 1], -1
    return reached[nu], reached, came


@kernel
def section_counts(
    us: int,
    ue: int,
    nv: int,
    row_kind: NDArray[np.int32],
    strip_width: NDArray[np.int32],
    strip_step: NDArray[np.int32],
    kind_first: NDArray[np.int32],
    member: NDArray[np.int32],
    starts: NDArray[np.uint8],
    step_u: NDArray[np.int32],
    value: NDArray[np.int64],
    first_v: NDArray[np.int32],
    credit: int,
    off_u: int,
    off_v: int,
    off_cells: int,
    fine_u: int,
    fine_v: int,
    kerf_u: int,
    kerf_v: int,
) -> NDArray[np.int32]:
    """Return how many of each option a best section from ``us`` to ``ue`` holds.

    The arguments are those of ``best_sections``; the section is filled again, choices remembered.
    """
    n_width = strip_width.shape[0]
    n_kind = kind_first.shape[0] - 1
    n = ue - us
    line = np.zeros((n_kind, n + 1), np.int64)
    by = np.full((n_kind, n + 1), -1, np.int32)  # member row that ends here; -1 nothing
    back = np.zeros((n_kind, n + 1), np.int32)  # where the leftover that ends here begins
    kind_width = np.zeros(n_kind, np.int32)
    for v in range(nv + 1):
        for w in range(n_width):
            if row_kind[v, w] >= 0:
                kind_width[row_kind[v, w]] = strip_width[w]
    for k in range(n_kind):
        rate = np.int64(0)
        if credit > 0 and kind_width[k] >= off_cells:
            rate = credit * kind_width[k]
        keep = np.int64(-(2**62))
        keep_at = 0
        for i in range(n + 1):
            u = us + i
            if i > 0 and line[k, i - 1] > line[k, i]:
                line[k, i] = line[k, i - 1]
                by[k, i] = -1
            if rate > 0 and i - off_u >= 0:
                gone = line[k, i - off_u] - rate * fine_u * (u - off_u)
                if gone > keep:
                    keep, keep_at = gone, i - off_u
                worth = keep + rate * (fine_u * (u + 1) - 1 - kerf_u)
                if worth > line[k, i]:
                    line[k, i] = worth
                    by[k, i] = -2
                    back[k, i] = keep_at
            if i == n:
                break
            here = line[k, i]
            for m in range(kind_first[k], kind_first[k + 1]):
                if starts[m, u] == 1:
                    o = member[m]
                    end = i + step_u[o]
                    if value[o] > 0 and end <= n and here + value[o] > line[k, end]:
                        line[k, end] = here + value[o]
                        by[k, end] = m
    v0 = first_v[n]
    across = np.zeros(nv + 1, np.int64)
    strip_of = np.full(nv + 1, -1, np.int32)
    from_v = np.zeros(nv + 1, np.int32)
    cell = credit * ((n + 1) * fine_u - 1 - kerf_u) * fine_v
    offcuts = credit > 0 and n >= off_u
    keep = np.int64(-(2**62))
    keep_at = 0
    for v in range(v0, nv + 1):
        if v > v0 and across[v - 1] > across[v]:
            across[v] = across[v - 1]
            strip_of[v] = -1
        if offcuts:
            if v - off_v >= v0:
                gone = across[v - off_v] - cell * (v - off_v)
                if gone > keep:
                    keep, keep_at = gone, v - off_v
            if keep > -(2**62):
                worth = keep + cell * v + cell
                if worth > across[v]:
                    across[v] = worth
                    strip_of[v] = -2
                    from_v[v] = keep_at
        here = across[v]
        for w in range(n_width):
            k = row_kind[v, w]
            if k >= 0:
                end = v + strip_step[w]
                if end <= nv and here + line[k, n] > across[end]:
                    across[end] = here + line[k, n]
                    strip_of[end] = k
                    from_v[end] = v
    counts = np.zeros(value.shape[0], np.int32)
    v = nv
    while v > v0:
        k = strip_of[v]
        if k == -1:
            v -= 1
            continue
        if k >= 0:
            i = n
            while i > 0:
                m = by[k, i]
                if m == -1:
                    i -= 1
                elif m == -2:
                    i = back[k, i]
                else:
                    counts[member[m]] += 1
                    i -= step_u[member[m]]
        v = from_v[v]
    return counts

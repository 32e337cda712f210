"""Which blanks a section of the best three-stage layout holds, and where: walked back."""

import numpy as np

from nester.solve.kernels.jit import kernel, leaf, wide
from nester.solve.kernels.section_tables import Ints2, SectionTables
from nester.solve.kernels.sections import (
    NOTHING,
    Longs,
    fill_section,
    fill_strips,
    gains_across,
    most_rows,
    slopes,
)


@kernel
def section_walk(t: SectionTables, us: int, ue: int, value: Longs) -> Ints2:
    """Return the blanks that a best section from ``us`` to ``ue`` holds.

    A row for each: its option, its steps along u and across v, and the width class of its strip.
    Strips come one after another from the far edge, their blanks from the far end.

    The arguments are those of ``best_sections``; the section is filled again and walked back, each
    value to one that it can have come from.
    """
    n_kind = t.kind_first.shape[0] - 1
    plain = np.zeros((n_kind, ue + 1), np.int64)
    kept = np.zeros((n_kind, ue + 1), np.int64)
    broad = np.zeros((n_kind, ue + 1), np.int64)
    changed = np.zeros(ue + 1, np.uint8)
    fill_strips(t, us, ue, plain, kept, broad, value, changed)
    now = np.zeros(n_kind, np.int64)
    now_kept = np.zeros(n_kind, np.int64)
    for k in range(n_kind):
        now[k], now_kept[k] = plain[k, ue], kept[k, ue]
    length = ue - us
    v0 = int(t.first_v[length])
    most = (t.nv // max(1, t.strip_step.min()) + 1) * (length // max(1, t.step_u.min()) + 1)
    placed = np.zeros((most, 4), np.int32)
    n = 0
    gains = np.zeros((2, t.nv + 1), np.int64)
    gains_across(t, us, ue, gains)
    widths = t.strip_step.shape[0]
    done = np.zeros(t.nv + 1, np.int64)
    above = np.zeros((t.nv + 1, widths), np.int64)
    slope = np.zeros(widths, np.int64)
    since = np.zeros(widths, np.int64)
    leaves = slopes(t, length, now, now_kept, broad[:, ue], slope)
    fill_section(t, length, now, now_kept, slope, leaves, gains, done, above, since)
    v = t.nv
    while v > v0:
        if done[v] == done[v - 1]:
            v -= 1
            continue
        widened, end = -1, v
        for w in range(widths if leaves else 0):
            for at in range(max(v0, v - most_rows(t, w)), v + 1):
                if above[at, w] > NOTHING and done[v] == above[at, w] + (v - at) * slope[w]:
                    widened, end = w, at
        v = end
        found = False
        for w in range(t.strip_step.shape[0]):
            step = int(t.strip_step[w])
            start = v - step if widened < 0 else v - max(step, t.off_v)
            if start < v0 or widened not in (-1, w):
                continue
            k = t.row_kind[start, w]
            if k < 0:
                continue
            alone = widened < 0 and done[v] == done[start] + plain[k, ue]
            beside = widened == w and kept[k, ue] > 0 and above[v, w] == done[start] + kept[k, ue]
            if not alone and not beside:
                continue
            first = n
            n = _walk(t, k, us, ue, beside, plain[k], kept[k], value, placed, n)
            placed[first:n, 2] = start
            placed[first:n, 3] = w
            v, found = start, True
            break
        if found:
            continue
        # An offcut across the section: from where it began.
        best = v - 1
        for start in range(v0, v - t.off_v + 1):
            if done[v] == done[start] + gains[1, v] - gains[0, start]:
                best = start
                break
        v = best
    return placed[:n]


@leaf
def _walk(
    t: SectionTables,
    k: int,
    us: int,
    ue: int,
    with_leftover: bool,
    plain: Longs,
    kept: Longs,
    value: Longs,
    placed: Ints2,
    n: int,
) -> int:
    """Add the blanks of a filled strip to the ``n`` that are ``placed``, walking back from its end.

    Their options and places along u are filled in; return how many there are then.
    """
    low, high = t.earned[0, k], t.earned[1, k]
    u = ue
    while u > us:
        line = kept if with_leftover else plain
        if line[u] == line[u - 1]:
            u -= 1
            continue
        found = False
        for m in range(t.kind_first[k], t.kind_first[k + 1]):
            o = t.member[m]
            start = u - t.step_u[o]
            if start < us or t.starts[start, m] == 0 or value[o] <= 0:
                continue
            rest = line[u] - value[o]
            after_blanks = line[start] == rest and (not with_leftover or rest > 0)
            leftover = with_leftover and start - t.off_u >= us
            first = leftover and t.credit * wide(high[start] - low[us]) == rest
            if after_blanks or first:
                placed[n, 0], placed[n, 1] = o, start
                n += 1
                u, found = start if after_blanks else us, True
                break
        if found:
            continue
        best = u - 1
        if with_leftover:
            for start in range(us, u - t.off_u + 1):
                gain = t.credit * wide(high[u] - low[start])
                before = max(plain[start], kept[start])
                if before > 0 and before + gain == kept[u]:
                    best = start
                    with_leftover = kept[start] >= plain[start] and kept[start] > 0
                    break
        u = best
    return n

"""Which blanks a section of the best counted layout holds, and where: walked back."""

import numpy as np

from nester.solve.kernels.counted_sections import (
    Ints2,
    Longs2,
    fill_counted_section,
    fill_counted_strips,
    list_strips,
)
from nester.solve.kernels.jit import kernel, leaf, wide
from nester.solve.kernels.section_tables import Ints, SectionTables
from nester.solve.kernels.sections import Longs, gains_across


@kernel
def counted_walk(
    t: SectionTables,
    us: int,
    ue: int,
    state: int,
    value: Longs,
    adds: Ints,
    join: Ints2,
    fewer: Ints2,
) -> Ints2:
    """Return the blanks that a best section from ``us`` to ``ue`` in a state holds.

    They are told as by ``section_walk``; the arguments are those of ``counted_sections``. The
    section is filled again and walked back, each value to one that it can have come from.
    """
    n_kind = t.kind_first.shape[0] - 1
    n_state = join.shape[0]
    plain = np.zeros((n_kind, ue + 1, n_state), np.int64)
    kept = np.zeros((n_kind, ue + 1, n_state), np.int64)
    broad = np.zeros((n_kind, ue + 1, n_state), np.int64)
    some = np.zeros((2, n_kind), np.int32)
    some_state = np.zeros((2, n_kind, n_state), np.int32)
    some_value = np.zeros((2, n_kind, n_state), np.int64)
    room = np.zeros((2, n_state), np.int64)
    changed = np.zeros(ue + 1, np.uint8)
    widths = t.strip_step.shape[0]
    slope = np.zeros((2, widths), np.int64)
    fill_counted_strips(t, us, ue, plain, kept, broad, value, changed, adds, join, room[0])
    slack = list_strips(
        t, us, ue, plain, kept, broad, slope, fewer, room, some, some_state, some_value
    )
    length = ue - us
    v0 = int(t.first_v[length])
    most = (t.nv // max(1, t.strip_step.min()) + 1) * (length // max(1, t.step_u.min()) + 1)
    placed = np.zeros((most, 4), np.int32)
    n = 0
    gains = np.zeros((2, t.nv + 1), np.int64)
    gains_across(t, us, ue, gains)
    done = np.zeros((t.nv + 1, n_state), np.int64)
    above = np.zeros((t.nv + 1, widths, n_state), np.int64)
    fill_counted_section(
        t, length, some, some_state, some_value, slope, gains, done, above, join, room[0]
    )
    leaves = slack > 0
    v = t.nv
    widened = -1
    now = state
    while v > v0:
        if widened < 0:
            if done[v, now] == done[v - 1, now]:
                v -= 1
                continue
            for w in range(widths):
                if leaves and done[v, now] == above[v, w, now]:
                    widened = w
        if widened >= 0:
            less = above[v - 1, widened, now]
            if less > 0 and above[v, widened, now] == less + slope[0, widened]:
                v -= 1
                continue
        held = np.int64(-1)
        line = 1 if widened >= 0 else 0
        for w in range(t.strip_step.shape[0]):
            step = int(t.strip_step[w])
            start = v - step if widened < 0 else v - max(step, t.off_v)
            if start < v0 or widened not in (-1, w):
                continue
            k = t.row_kind[start, w]
            if k < 0:
                continue
            for i in range(some[line, k]):
                of = some_state[line, k, i]
                rest = now - of
                if rest < 0 or join[rest, of] != now:
                    continue
                if done[start, rest] < 0:
                    continue
                after = above[v, w, now] if line == 1 else done[v, now]
                if after == done[start, rest] + some_value[line, k, i]:
                    held = of
                    break
            if held >= 0:
                first = n
                n = _walk(
                    t,
                    k,
                    us,
                    ue,
                    int(held),
                    line == 1,
                    plain[k],
                    kept[k],
                    value,
                    adds,
                    join,
                    placed,
                    n,
                )
                placed[first:n, 2] = start
                placed[first:n, 3] = w
                v, now, widened = start, now - int(held), -1
                break
        if held >= 0:
            continue
        # An offcut across the section: from where it began.
        best = v - 1
        for start in range(v0, v - t.off_v + 1):
            if done[start, now] < 0:
                continue
            if done[v, now] == done[start, now] + gains[1, v] - gains[0, start]:
                best = start
                break
        v, widened = best, -1
    return placed[:n]


@leaf
def _walk(
    t: SectionTables,
    k: int,
    us: int,
    ue: int,
    state: int,
    with_leftover: bool,
    plain: Longs2,
    kept: Longs2,
    value: Longs,
    adds: Ints,
    join: Ints2,
    placed: Ints2,
    n: int,
) -> int:
    """Add the blanks of a filled strip in a state to the ``n`` that are ``placed``.

    It is walked back from its end. Their options and places along u are filled in; return how many
    there are then.
    """
    low, high = t.earned[0, k], t.earned[1, k]
    u = ue
    while u > us:
        line = kept if with_leftover else plain
        if line[u, state] == line[u - 1, state]:
            u -= 1
            continue
        found = False
        for m in range(t.kind_first[k], t.kind_first[k + 1]):
            o = t.member[m]
            start = u - t.step_u[o]
            rest = state - adds[o]
            if start < us or t.starts[start, m] == 0 or value[o] <= 0:
                continue
            if rest < 0 or join[rest, adds[o]] != state:
                continue
            worth = line[u, state] - value[o]
            after_blanks = line[start, rest] == worth and worth >= (1 if with_leftover else 0)
            leftover = with_leftover and rest == 0 and start - t.off_u >= us
            first = leftover and t.credit * wide(high[start] - low[us]) == worth
            if after_blanks or first:
                placed[n, 0], placed[n, 1] = o, start
                n += 1
                u, state, found = start if after_blanks else us, rest, True
                break
        if found:
            continue
        best = u - 1
        if with_leftover:
            for start in range(us, u - t.off_u + 1):
                gain = t.credit * wide(high[u] - low[start])
                before = max(plain[start, state], kept[start, state])
                if before > 0 and before + gain == kept[u, state]:
                    best = start
                    with_leftover = kept[start, state] >= plain[start, state]
                    with_leftover = with_leftover and kept[start, state] > 0
                    break
        u = best
    return n

"""Which blanks a section of the best counted layout holds, and where: walked back."""

import numpy as np

from nester.solve.kernels.counted_sections import (
    Ints2,
    Longs2,
    fill_counted_section,
    fill_counted_strip,
    worthy,
)
from nester.solve.kernels.jit import kernel, leaf, wide
from nester.solve.kernels.section_tables import Ints, SectionTables
from nester.solve.kernels.sections import Longs, gains_across, slack_worth


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
    some = np.zeros((2, n_kind), np.int32)
    some_state = np.zeros((2, n_kind, n_state), np.int32)
    some_value = np.zeros((2, n_kind, n_state), np.int64)
    across = np.zeros((3, t.nv + 1, n_state), np.int64)
    room = np.zeros(n_state, np.int64)
    changed = np.zeros(ue + 1, np.uint8)
    for k in range(n_kind):
        fill_counted_strip(t, k, us, ue, plain[k], kept[k], value, changed, adds, join, room)
        some[0, k] = worthy(plain[k, ue], fewer, room, some_state[0, k], some_value[0, k])
        some[1, k] = worthy(kept[k, ue], fewer, room, some_state[1, k], some_value[1, k])
    length = ue - us
    v0 = int(t.first_v[length])
    most = (t.nv // max(1, t.strip_step.min()) + 1) * (length // max(1, t.step_u.min()) + 1)
    placed = np.zeros((most, 4), np.int32)
    n = 0
    gains = np.zeros((2, t.nv + 1), np.int64)
    gains_across(t, us, ue, gains)
    fill_counted_section(t, length, some, some_state, some_value, gains, across, join, room)
    done, below, above = across[0], across[1], across[2]
    slack = slack_worth(t, length)
    v = t.nv
    layer = 0
    now = state
    while v > v0:
        if layer == 0 and done[v, now] == done[v - 1, now]:
            v -= 1
            continue
        if layer == 1:
            if below[v, now] == below[v - 1, now] + slack and below[v - 1, now] >= 0:
                v -= 1
            else:
                layer = 0
            continue
        if layer == 0 and done[v, now] == above[v, now]:
            layer = 2
        if layer == 2 and above[v - 1, now] > 0 and above[v, now] == above[v - 1, now] + slack:
            v -= 1
            continue
        held = np.int64(-1)
        line = 1 if layer == 2 else 0
        for w in range(t.strip_step.shape[0]):
            step = int(t.strip_step[w])
            start = v - step if layer == 0 else v - max(step, t.off_v)
            if start < v0:
                continue
            k = t.row_kind[start, w]
            if k < 0:
                continue
            for i in range(some[line, k]):
                of = some_state[line, k, i]
                rest = now - of
                if rest < 0 or join[rest, of] != now:
                    continue
                before, after = (below, above) if line == 1 else (done, done)
                if before[start, rest] < 0:
                    continue
                if after[v, now] == before[start, rest] + some_value[line, k, i]:
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
                v, now, layer = start, now - int(held), line
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
        v, layer = best, 0
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
            if rest < 0 or join[rest, adds[o]] != state or line[start, rest] < 0:
                continue
            if with_leftover and line[start, rest] == 0:
                continue
            if line[start, rest] + value[o] == line[u, state]:
                placed[n, 0], placed[n, 1] = o, start
                n += 1
                u, state, found = start, rest, True
                break
        if found:
            continue
        best = u - 1
        if with_leftover:
            for start in range(us, u - t.off_u + 1):
                gain = t.credit * wide(high[u] - low[start]) + 1
                before = max(plain[start, state], kept[start, state])
                if (plain[start, state] >= 0 or before > 0) and before + gain == kept[u, state]:
                    best = start
                    with_leftover = kept[start, state] >= plain[start, state]
                    with_leftover = with_leftover and kept[start, state] > 0
                    break
        u = best
    return n

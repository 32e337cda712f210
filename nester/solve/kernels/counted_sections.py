"""The most valuable three-stage layout of a flawed stock item, copies of some blanks counted.

The programme of ``kernels.sections`` with a state at each position: how many copies of each counted
blank are taken so far, all others being taken any number of times. That is the decremental state
space of Righini and Salani (2008), "New dynamic programming algorithms for the resource constrained
elementary shortest path problem". States are numbered in a mixed radix, so that the number of two
states together is the sum of their numbers; state 0 has none. With nothing to count the other
kernels are three times as quick.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf, wide
from nester.solve.kernels.section_tables import Bytes, Ints, Ints3, SectionTables
from nester.solve.kernels.sections import NOTHING, Longs, gains_across, slack_worth

Ints2: TypeAlias = NDArray[np.int32]
"""Shape (state, state), or (step along u, state)."""
Longs2: TypeAlias = NDArray[np.int64]
"""Shape (from, to), both in steps along u, or (step, state), or (2, step) for gains."""
Longs3: TypeAlias = NDArray[np.int64]
"""Shape (kind or layer, step, state)."""

NONE = -1
"""In place of the value of a state that nothing leads to."""


@leaf
def worthy(line: Longs, fewer: Ints2, most: Longs, states: Ints, values: Longs) -> int:
    """List the states worth more than all that take fewer copies; return how many.

    ``line`` gives each state's value, ``fewer[s]`` the states with one copy less of each counted
    blank (-1: there is none to take off). ``states`` and ``values`` are filled, ``most`` is room.
    """
    n = 0
    for s in range(line.shape[0]):
        best = np.int64(0)
        for j in range(fewer.shape[1]):
            if fewer[s, j] >= 0:
                best = max(best, most[fewer[s, j]])
        if line[s] > best:
            states[n], values[n] = s, line[s]
            n += 1
            best = line[s]
        most[s] = best
    return n


@kernel
def counted_sections(
    t: SectionTables,
    value: Longs,
    least: int,
    ratio: int,
    worth_before: Longs,
    worth_of: Longs2,
    worth_after: Longs,
    adds: Ints,
    join: Ints2,
    fewer: Ints2,
) -> tuple[Longs2, Ints2, Ints2, Longs2, int]:
    """Return the best values up to each u, how they come about, sections, and work.

    The first arguments are those of ``sections.best_sections``.

    ``adds`` is the state that an option alone makes, ``join`` that of two states together (-1: more
    copies than are wanted), ``fewer`` is told in ``worthy``.

    The values are by u and state, ``NONE`` where nothing leads there. For each, the first of the
    two next arrays tells where the last section starts, -1 for none, -2 - u for an offcut of the
    whole width from u on; the second the state before it.
    """
    n_kind = t.kind_first.shape[0] - 1
    n_state = join.shape[0]
    reached = np.full((t.nu + 1, n_state), NONE, np.int64)
    reached[:, 0] = 0
    came = np.full((t.nu + 1, n_state), -1, np.int32)
    came_state = np.zeros((t.nu + 1, n_state), np.int32)
    plain = np.zeros((n_kind, t.nu + 1, n_state), np.int64)
    kept = np.zeros((n_kind, t.nu + 1, n_state), np.int64)
    some = np.zeros((2, n_kind), np.int32)
    some_state = np.zeros((2, n_kind, n_state), np.int32)
    some_value = np.zeros((2, n_kind, n_state), np.int64)
    inside_state = np.zeros(n_state, np.int32)
    inside_value = np.zeros(n_state, np.int64)
    across = np.zeros((3, t.nv + 1, n_state), np.int64)
    room = np.zeros(n_state, np.int64)
    gains = np.zeros((2, t.nv + 1), np.int64)
    changed = np.zeros(t.nu + 1, np.uint8)
    asked = np.ones(t.nu + 1, np.uint8)
    sections = np.full((t.nu + 1, t.nu + 1), NOTHING, np.int64)
    widths = t.strip_step.shape[0]
    work = 0
    for us in range(t.nu):
        if us > 0:
            for s in range(n_state):
                if reached[us - 1, s] > reached[us, s]:
                    reached[us, s], came[us, s] = reached[us - 1, s], -1
        if t.keeps_whole:
            for ue in range(us + t.off_u, t.nu + 1):
                worth = t.credit * wide(t.whole[1, ue] - t.whole[0, us])
                for s in range(n_state):
                    if reached[us, s] >= 0 and reached[us, s] + worth > reached[ue, s]:
                        reached[ue, s], came[ue, s] = reached[us, s] + worth, -2 - us
        last = t.nu
        if ratio > 0:
            last = us
            before = worth_before[us // ratio]
            for ue in range(us + 1, t.nu + 1):
                rough = worth_of[us // ratio, ue // ratio]
                asked[ue] = before + rough + worth_after[ue // ratio] > least
                if asked[ue] == 1:
                    last = ue
            if last == us:
                continue
        changed[:] = 0
        first_change = t.nu + 1
        for k in range(n_kind):
            first = fill_counted_strip(
                t, k, us, last, plain[k], kept[k], value, changed, adds, join, room
            )
            first_change = min(first_change, first)
            work += 2 * (last - us) * (t.kind_first[k + 1] - t.kind_first[k]) * n_state
        for ue in range(first_change, last + 1):
            length = ue - us
            sections[us, ue] = sections[us, ue - 1]
            # With an offcut in it a section may be worth more for being longer.
            if asked[ue] == 0 or (changed[ue] == 0 and (t.credit == 0 or length < t.off_u)):
                continue
            for k in range(n_kind):
                some[0, k] = worthy(plain[k, ue], fewer, room, some_state[0, k], some_value[0, k])
                some[1, k] = worthy(kept[k, ue], fewer, room, some_state[1, k], some_value[1, k])
            if t.credit > 0 and length >= t.off_u:
                gains_across(t, us, ue, gains)
            fill_counted_section(t, length, some, some_state, some_value, gains, across, join, room)
            work += 2 * t.nv * widths * n_state
            if t.first_v[length] > t.nv:
                continue
            n = worthy(across[0, t.nv], fewer, room, inside_state, inside_value)
            for i in range(n):
                inside = inside_value[i]
                sections[us, ue] = max(sections[us, ue], inside)
                for s in range(n_state):
                    both = join[s, inside_state[i]]
                    if both < 0 or reached[us, s] < 0:
                        continue
                    if reached[us, s] + inside > reached[ue, both]:
                        reached[ue, both] = reached[us, s] + inside
                        came[ue, both], came_state[ue, both] = us, s
    for s in range(n_state):
        if reached[t.nu - 1, s] > reached[t.nu, s]:
            reached[t.nu, s], came[t.nu, s] = reached[t.nu - 1, s], -1
    return reached, came, came_state, sections, work


@leaf
def fill_counted_strip(
    t: SectionTables,
    k: int,
    us: int,
    ue: int,
    plain: Longs2,
    kept: Longs2,
    value: Longs,
    changed: Bytes,
    adds: Ints,
    join: Ints2,
    keep: Longs,
) -> int:
    """Fill a strip of kind ``k`` from ``us``: the best values up to each u; return where it begins.

    ``plain`` counts blanks alone, ``kept`` blanks and at least one leftover long enough to keep,
    both by u and state. ``changed`` marks where a strip is worth more than a step before. ``keep``
    is room, one for each state.
    """
    low, high = t.earned[0, k], t.earned[1, k]
    first = ue + 1
    n_state = join.shape[0]
    for u in range(us, ue + 1):
        for s in range(n_state):
            plain[u, s] = NONE
            kept[u, s] = 0
        plain[u, 0] = 0
    keep[:] = NOTHING
    for u in range(us, ue + 1):
        event = u == us
        keeps = False
        for s in range(n_state):
            if u > us:
                if plain[u, s] > plain[u - 1, s]:
                    event = True
                else:
                    plain[u, s] = plain[u - 1, s]
                kept[u, s] = max(kept[u, s], kept[u - 1, s])
            if t.credit > 0 and u - t.off_u >= us:
                back = max(plain[u - t.off_u, s], kept[u - t.off_u, s])
                if plain[u - t.off_u, s] >= 0 or back > 0:
                    keep[s] = max(keep[s], back - t.credit * wide(low[u - t.off_u]))
                if keep[s] > NOTHING:
                    # One tick more, so that a leftover that earns nothing is known to be there.
                    kept[u, s] = max(kept[u, s], keep[s] + t.credit * wide(high[u]) + 1)
            if kept[u, s] > 0:
                keeps = True
        if u == ue:
            break
        # Where nothing has ended, only what could not start a step before need start here.
        if not event and not keeps and t.news[u, k] == 0:
            continue
        for m in range(t.kind_first[k], t.kind_first[k + 1]):
            free = t.starts[u, m]
            if free == 0 or (free == 1 and not event and not keeps):
                continue
            o = t.member[m]
            end = u + t.step_u[o]
            if value[o] <= 0 or end > ue:
                continue
            for s in range(n_state):
                both = join[s, adds[o]]
                if both < 0:
                    continue
                worth = plain[u, s] + value[o]
                if plain[u, s] >= 0 and worth > plain[end, both] and (event or free == 2):
                    plain[end, both] = worth
                    changed[end] = 1
                    first = min(first, end)
                if kept[u, s] > 0 and kept[u, s] + value[o] > kept[end, both]:
                    kept[end, both] = kept[u, s] + value[o]
                    changed[end] = 1
    return first


@leaf
def fill_counted_section(
    t: SectionTables,
    length: int,
    some: Ints2,
    some_state: Ints3,
    some_value: Longs3,
    gains: Longs2,
    across: Longs3,
    join: Ints2,
    keep: Longs,
) -> None:
    """Fill ``across`` with the best values of strips across a section, by v and state.

    Of each kind of strip ``k`` the worthy states are ``some_state[i, k, :some[i, k]]`` with their
    values, ``i`` being 0 for blanks alone and 1 for blanks beside a leftover.

    Layer 0 of ``across``: whole strips so far; layer 1 the same with spare rows below that will
    widen a strip with a leftover; layer 2 just after such a strip, which spare rows above widen.
    ``keep`` is room, one for each state.
    """
    v0 = wide(t.first_v[length])
    if v0 > t.nv:
        return
    n_state = join.shape[0]
    done, below, above = across[0], across[1], across[2]
    for v in range(v0, t.nv + 1):
        for s in range(n_state):
            done[v, s] = NONE
            below[v, s] = NONE
            above[v, s] = NOTHING
        done[v, 0] = 0
        below[v, 0] = 0
    slack = slack_worth(t, length)
    keep[:] = NOTHING
    for v in range(v0, t.nv + 1):
        for s in range(n_state):
            if v > v0:
                if above[v - 1, s] > NOTHING:
                    above[v, s] = max(above[v, s], above[v - 1, s] + slack)
                done[v, s] = max(done[v, s], done[v - 1, s])
            done[v, s] = max(done[v, s], above[v, s])
            if t.credit > 0 and length >= t.off_u:
                if v - t.off_v >= v0 and done[v - t.off_v, s] >= 0:
                    keep[s] = max(keep[s], done[v - t.off_v, s] - gains[0, v - t.off_v])
                if keep[s] > NOTHING:
                    done[v, s] = max(done[v, s], keep[s] + gains[1, v])
            below[v, s] = done[v, s]
            if v > v0 and below[v - 1, s] >= 0:
                below[v, s] = max(below[v, s], below[v - 1, s] + slack)
        for w in range(t.strip_step.shape[0]):
            k = t.row_kind[v, w]
            if k < 0:
                continue
            end = v + t.strip_step[w]
            for i in range(some[0, k]):
                worth = some_value[0, k, i]
                for s in range(n_state):
                    both = join[s, some_state[0, k, i]]
                    if both >= 0 and done[v, s] >= 0 and done[v, s] + worth > done[end, both]:
                        done[end, both] = done[v, s] + worth
            end = v + max(t.strip_step[w], t.off_v)
            if slack == 0 or end > t.nv:
                continue
            for i in range(some[1, k]):
                worth = some_value[1, k, i]
                for s in range(n_state):
                    both = join[s, some_state[1, k, i]]
                    if both >= 0 and below[v, s] >= 0 and below[v, s] + worth > above[end, both]:
                        above[end, both] = below[v, s] + worth

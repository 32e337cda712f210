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
from nester.solve.kernels.sections import (
    NOTHING,
    Longs,
    gains_across,
    look,
    slack_worth,
)

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
    worth_before: Longs,
    worth_after: Longs,
    worth_long: Longs,
    ratio: int,
    worth_of: Longs2,
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
    broad = np.zeros((n_kind, t.nu + 1, n_state), np.int64)
    some = np.zeros((2, n_kind), np.int32)
    some_state = np.zeros((2, n_kind, n_state), np.int32)
    some_value = np.zeros((2, n_kind, n_state), np.int64)
    inside_state = np.zeros(n_state, np.int32)
    inside_value = np.zeros(n_state, np.int64)
    room = np.zeros((2, n_state), np.int64)
    gains = np.zeros((2, t.nv + 1), np.int64)
    changed = np.zeros(t.nu + 1, np.uint8)
    asked = np.ones(t.nu + 1, np.uint8)
    sections = np.full((t.nu + 1, t.nu + 1), NOTHING, np.int64)
    widths, members = t.strip_step.shape[0], t.member.shape[0]
    done = np.zeros((t.nv + 1, n_state), np.int64)
    above = np.zeros((t.nv + 1, widths, n_state), np.int64)
    slope = np.zeros((2, widths), np.int64)
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
        over = least - worth_before[us]
        last = look(us, over, worth_after, worth_long, ratio, worth_of, asked)
        if last == us:
            continue
        changed[:] = 0
        first_change = fill_counted_strips(
            t, us, last, plain, kept, broad, value, changed, adds, join, room[0]
        )
        work += 2 * (last - us) * members * n_state
        fresh = False
        for ue in range(first_change, last + 1):
            length = ue - us
            sections[us, ue] = sections[us, ue - 1]
            fresh = fresh or changed[ue] == 1
            # With an offcut in it a section may be worth more for being longer.
            if asked[ue] == 0 or not (fresh or (t.credit > 0 and length >= t.off_u)):
                continue
            fresh = False
            list_strips(
                t, us, ue, plain, kept, broad, slope, fewer, room, some, some_state, some_value
            )
            if t.credit > 0 and length >= t.off_u:
                gains_across(t, us, ue, gains)
            fill_counted_section(
                t, length, some, some_state, some_value, slope, gains, done, above, join, room[0]
            )
            work += 2 * t.nv * widths * n_state
            if t.first_v[length] > t.nv:
                continue
            n = worthy(done[t.nv], fewer, room[1], inside_state, inside_value)
            for i in range(n):
                inside = inside_value[i]
                if ratio > 0:
                    inside = min(inside, worth_of[us // ratio, ue // ratio])
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
def fill_counted_strips(
    t: SectionTables,
    us: int,
    ue: int,
    plain: Longs3,
    kept: Longs3,
    broad: Longs3,
    value: Longs,
    changed: Bytes,
    adds: Ints,
    join: Ints2,
    keep: Longs,
) -> int:
    """Fill a strip of each kind from ``us``: the best values up to each u; return where one begins.

    ``plain``, ``kept`` and ``broad`` are told in ``sections.fill_strips``, here by state too.
    ``changed`` marks where a strip is worth more than a step before. ``keep`` is room, one for each
    state.
    """
    first = ue + 1
    for k in range(plain.shape[0]):
        own = _fill_counted_strip(t, k, us, ue, plain[k], value, changed, adds, join)
        first = min(first, own)
        kept[k, us : ue + 1] = 0
        broad[k, us : ue + 1] = 0
        rows = t.spare[t.kind_class[k]]
        if t.credit == 0 or rows < 0 or own > ue:
            continue
        low, high = t.earned[0, k], t.earned[1, k]
        _fill_beside(t, k, us, ue, low, high, plain[k], kept[k], value, adds, join, keep)
        if rows > 0:
            low, high = t.broad[0, k], t.broad[1, k]
            _fill_beside(t, k, us, ue, low, high, plain[k], broad[k], value, adds, join, keep)
    return first


@leaf
def _fill_counted_strip(
    t: SectionTables,
    k: int,
    us: int,
    ue: int,
    plain: Longs2,
    value: Longs,
    changed: Bytes,
    adds: Ints,
    join: Ints2,
) -> int:
    """Fill a strip with blanks alone; return where it begins."""
    first = ue + 1
    n_state = join.shape[0]
    plain[us : ue + 1] = NONE
    plain[us : ue + 1, 0] = 0
    for u in range(us, ue):
        event = u == us
        if u > us:
            event = carried(plain[u - 1], plain[u])
        # Where nothing has ended, only what could not start a step before need start here.
        if not event and t.news[u, k] == 0:
            continue
        for m in range(t.kind_first[k], t.kind_first[k + 1]):
            free = t.starts[u, m]
            if free == 0 or (free == 1 and not event):
                continue
            o = t.member[m]
            end = u + t.step_u[o]
            if value[o] <= 0 or end > ue:
                continue
            for s in range(n_state):
                both = join[s, adds[o]]
                worth = plain[u, s] + value[o]
                if both >= 0 and plain[u, s] >= 0 and worth > plain[end, both]:
                    plain[end, both] = worth
                    changed[end] = 1
                    first = min(first, end)
    if ue > us:
        carried(plain[ue - 1], plain[ue])
    return first


@leaf
def carried(before: Longs, line: Longs) -> bool:
    """Carry a step's values, by state, to the next; return whether one there is better already."""
    better = False
    for s in range(line.shape[0]):
        if line[s] > before[s]:
            better = True
        else:
            line[s] = before[s]
    return better


@leaf
def _fill_beside(
    t: SectionTables,
    k: int,
    us: int,
    ue: int,
    low: Ints,
    high: Ints,
    plain: Longs2,
    line: Longs2,
    value: Longs,
    adds: Ints,
    join: Ints2,
    keep: Longs,
) -> None:
    """Fill a strip with blanks and leftovers, at least one of each, as in ``sections``."""
    credit, off_u, n_state = t.credit, t.off_u, join.shape[0]
    keep[:] = NOTHING
    for u in range(us + off_u, ue + 1):
        p = u - off_u
        for s in range(n_state):
            line[u, s] = max(line[u, s], line[u - 1, s])
            back = max(plain[p, s], line[p, s])
            if back > 0:
                keep[s] = max(keep[s], back - credit * wide(low[p]))
            if keep[s] > NOTHING:
                line[u, s] = max(line[u, s], keep[s] + credit * wide(high[u]))
        if u == ue:
            break
        bare = credit * wide(high[u] - low[us])
        for m in range(t.kind_first[k], t.kind_first[k + 1]):
            o = t.member[m]
            end = u + t.step_u[o]
            if t.starts[u, m] == 0 or value[o] <= 0 or end > ue:
                continue
            for s in range(n_state):
                both = join[s, adds[o]]
                if both >= 0 and (s == 0 or line[u, s] > 0):
                    worth = max(line[u, s], bare) if s == 0 else line[u, s]
                    line[end, both] = max(line[end, both], worth + value[o])


@leaf
def steepest(t: SectionTables, k: int, slack: int, kept: int, broad: int, found: Longs2) -> None:
    """Take over the slope of a strip where it is the best of its class so far."""
    w = t.kind_class[k]
    if kept > found[1, w]:
        rows = max(1, wide(t.spare[w]))
        found[0, w] = max(0, min(slack, -((kept - broad) // rows)))
        found[1, w] = kept


@leaf
def raised(t: SectionTables, k: int, slack: int, kept: int, broad: int, found: Longs2) -> int:
    """Return where a line of the slope of its class has to begin, to lie above a strip's worth."""
    w = t.kind_class[k]
    rows = max(0, wide(t.spare[w]))
    return max(kept, min(broad, kept + slack * rows) - found[0, w] * rows)


@leaf
def counted_slopes(
    t: SectionTables, us: int, ue: int, kept: Longs3, broad: Longs3, found: Longs2
) -> int:
    """Fill in what a spare row is worth, for each width class; return what it is at the most.

    As ``sections.slopes`` tells, but a class has the slope of its best strip and state, and others
    begin higher: with few copies the slope is steep and the worth little. Row 1 is room.
    """
    slack = slack_worth(t, ue - us)
    found[:] = 0
    for k in range(kept.shape[0]):
        for s in range(kept.shape[2]):
            steepest(t, k, slack, kept[k, ue, s], broad[k, ue, s], found)
    return slack


@leaf
def worthy_beside(
    t: SectionTables,
    k: int,
    slack: int,
    kept: Longs,
    broad: Longs,
    slope: Longs2,
    fewer: Ints2,
    room: Longs2,
    states: Ints,
    values: Longs,
) -> int:
    """List the ``worthy`` states of a strip with a leftover, its values raised to its slope."""
    if slack == 0:
        return 0
    for s in range(kept.shape[0]):
        room[0, s] = 0
        if kept[s] > 0:
            room[0, s] = raised(t, k, slack, kept[s], broad[s], slope)
    return worthy(room[0], fewer, room[1], states, values)


@leaf
def list_strips(
    t: SectionTables,
    us: int,
    ue: int,
    plain: Longs3,
    kept: Longs3,
    broad: Longs3,
    slope: Longs2,
    fewer: Ints2,
    room: Longs2,
    some: Ints2,
    some_state: Ints3,
    some_value: Longs3,
) -> int:
    """List the worthy states of each kind of strip in a section; return the steepest slope.

    ``slope`` is filled, and ``some`` to ``some_value`` as ``fill_counted_section`` reads them.
    """
    slack = counted_slopes(t, us, ue, kept, broad, slope)
    for k in range(plain.shape[0]):
        some[0, k] = worthy(plain[k, ue], fewer, room[1], some_state[0, k], some_value[0, k])
        some[1, k] = worthy_beside(
            t,
            k,
            slack,
            kept[k, ue],
            broad[k, ue],
            slope,
            fewer,
            room,
            some_state[1, k],
            some_value[1, k],
        )
    return slack


@leaf
def fill_counted_section(
    t: SectionTables,
    length: int,
    some: Ints2,
    some_state: Ints3,
    some_value: Longs3,
    slope: Longs2,
    gains: Longs2,
    done: Longs2,
    above: Longs3,
    join: Ints2,
    keep: Longs,
) -> None:
    """Fill ``done`` and ``above`` with the best values of strips across a section, by v and state.

    They are told in ``sections.fill_section``; ``above`` is by v, width class and state. Of each
    kind of strip ``k`` the worthy states are ``some_state[i, k, :some[i, k]]`` with their values,
    ``i`` being 0 for blanks alone and 1 for blanks beside a leftover. ``keep`` is room, one for
    each state.
    """
    v0 = wide(t.first_v[length])
    if v0 > t.nv:
        return
    n_state = join.shape[0]
    widths = t.strip_step.shape[0]
    done[v0 : t.nv + 1] = NONE
    done[v0 : t.nv + 1, 0] = 0
    leaves = slack_worth(t, length) > 0
    if leaves:
        above[v0 : t.nv + 1] = NOTHING
    keep[:] = NOTHING
    for v in range(v0, t.nv + 1):
        if v > v0:
            for s in range(n_state):
                done[v, s] = max(done[v, s], done[v - 1, s])
            if leaves:
                for w in range(widths):
                    for s in range(n_state):
                        best = max(above[v, w, s], above[v - 1, w, s] + slope[0, w])
                        above[v, w, s] = best
                        done[v, s] = max(done[v, s], best)
        if t.credit > 0 and length >= t.off_u:
            for s in range(n_state):
                if v - t.off_v >= v0 and done[v - t.off_v, s] >= 0:
                    keep[s] = max(keep[s], done[v - t.off_v, s] - gains[0, v - t.off_v])
                if keep[s] > NOTHING:
                    done[v, s] = max(done[v, s], keep[s] + gains[1, v])
        for w in range(widths):
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
            if not leaves or end > t.nv:
                continue
            for i in range(some[1, k]):
                worth = some_value[1, k, i]
                for s in range(n_state):
                    both = join[s, some_state[1, k, i]]
                    if both >= 0 and done[v, s] >= 0 and done[v, s] + worth > above[end, w, both]:
                        above[end, w, both] = done[v, s] + worth

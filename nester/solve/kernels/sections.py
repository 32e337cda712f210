"""The most valuable three-stage layout of a flawed stock item, copies unlimited.

A dynamic programme on three levels: sections follow each other along u, strips lie across v in a
section, segments follow each other along u in a strip. Positions may be coarse: a piece then takes
its size rounded down and a place counts as free where any fine position in it is, so the value is
never too small and serves as a bound; at step 1 it is exact but for the rules on short rips.

After Gilmore and Gomory (1965), "Multistage cutting stock problems of two and more dimensions",
with places instead of sizes for the flaws.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel, leaf, wide
from nester.solve.kernels.section_tables import Bytes, Ints, SectionTables

Longs: TypeAlias = NDArray[np.int64]
Longs2: TypeAlias = NDArray[np.int64]
"""Shape (from, to), both in steps along u, or (2, step) for gains, or (kind, step)."""

NOTHING = -(2**62)
"""Less than any value."""


@leaf
def slack_worth(t: SectionTables, length: int) -> int:
    """Return what a spare row may be worth in a strip with a leftover beside a blank."""
    over = length - t.least_u
    if t.credit == 0 or over < t.off_u:
        return 0
    return t.credit * t.fine_v * ((over + 1) * t.fine_u - 1 - t.kerf_u)


@kernel
def best_sections(
    t: SectionTables,
    value: Longs,
    least: int,
    worth_before: Longs,
    worth_after: Longs,
    worth_long: Longs,
    ratio: int,
    worth_of: Longs2,
    most_work: int,
) -> tuple[Longs, Ints, Longs2, int]:
    """Return the best value up to each u, the section start chosen there, sections, and work.

    ``value`` is what each option is worth. A start of -1 stands for none, -2 - u for an offcut of
    the whole width from u on.

    Layouts worth no more than ``least`` are of no interest. What is known says where to look: at
    most ``worth_before[u]`` up to u, ``worth_after[u]`` from u on, ``worth_long[n]`` in a section
    of n steps, and ``worth_of[us, ue]`` in one by steps ``ratio`` times as coarse (0: that is not
    known). The sections' own values are returned in that form, ``NOTHING`` where they were not
    looked at. Work beyond ``most_work`` is given up: what is returned tells nothing then.
    """
    n_kind = t.kind_first.shape[0] - 1
    reached = np.zeros(t.nu + 1, np.int64)
    came = np.full(t.nu + 1, -1, np.int32)
    plain = np.zeros((n_kind, t.nu + 1), np.int64)
    kept = np.zeros((n_kind, t.nu + 1), np.int64)
    broad = np.zeros((n_kind, t.nu + 1), np.int64)
    now = np.zeros(n_kind, np.int64)
    now_kept = np.zeros(n_kind, np.int64)
    changed = np.zeros(t.nu + 1, np.uint8)
    asked = np.ones(t.nu + 1, np.uint8)
    sections = np.full((t.nu + 1, t.nu + 1), NOTHING, np.int64)
    gains = np.zeros((2, t.nv + 1), np.int64)
    # What wood below each step across earns: up to us, and up to each ue once it is asked for.
    below = np.zeros((2, t.nv + 1), np.int64)
    upto = np.empty((t.nu + 1, 2, t.nv + 1), np.int64)
    told = np.zeros(t.nu + 1, np.uint8)
    widths, members = t.strip_step.shape[0], t.member.shape[0]
    done = np.zeros(t.nv + 1, np.int64)
    above = np.zeros((t.nv + 1, widths), np.int64)
    slope = np.zeros(widths, np.int64)
    since = np.zeros(widths, np.int64)
    leaves = False
    work = 0
    for us in range(t.nu):
        if work > most_work:
            break
        if us > 0 and reached[us - 1] > reached[us]:
            reached[us], came[us] = reached[us - 1], -1
        base = reached[us]
        if t.keeps_whole:
            for ue in range(us + t.off_u, t.nu + 1):
                worth = base + t.credit * wide(t.whole[1, ue] - t.whole[0, us])
                if worth > reached[ue]:
                    reached[ue], came[ue] = worth, -2 - us
        over = least - min(base, worth_before[us])
        last = look(us, over, worth_after, worth_long, ratio, worth_of, asked)
        if last == us:
            continue
        changed[:] = 0
        earned_below(t, t.low_u[us], below)
        first_change = fill_strips(t, us, last, plain, kept, broad, value, changed)
        work += 2 * (last - us) * members
        fresh, most = False, wide(NOTHING)
        for ue in range(first_change, last + 1):
            length = ue - us
            leaves = False
            sections[us, ue] = min(most, worth_long[length])
            fresh = fresh or changed[ue] == 1
            # With an offcut in it a section may be worth more for being longer.
            if asked[ue] == 0 or not (fresh or (t.credit > 0 and length >= t.off_u)):
                continue
            fresh = False
            for k in range(n_kind):
                now[k], now_kept[k] = plain[k, ue], kept[k, ue]
            if t.credit > 0 and length >= t.off_u:
                if told[ue] == 0:
                    told[ue] = 1
                    earned_below(t, t.high_u[ue], upto[ue])
                gains[:] = upto[ue] - below
                leaves = slopes(t, length, now, now_kept, broad[:, ue], slope)
            inside = fill_section(
                t, length, now, now_kept, slope, leaves, gains, done, above, since
            )
            work += 2 * t.nv * widths
            most = max(most, inside)
            sections[us, ue] = min(most, worth_long[length])
            if base + inside > reached[ue]:
                reached[ue], came[ue] = base + inside, us
    if reached[t.nu - 1] > reached[t.nu]:
        reached[t.nu], came[t.nu] = reached[t.nu - 1], -1
    return reached, came, sections, work


@leaf
def look(
    us: int,
    over: int,
    after: Longs,
    long: Longs,
    ratio: int,
    of: Longs2,
    asked: Bytes,
) -> int:
    """Mark the ends of sections from ``us`` that may matter; return the last, ``us`` for none.

    With what comes after them they must be worth more than ``over``.
    """
    last = us
    for ue in range(us + 1, after.shape[0]):
        worth = long[ue - us]
        if ratio > 0:
            worth = min(worth, of[us // ratio, ue // ratio])
        asked[ue] = worth + after[ue] > over
        if asked[ue] == 1:
            last = ue
    return last


@leaf
def gains_across(t: SectionTables, us: int, ue: int, gains: Longs2) -> None:
    """Fill in what the cells between two steps along u earn, up to each step across.

    ``gains[0]`` is for leftovers that begin at a step, ``gains[1]`` for those that end there.
    """
    begin, end = t.low_u[us], t.high_u[ue]
    for v in range(t.low_v.shape[0]):
        low, high = t.low_v[v], t.high_v[v]
        gains[0, v] = t.credit * wide(t.sums[end, low] - t.sums[begin, low])
        gains[1, v] = t.credit * wide(t.sums[end, high] - t.sums[begin, high])


@leaf
def earned_below(t: SectionTables, u: int, found: Longs2) -> None:
    """Fill in what the cells below cell ``u`` earn, up to each step across, as ``gains_across``."""
    for v in range(t.low_v.shape[0]):
        found[0, v] = t.credit * wide(t.sums[u, t.low_v[v]])
        found[1, v] = t.credit * wide(t.sums[u, t.high_v[v]])


@kernel
def worth_from(t: SectionTables, sections: Longs2) -> Longs:
    """Return the best value from each u to the end, given what each section is worth."""
    after = np.zeros(t.nu + 1, np.int64)
    for us in range(t.nu - 1, -1, -1):
        best = after[us + 1]
        for ue in range(us + 1, t.nu + 1):
            if sections[us, ue] > 0:
                best = max(best, sections[us, ue] + after[ue])
            if t.keeps_whole and ue >= us + t.off_u:
                best = max(best, t.credit * wide(t.whole[1, ue] - t.whole[0, us]) + after[ue])
        after[us] = best
    return after


@leaf
def fill_strips(
    t: SectionTables,
    us: int,
    ue: int,
    plain: Longs2,
    kept: Longs2,
    broad: Longs2,
    value: Longs,
    changed: Bytes,
) -> int:
    """Fill a strip of each kind from ``us``: the best value up to each u; return where one begins.

    ``plain`` counts blanks alone, ``kept`` blanks and at least one leftover long enough to keep,
    ``broad`` the same in a strip with all its spare rows. ``changed`` marks where a strip is worth
    more than a step before.
    """
    first = ue + 1
    for k in range(plain.shape[0]):
        own = _fill_strip(t, k, us, ue, plain[k], value, changed)
        first = min(first, own)
        kept[k, us : ue + 1] = 0
        broad[k, us : ue + 1] = 0
        rows = t.spare[t.kind_class[k]]
        if t.credit == 0 or rows < 0 or own > ue:
            continue
        _fill_beside(t, k, us, ue, t.earned[0, k], t.earned[1, k], plain[k], kept[k], value)
        if rows > 0:
            _fill_beside(t, k, us, ue, t.broad[0, k], t.broad[1, k], plain[k], broad[k], value)
    return first


@leaf
def _fill_strip(
    t: SectionTables, k: int, us: int, ue: int, plain: Longs, value: Longs, changed: Bytes
) -> int:
    """Fill a strip with blanks alone; return where it begins."""
    starts, member, step_u = t.starts, t.member, t.step_u
    first = ue + 1
    for u in range(us, ue + 1):
        plain[u] = 0
    for u in range(us, ue + 1):
        if u > us and plain[u - 1] > plain[u]:
            plain[u] = plain[u - 1]
        if u == ue:
            break
        # Where nothing has ended, only what could not start a step before need start here.
        event = u == us or plain[u] > plain[u - 1]
        if not event and t.news[u, k] == 0:
            continue
        for m in range(t.kind_first[k], t.kind_first[k + 1]):
            free = starts[u, m]
            if free == 0 or (free == 1 and not event):
                continue
            o = member[m]
            end = u + step_u[o]
            if value[o] <= 0 or end > ue:
                continue
            if plain[u] + value[o] > plain[end]:
                plain[end] = plain[u] + value[o]
                changed[end] = 1
                first = min(first, end)
    return first


@leaf
def _fill_beside(
    t: SectionTables,
    k: int,
    us: int,
    ue: int,
    low: Ints,
    high: Ints,
    plain: Longs,
    line: Longs,
    value: Longs,
) -> None:
    """Fill a strip with blanks and leftovers, at least one of each.

    ``low`` and ``high`` are the creditable cells up to where a leftover begins and where it ends,
    ``plain`` what blanks alone are worth.
    """
    credit, off_u = t.credit, t.off_u
    starts, member, step_u = t.starts, t.member, t.step_u
    keep = np.int64(NOTHING)
    for u in range(us + off_u, ue + 1):
        p = u - off_u
        if line[u - 1] > line[u]:
            line[u] = line[u - 1]
        back = max(plain[p], line[p])
        if back > 0:
            keep = max(keep, back - credit * wide(low[p]))
        if keep > NOTHING:
            line[u] = max(line[u], keep + credit * wide(high[u]))
        if u == ue:
            break
        worth = max(line[u], credit * wide(high[u] - low[us]))
        for m in range(t.kind_first[k], t.kind_first[k + 1]):
            o = member[m]
            end = u + step_u[o]
            if starts[u, m] > 0 and value[o] > 0 and end <= ue:
                line[end] = max(line[end], worth + value[o])


@leaf
def most_rows(t: SectionTables, w: int) -> int:
    """Return how many steps across spare rows of a width class may take."""
    return wide(t.spare[w]) + (1 if t.fine_v > 1 else 0)


@leaf
def slopes(
    t: SectionTables, length: int, plain: Longs, kept: Longs, broad: Longs, found: Longs
) -> bool:
    """Fill in what a spare row is worth at the most, for each width class; return if any may be.

    What a strip with a leftover is worth is convex in its width, being the most of what its ways
    to be filled are worth, so it lies below the chord from no spare row to all. Where it is never
    worth more than blanks alone it is left out: ``kept`` becomes 0, and ``found`` is -1 where that
    goes for a whole class.
    """
    slack = slack_worth(t, length)
    found[:] = -1
    leaves = False
    for k in range(kept.shape[0] if slack > 0 else 0):
        if kept[k] > 0:
            w = t.kind_class[k]
            rows = wide(t.spare[w])
            each = 0
            if rows > 0:
                each = max(0, min(slack, -((kept[k] - broad[k]) // rows)))
            if kept[k] + most_rows(t, w) * each <= plain[k]:
                kept[k] = 0
            else:
                found[w] = max(found[w], each)
                leaves = True
    return leaves


@leaf
def fill_section(
    t: SectionTables,
    length: int,
    plain: Longs,
    kept: Longs,
    slope: Longs,
    leaves: bool,
    gains: Longs2,
    done: Longs,
    above: Longs2,
    since: Longs,
) -> int:
    """Return the best value of strips across a section, given what one of each kind is worth.

    ``leaves``: whether a strip may hold a leftover; then a spare row is worth ``slope`` by its
    width class (-1: none of it does). ``gains`` is what offcuts across earn, as ``gains_across``
    tells. ``done`` is filled for whole strips so far; ``above`` for each width class just after
    such a strip with a leftover, which a few spare rows widen. ``since``: from where that is worth
    most (-1: nowhere).
    """
    v0 = wide(t.first_v[length])
    if v0 > t.nv:
        return 0
    row_kind, strip_step, nv, off_v = t.row_kind, t.strip_step, t.nv, t.off_v
    widths = strip_step.shape[0]
    keeps = t.credit > 0 and length >= t.off_u
    done[v0 : nv + 1] = 0
    if leaves:
        above[: nv + 1] = NOTHING
        since[:] = -1
    keep = np.int64(NOTHING)
    for v in range(v0, nv + 1):
        here = done[v]
        if v > v0:
            here = max(here, done[v - 1])
            if leaves:
                for w in range(widths):
                    if slope[w] >= 0:
                        at = widest_from(t, v, w, since[w], slope[w], above)
                        since[w] = at
                        if at >= 0:
                            here = max(here, above[at, w] + (v - at) * slope[w])
        if keeps:
            if v - off_v >= v0:
                keep = max(keep, done[v - off_v] - gains[0, v - off_v])
            if keep > NOTHING:
                here = max(here, keep + gains[1, v])
        done[v] = here
        # Where nothing has ended, only what could not start a row before need start here.
        event = v == v0 or here > done[v - 1]
        if not event and t.row_news[v] == 0:
            continue
        for w in range(widths):
            k = row_kind[v, w]
            if k < 0 or not (event or row_kind[v - 1, w] != k):
                continue
            end = v + strip_step[w]
            if here + plain[k] > done[end]:
                done[end] = here + plain[k]
            if leaves and kept[k] > 0:
                end = max(end, v + off_v)
                if end <= nv and here + kept[k] > above[end, w]:
                    above[end, w] = here + kept[k]
    return done[nv]


@leaf
def widest_from(t: SectionTables, v: int, w: int, at: int, slope: int, above: Longs2) -> int:
    """Return where a strip ends that is worth most once spare rows fill it up to ``v``, -1: none.

    ``at`` is where it was for the row before.
    """
    if above[v, w] > NOTHING and (at < 0 or above[v, w] >= above[at, w] + (v - at) * slope):
        return v
    first = v - most_rows(t, w)
    if at < 0 or at >= first:
        return at
    at = -1
    for end in range(max(0, first), v + 1):
        known = above[end, w] > NOTHING
        if known and (at < 0 or above[end, w] >= above[at, w] + (end - at) * slope):
            at = end
    return at

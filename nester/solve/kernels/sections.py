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

Ints: TypeAlias = NDArray[np.int32]
Ints2: TypeAlias = NDArray[np.int32]
"""A row for each blank."""
Bytes: TypeAlias = NDArray[np.uint8]
Longs: TypeAlias = NDArray[np.int64]
Longs2: TypeAlias = NDArray[np.int64]
"""Shape (from, to), both in steps along u."""

NOTHING = -(2**62)
"""Less than any value."""


@leaf
def slack_worth(
    length: int, least_u: int, credit: int, off_u: int, fine_u: int, fine_v: int, kerf_u: int
) -> int:
    """Return what a spare row may be worth in a strip with a leftover beside a blank."""
    over = length - least_u
    if credit == 0 or over < off_u:
        return 0
    return credit * fine_v * ((over + 1) * fine_u - 1 - kerf_u)


@kernel
def best_sections(
    nu: int,
    nv: int,
    row_kind: Ints,
    strip_step: Ints,
    kind_first: Ints,
    member: Ints,
    starts: Bytes,
    news: Bytes,
    step_u: Ints,
    value: Longs,
    first_v: Ints,
    credit: int,
    off_u: int,
    off_v: int,
    least_u: int,
    fine_u: int,
    fine_v: int,
    kerf_u: int,
    sums: Ints,
    low_u: Ints,
    high_u: Ints,
    low_v: Ints,
    high_v: Ints,
    earned: Ints,
    keeps_whole: bool,
    whole: Ints,
    least: int,
    ratio: int,
    worth_before: Longs,
    worth_of: Longs2,
    worth_after: Longs,
) -> tuple[Longs, Ints, Longs2, int]:
    """Return the best value up to each u, the section start chosen there, sections, and work.

    ``row_kind[v, w]`` is the kind of strip that one of width class ``w`` starting at ``v`` is (-1:
    it does not fit); ``strip_step`` is what a class takes of v, kerf in it. Members of kind ``k``
    are ``member[kind_first[k]:kind_first[k + 1]]``, and ``starts[u, m]`` says whether one may start
    at u: 0 no, 1 yes, 2 yes but not a step before; ``news[u, k]`` whether there is a 2 in the kind.
    ``step_u`` and ``value`` per option; ``first_v[l]``: where strips of a section ``l`` steps long
    begin. ``credit`` a cell; ``off_u``, ``off_v``: least steps of an offcut; ``least_u``: steps of
    the shortest blank; ``fine_u``, ``fine_v``: cells a step. ``sums`` to ``high_v``, ``earned`` and
    ``whole`` are the tables of ``bound.earned``: creditable cells.

    ``keeps_whole``: whether an offcut of the whole width is wide enough to be kept. A start of -1
    stands for none, -2 - u for an offcut of the whole width from u on.

    Layouts worth no more than ``least`` are of no interest. What is known from steps ``ratio``
    times as coarse (0: nothing) says where to look: at most ``worth_before[u]`` up to u,
    ``worth_of[us, ue]`` in a section, ``worth_after[u]`` from u on. The sections' own values are
    returned in that form, ``NOTHING`` where they were not looked at.
    """
    n_kind = kind_first.shape[0] - 1
    reached = np.zeros(nu + 1, np.int64)
    came = np.full(nu + 1, -1, np.int32)
    plain = np.zeros((n_kind, nu + 1), np.int64)
    kept = np.zeros((n_kind, nu + 1), np.int64)
    now = np.zeros(n_kind, np.int64)
    now_kept = np.zeros(n_kind, np.int64)
    across = np.zeros((3, nv + 1), np.int64)
    changed = np.zeros(nu + 1, np.uint8)
    asked = np.ones(nu + 1, np.uint8)
    sections = np.full((nu + 1, nu + 1), NOTHING, np.int64)
    gains = np.zeros((2, nv + 1), np.int64)
    widths = strip_step.shape[0]
    work = 0
    for us in range(nu):
        if us > 0 and reached[us - 1] > reached[us]:
            reached[us], came[us] = reached[us - 1], -1
        base = reached[us]
        if keeps_whole:
            for ue in range(us + off_u, nu + 1):
                worth = base + credit * wide(whole[1, ue] - whole[0, us])
                if worth > reached[ue]:
                    reached[ue], came[ue] = worth, -2 - us
        last = nu
        if ratio > 0:
            last = us
            before = worth_before[us // ratio]
            for ue in range(us + 1, nu + 1):
                rough = worth_of[us // ratio, ue // ratio]
                asked[ue] = before + rough + worth_after[ue // ratio] > least
                if asked[ue] == 1:
                    last = ue
            if last == us:
                continue
        changed[:] = 0
        first_change = nu + 1
        for k in range(n_kind):
            first = fill_strip(
                k,
                us,
                last,
                plain[k],
                kept[k],
                kind_first,
                member,
                starts,
                news,
                step_u,
                value,
                credit,
                earned[0, k],
                earned[1, k],
                off_u,
                changed,
            )
            first_change = min(first_change, first)
            work += 2 * (last - us) * (kind_first[k + 1] - kind_first[k])
        for ue in range(first_change, last + 1):
            length = ue - us
            sections[us, ue] = sections[us, ue - 1]
            # With an offcut in it a section may be worth more for being longer.
            if asked[ue] == 0 or (changed[ue] == 0 and (credit == 0 or length < off_u)):
                continue
            for k in range(n_kind):
                now[k], now_kept[k] = plain[k, ue], kept[k, ue]
            if credit > 0 and length >= off_u:
                gains_across(sums, wide(low_u[us]), wide(high_u[ue]), low_v, high_v, credit, gains)
            inside = fill_section(
                length,
                nv,
                row_kind,
                strip_step,
                off_v,
                now,
                now_kept,
                first_v[length],
                credit,
                off_u,
                off_v,
                least_u,
                fine_u,
                fine_v,
                kerf_u,
                gains,
                across,
            )
            work += 2 * nv * widths
            if inside > sections[us, ue]:
                sections[us, ue] = inside
            if base + inside > reached[ue]:
                reached[ue], came[ue] = base + inside, us
    if reached[nu - 1] > reached[nu]:
        reached[nu], came[nu] = reached[nu - 1], -1
    return reached, came, sections, work


@leaf
def gains_across(
    sums: Ints, begin: int, end: int, low_v: Ints, high_v: Ints, credit: int, gains: Longs2
) -> None:
    """Fill in what cells between two cells along u earn, up to each step across.

    ``gains[0]`` is for leftovers that begin at a step, ``gains[1]`` for those that end there.
    """
    for v in range(low_v.shape[0]):
        low, high = low_v[v], high_v[v]
        gains[0, v] = credit * wide(sums[end, low] - sums[begin, low])
        gains[1, v] = credit * wide(sums[end, high] - sums[begin, high])


@kernel
def worth_from(
    nu: int, sections: Longs2, credit: int, off_u: int, keeps_whole: bool, whole: Ints
) -> Longs:
    """Return the best value from each u to the end, given what each section is worth."""
    after = np.zeros(nu + 1, np.int64)
    for us in range(nu - 1, -1, -1):
        best = after[us + 1]
        for ue in range(us + 1, nu + 1):
            if sections[us, ue] > 0:
                best = max(best, sections[us, ue] + after[ue])
            if keeps_whole and ue >= us + off_u:
                best = max(best, credit * wide(whole[1, ue] - whole[0, us]) + after[ue])
        after[us] = best
    return after


@leaf
def fill_strip(
    k: int,
    us: int,
    ue: int,
    plain: Longs,
    kept: Longs,
    kind_first: Ints,
    member: Ints,
    starts: Bytes,
    news: Bytes,
    step_u: Ints,
    value: Longs,
    credit: int,
    low: Ints,
    high: Ints,
    off_u: int,
    changed: NDArray[np.uint8],
) -> int:
    """Fill a strip of kind ``k`` from ``us``: the best value up to each u; return where it begins.

    ``plain`` counts blanks alone, ``kept`` blanks and at least one leftover long enough to keep:
    ``low`` and ``high`` are the creditable cells up to where it begins and ends. ``changed`` marks
    where a strip is worth more than a step before.
    """
    first = ue + 1
    for u in range(us, ue + 1):
        plain[u] = 0
        kept[u] = 0
    keep = np.int64(NOTHING)
    for u in range(us, ue + 1):
        if u > us:
            if plain[u - 1] > plain[u]:
                plain[u] = plain[u - 1]
            if kept[u - 1] > kept[u]:
                kept[u] = kept[u - 1]
        if credit > 0 and u - off_u >= us:
            back = max(plain[u - off_u], kept[u - off_u]) - credit * wide(low[u - off_u])
            if back > keep:
                keep = back
            # One tick more, so that a leftover that earns nothing is known to be there.
            worth = keep + credit * wide(high[u]) + 1
            if worth > kept[u]:
                kept[u] = worth
        if u == ue:
            break
        # Where nothing has ended, only what could not start a step before need start here.
        event = u == us or plain[u] > plain[u - 1]
        keeps = credit > 0 and kept[u] > 0
        if not event and not keeps and news[u, k] == 0:
            continue
        for m in range(kind_first[k], kind_first[k + 1]):
            free = starts[u, m]
            if free == 0 or (free == 1 and not event and not keeps):
                continue
            o = member[m]
            end = u + step_u[o]
            if value[o] <= 0 or end > ue:
                continue
            if plain[u] + value[o] > plain[end] and (event or free == 2):
                plain[end] = plain[u] + value[o]
                changed[end] = 1
                first = min(first, end)
            if keeps and kept[u] + value[o] > kept[end]:
                kept[end] = kept[u] + value[o]
                changed[end] = 1
    return first


@leaf
def fill_section(
    length: int,
    nv: int,
    row_kind: Ints,
    strip_step: Ints,
    off_steps: int,
    plain: Longs,
    kept: Longs,
    v0: int,
    credit: int,
    off_u: int,
    off_v: int,
    least_u: int,
    fine_u: int,
    fine_v: int,
    kerf_u: int,
    gains: Longs2,
    across: Longs,
) -> int:
    """Return the best value of strips across a section, given what one of each kind is worth.

    ``gains`` is what offcuts across earn, as ``gains_across`` tells. ``across`` is filled: row 0
    whole strips so far; row 1 the same with spare rows below that will widen a strip with a
    leftover; row 2 just after such a strip, which spare rows above widen.
    """
    if v0 > nv:
        return 0
    done, below, above = across[0], across[1], across[2]
    for v in range(v0, nv + 1):
        done[v] = 0
        below[v] = 0
        above[v] = NOTHING
    slack = slack_worth(length, least_u, credit, off_u, fine_u, fine_v, kerf_u)
    keep = np.int64(NOTHING)
    for v in range(v0, nv + 1):
        if v > v0:
            above[v] = max(above[v], above[v - 1] + slack)
            done[v] = max(done[v], done[v - 1])
        done[v] = max(done[v], above[v])
        if credit > 0 and length >= off_u:
            if v - off_v >= v0:
                keep = max(keep, done[v - off_v] - gains[0, v - off_v])
            if keep > NOTHING:
                done[v] = max(done[v], keep + gains[1, v])
        below[v] = done[v]
        if v > v0:
            below[v] = max(below[v], below[v - 1] + slack)
        here, low = done[v], below[v]
        for w in range(strip_step.shape[0]):
            k = row_kind[v, w]
            if k < 0:
                continue
            end = v + strip_step[w]
            if here + plain[k] > done[end]:
                done[end] = here + plain[k]
            if kept[k] > 0 and slack > 0:
                end = v + max(strip_step[w], off_steps)
                if end <= nv and low + kept[k] > above[end]:
                    above[end] = low + kept[k]
    return done[nv]

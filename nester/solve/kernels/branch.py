"""Where the next blank may go: beside the last, on top of it, in a new strip or a new section."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.columns import (
    BESIDE,
    C_BLOCKS,
    C_FAR,
    C_KU,
    C_KV,
    C_NEAR,
    C_RIP_FIRST,
    C_RIP_SECTION,
    C_RIP_SEGMENT,
    C_RIP_WIDTH,
    C_STAGES,
    C_U2,
    C_V2,
    N_NEAR,
    N_SE,
    N_SU,
    N_SV,
    N_UC,
    N_UE,
    N_US,
    N_V1,
    N_V2,
    SECTION,
    STACKED,
    STRIP,
)
from nester.solve.kernels.fit import first_u, first_v, is_clear, past_saw
from nester.solve.kernels.jit import inlined, leaf, wide

Ints: TypeAlias = NDArray[np.int32]


@inlined
def seek_u(
    classes: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    options: Ints,
    cls: int,
    o: int,
    u: int,
    v1: int,
    v2: int,
    limit: int,
) -> int:
    """Least start along u for option ``o`` in rows ``v1`` to ``v2``, either face showing."""
    a = wide(options[o, 1])
    ku = wide(classes[cls, C_KU])
    best = -1
    for side in (3, 4):
        if options[o, side] < 0 or best == u:
            continue
        row = options[o, side] + classes[cls, C_BLOCKS]
        lo, hi = wide(lists[row, 0]), wide(lists[row, 1])
        start, past, least = -1, u, ku
        while start != past:
            start = first_u(blocks, lo, hi, past, v1, v2, a, limit, least)
            if start < 0:
                break
            past = past_saw(
                blocks, metal[cls, 0], metal[cls, 1], 0, start, a, v1, v2, start > u, limit, ku
            )
            least = 1  # a kerf lies before it already
        if start >= 0 and (best < 0 or start < best):
            best = start
    return best


@leaf
def seek_u_apart(
    classes: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    options: Ints,
    cls: int,
    o: int,
    u: int,
    v1: int,
    v2: int,
    limit: int,
) -> int:
    """The same as ``seek_u``, called where it is seldom needed."""
    return seek_u(classes, lists, blocks, metal, options, cls, o, u, v1, v2, limit)


@inlined
def seek_v(
    classes: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    options: Ints,
    cls: int,
    o: int,
    u: int,
    v: int,
    limit: int,
) -> int:
    """Least start along v for option ``o`` at ``u``, either face showing."""
    a, b = wide(options[o, 1]), wide(options[o, 2])
    kv = wide(classes[cls, C_KV])
    best = -1
    for side in (3, 4):
        if options[o, side] < 0 or best == v:
            continue
        row = options[o, side] + classes[cls, C_BLOCKS]
        lo, hi = wide(lists[row, 0]), wide(lists[row, 1])
        start, past, least = -1, v, kv
        while start != past:
            start = first_v(blocks, lo, hi, u, u + a, past, b, limit, least)
            if start < 0:
                break
            past = past_saw(
                blocks, metal[cls, 0], metal[cls, 1], 1, start, b, u, u + a, start > v, limit, kv
            )
            least = 1
        if start >= 0 and (best < 0 or start < best):
            best = start
    return best


@leaf
def seek_both(
    classes: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    options: Ints,
    cls: int,
    o: int,
    u: int,
    v: int,
    limit: int,
    top: int,
) -> tuple[int, int]:
    """Return the place least far along u for option ``o``, moved past blocks both ways; or -1."""
    b = wide(options[o, 2])
    kv = wide(classes[cls, C_KV])
    best_u, best_v = -1, -1
    for side in (3, 4):
        if options[o, side] < 0:
            continue
        row = options[o, side] + classes[cls, C_BLOCKS]
        hi, saws = wide(lists[row, 1]), metal[cls, 1] - metal[cls, 0]
        for i in range(lists[row, 0], hi + saws):
            # Over a block, or past metal with the saw.
            past = wide(blocks[i, 3]) if i < hi else blocks[metal[cls, 0] + i - hi, 3] + kv
            w = max(past, v + kv)
            if past <= v or w + b > top:
                continue
            found = seek_u_apart(classes, lists, blocks, metal, options, cls, o, u, w, w + b, limit)
            if found >= 0 and (best_u < 0 or found < best_u):
                best_u, best_v = found, w
        for i in range(lists[row, 0], lists[row, 1]):
            # Or with a cutaway right over what is in the way.
            places = blocks[i, 4]
            if places < 0 or blocks[places, 3] % 4 > 1:
                continue
            low = wide(blocks[places, 0]) - (b if blocks[places, 3] % 4 == 1 else 0)
            for w in range(max(low, v + kv), min(low + blocks[places, 1], top - b + 1)):
                found = seek_u_apart(
                    classes, lists, blocks, metal, options, cls, o, u, w, w + b, limit
                )
                if found >= 0 and (best_u < 0 or found < best_u):
                    best_u, best_v = found, w
    return best_u, best_v


@inlined
def grows(
    classes: Ints,
    near: Ints,
    blocks: Ints,
    metal: Ints,
    cls: int,
    us: int,
    ue: int,
    new_end: int,
    near_used: int,
    v1: int,
    v2: int,
) -> bool:
    """Whether the section may grow to ``new_end`` for a strip, losing no more at its near edge."""
    if new_end > classes[cls, C_U2]:
        return False
    if new_end > ue and near[classes[cls, C_NEAR] + new_end - us] > near_used:
        return False
    return rippable(classes, near, blocks, metal, cls, us, max(ue, new_end), v1, v2)


@inlined
def rippable(
    classes: Ints,
    near: Ints,
    blocks: Ints,
    metal: Ints,
    cls: int,
    us: int,
    ue: int,
    v1: int,
    v2: int,
) -> bool:
    """Whether no metal is near the cuts along a section: at its near edge and beside a strip."""
    none = metal[cls, 0] == metal[cls, 1]
    return none or rippable_beside_metal(classes, near, blocks, metal, cls, us, ue, v1, v2)


@leaf
def rippable_beside_metal(
    classes: Ints,
    near: Ints,
    blocks: Ints,
    metal: Ints,
    cls: int,
    us: int,
    ue: int,
    v1: int,
    v2: int,
) -> bool:
    """The same where there is some."""
    lo, hi = metal[cls, 0], metal[cls, 1]
    lost = wide(near[classes[cls, C_NEAR] + ue - us])
    kv = wide(classes[cls, C_KV])
    saws = 0
    for edge in (lost, v1 if v1 > lost else 0, v2 + kv if v2 < classes[cls, C_V2] else 0):
        if edge > 0 and not is_clear(blocks, lo, hi, us, edge - kv, ue, edge):
            saws += 1
    return saws == 0


@inlined
def inside(
    classes: Ints,
    near: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    options: Ints,
    node: Ints,
    cls: int,
    o: int,
    near_slack: int,
    modes: int,
    found: Ints,
) -> int:
    """Find where option ``o`` goes in the node's stock item; return how many places.

    ``modes`` says where it is looked: 1 beside the last blank, 2 in a new strip, 4 in a new
    section, added together.
    """
    a, b = wide(options[o, 1]), wide(options[o, 2])
    ku, kv = wide(classes[cls, C_KU]), wide(classes[cls, C_KV])
    v1, v2 = wide(node[N_V1]), wide(node[N_V2])
    us, ue = wide(node[N_US]), wide(node[N_UE])
    end = wide(classes[cls, C_U2])
    n = 0
    stages = wide(classes[cls, C_STAGES])
    rip = wide(classes[cls, C_RIP_SEGMENT])
    if stages >= 4 and a <= node[N_SE] - node[N_SU]:
        v = wide(node[N_SV]) + kv
        su, se = wide(node[N_SU]), wide(node[N_SE])
        length = se - su
        sawable = rip < 0 or classes[cls, C_RIP_FIRST] == 1 or length >= max(rip, v2 - v1)
        if (
            sawable
            and v + b <= v2
            and is_clear(blocks, metal[cls, 0], metal[cls, 1], su, v - kv, se, v)
            and clear_either(classes, lists, blocks, options, cls, o, su, se, v, v + b)
        ):
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = STACKED, su, v, v + b
            found[n, 4], found[n, 5] = node[N_NEAR], us
            n += 1
            if a == length:
                return n
    beside = modes & 1 != 0 and stages >= 3 and b <= v2 - v1
    if beside and rip >= 0 and classes[cls, C_RIP_FIRST] == 1:
        beside = v2 - v1 >= max(rip, max(ue, node[N_UC] + ku + a) - us)
    if beside:
        uc = wide(node[N_UC])
        u = seek_u(classes, lists, blocks, metal, options, cls, o, uc + ku, v1, v2, end)
        if (
            u >= 0
            and grows(classes, near, blocks, metal, cls, us, ue, u + a, node[N_NEAR], v1, v2)
            and is_clear(blocks, metal[cls, 0], metal[cls, 1], uc, v1, uc + ku, v2)
        ):
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = BESIDE, u, v1, v2
            found[n, 4], found[n, 5] = node[N_NEAR], us
            n += 1
    v = v2 + kv
    top = wide(classes[cls, C_V2])
    if (
        modes & 2 != 0
        and stages >= 2
        and v + b <= top
        and is_clear(blocks, metal[cls, 0], metal[cls, 1], us, v2, ue, v)
    ):
        u = seek_u(classes, lists, blocks, metal, options, cls, o, us, v, v + b, end)
        strip = u >= 0 and grows(
            classes, near, blocks, metal, cls, us, ue, u + a, node[N_NEAR], v, v + b
        )
        if strip:
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = STRIP, u, v, v + b
            found[n, 4], found[n, 5] = node[N_NEAR], us
            n += 1
        if u != us or not strip:
            w = seek_v(classes, lists, blocks, metal, options, cls, o, us, v, top)
            if w >= 0 and grows(
                classes, near, blocks, metal, cls, us, ue, us + a, node[N_NEAR], w, w + b
            ):
                found[n, 0], found[n, 1], found[n, 2], found[n, 3] = STRIP, us, w, w + b
                found[n, 4], found[n, 5] = node[N_NEAR], us
                n += 1
    if modes & 4 == 0:
        return n
    start = past_metal(blocks, metal, cls, ue, ku)
    return section(
        classes, near, lists, blocks, metal, options, cls, o, start + ku, near_slack, found, n
    )


@leaf
def past_metal(blocks: Ints, metal: Ints, cls: int, at: int, ku: int) -> int:
    """Where a cut across u may be made, from ``at`` on: no kerf comes near metal."""
    moved = True
    while moved:
        moved = False
        for i in range(metal[cls, 0], metal[cls, 1]):
            if blocks[i, 0] < at + ku and blocks[i, 2] > at:
                at = wide(blocks[i, 2])
                moved = True
    return at


@leaf
def clear_either(
    classes: Ints,
    lists: Ints,
    blocks: Ints,
    options: Ints,
    cls: int,
    o: int,
    u1: int,
    u2: int,
    v1: int,
    v2: int,
) -> bool:
    """Whether option ``o`` may fill a rectangle, either face showing."""
    first = options[o, 3] + classes[cls, C_BLOCKS]
    if is_clear(blocks, lists[first, 0], lists[first, 1], u1, v1, u2, v2):
        return True
    if options[o, 4] < 0:
        return False
    second = options[o, 4] + classes[cls, C_BLOCKS]
    return is_clear(blocks, lists[second, 0], lists[second, 1], u1, v1, u2, v2)


@leaf
def past_ground(
    classes: Ints,
    near: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    options: Ints,
    cls: int,
    o: int,
    u: int,
    loss: int,
    least: int,
) -> int:
    """Where a section of ``least`` may start from ``u`` on, no cut of it near metal; or -1."""
    b = wide(options[o, 2])
    ku, kv = wide(classes[cls, C_KU]), wide(classes[cls, C_KV])
    end, top = wide(classes[cls, C_U2]), wide(classes[cls, C_V2])
    lost = wide(near[classes[cls, C_NEAR] + least])
    start = u
    if metal[cls, 0] == metal[cls, 1]:
        return start if start + least <= end else -1
    while start + least <= end:
        at = start
        for i in range(metal[cls, 0], metal[cls, 1]):
            if blocks[i, 0] < start + least and blocks[i, 2] > start - ku:
                low, high = wide(blocks[i, 1]), wide(blocks[i, 3])
                near_rip = lost > 0 and low < lost and high > lost - kv
                far_rip = top > loss + b and low < loss + b + kv and high > loss + b
                if blocks[i, 0] < start or near_rip or far_rip:
                    at = max(at, blocks[i, 2] + ku)
        if at == start:
            at = seek_u_apart(
                classes, lists, blocks, metal, options, cls, o, at, loss, loss + b, end
            )
            if at == start or at < 0:
                return at
        start = at
    return -1


@leaf
def section(
    classes: Ints,
    near: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    options: Ints,
    cls: int,
    o: int,
    us: int,
    near_slack: int,
    found: Ints,
    n: int,
) -> int:
    """Find where option ``o`` starts a section at ``us``; return how many places in all."""
    a, b = wide(options[o, 1]), wide(options[o, 2])
    end = wide(classes[cls, C_U2])
    top = wide(classes[cls, C_V2])
    least = a
    if us + least > end:
        return n
    loss = wide(near[classes[cls, C_NEAR] + least])
    far = wide(classes[cls, C_FAR])
    ripped_least = max(wide(classes[cls, C_RIP_SECTION]), wide(classes[cls, C_RIP_WIDTH]))
    may_rip = a >= ripped_least and metal[cls, 0] == metal[cls, 1]
    whole = classes[cls, C_RIP_SECTION] >= 0 and loss + b <= far and not may_rip
    if whole and clear_either(classes, lists, blocks, options, cls, o, us, us + a, loss, far):
        # As wide as the piece, trims apart, a blank is not ripped and may be as short as it is. One
        # long enough to be ripped is, so that no wood is planed off that could be sawn off.
        found[n, 0], found[n, 1], found[n, 2], found[n, 3] = SECTION, us, loss, far
        found[n, 4], found[n, 5] = loss, us
        n += 1
    if classes[cls, C_RIP_SECTION] >= 0:
        least = max(a, ripped_least)
        if us + least > end:
            return n
        loss = wide(near[classes[cls, C_NEAR] + least])
    if near_slack > 0:
        loss = min(loss + near_slack, wide(near[classes[cls, C_NEAR] + end - us]))
    if loss + b > top:
        return n
    before = n
    u = seek_u(classes, lists, blocks, metal, options, cls, o, us, loss, loss + b, end)
    ripped = u >= 0 and rippable(
        classes, near, blocks, metal, cls, us, max(u + a, us + least), loss, loss + b
    )
    if ripped and near[classes[cls, C_NEAR] + u + a - us] <= loss:
        found[n, 0], found[n, 1], found[n, 2], found[n, 3] = SECTION, u, loss, loss + b
        found[n, 4], found[n, 5] = loss, us
        n += 1
    if u != us or not ripped:
        w = seek_v(classes, lists, blocks, metal, options, cls, o, us, loss, top)
        if w >= 0 and rippable(classes, near, blocks, metal, cls, us, us + least, w, w + b):
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = SECTION, us, w, w + b
            found[n, 4], found[n, 5] = loss, us
            n += 1
        # The section itself may start past what is in the way, where it can be sawn off.
        later = -1
        if u >= 0:
            u = max(u, us + classes[cls, C_KU])
            later = past_ground(
                classes, near, lists, blocks, metal, options, cls, o, u, loss, least
            )
        if later >= 0 and near[classes[cls, C_NEAR] + least] <= loss:
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = SECTION, later, loss, loss + b
            found[n, 4], found[n, 5] = loss, later
            n += 1
    if n == before:
        u, w = seek_both(classes, lists, blocks, metal, options, cls, o, us, loss, end, top)
        if (
            u >= 0
            and near[classes[cls, C_NEAR] + u + a - us] <= loss
            and rippable(classes, near, blocks, metal, cls, us, u + a, w, w + b)
        ):
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = SECTION, u, w, w + b
            found[n, 4], found[n, 5] = loss, us
            n += 1
    return n

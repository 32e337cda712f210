"""Beam search over cut trees: blanks are put into sections and strips one by one.

The branching follows Fontan and Libralesso (2020), "An anytime tree search algorithm for
two-dimensional two- and three-staged guillotine packing problems": a blank goes beside the last
one in its strip, into a new strip of the same section, into a new section, or opens a new stock
item. Here stock items differ in size, price, flaws and taper, demand is counted exactly, and nodes
are compared by money laid out per weight of blanks placed.

Directions: u runs across the first stage's cuts (sections follow each other along u), v across the
second's (strips lie along v). Crosscut first: u = x, v = y.
"""

import numba as nb
import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.fit import first_u, first_v, is_clear

# Columns of the table of classes: a class is one kind of stock item in one direction of first cut.
(
    C_U1,  # first usable u
    C_U2,  # end of usable u
    C_V2,  # end of v
    C_KU,  # kerf of cuts across u
    C_KV,  # kerf of cuts across v
    C_RIP_SECTION,  # least section length for strips to be ripped from it; -1 no rule
    C_RIP_SEGMENT,  # least length of a piece ripped inside a strip or segment; -1 no rule
    C_RIP_FIRST,  # 1: u runs across the width, so segments are made by ripping
    C_STAGES,  # changes of direction allowed, the first counted
    C_OFF_U,  # least leftover along u that is an offcut
    C_OFF_FULL,  # 1: a leftover as wide as the stock is wide enough to be an offcut
    C_NEAR,  # where its near losses start
    C_BLOCKS,  # where its block lists start in the table of lists
    C_OPTIONS,  # where its rows start in the option index
    C_STOCK,  # which stock item it is
    C_COLUMNS,
) = range(16)

# Columns of the node table.
(
    N_CLASS,
    N_US,
    N_UE,
    N_V1,
    N_V2,
    N_UC,
    N_NEAR,
    N_SU,
    N_SE,
    N_SV,
    N_COUNT,
    N_COLUMNS,
) = range(12)

# Columns of a placement.
(
    P_PARENT,
    P_OPTION,
    P_MODE,
    P_CLASS,
    P_U1,
    P_V1,
    P_U2,
    P_V2,
    P_US,
    P_NEAR,
    P_COLUMNS,
) = range(11)

STACKED, BESIDE, STRIP, SECTION, OPENED = range(5)


@nb.njit(cache=True, nogil=True)
def beam(
    classes: NDArray[np.int32],
    near: NDArray[np.int32],
    lists: NDArray[np.int32],
    blocks: NDArray[np.int32],
    metal: NDArray[np.int32],
    option_index: NDArray[np.int32],
    options: NDArray[np.int32],
    money: NDArray[np.float64],
    copies: NDArray[np.int16],
    order: NDArray[np.int32],
    demand: NDArray[np.int16],
    weight: NDArray[np.float64],
    width: int,
    bias: float,
    slack: float,
    open_most: int,
    near_slack: int,
    leave: int,
    noise: float,
    seed: int,
    limit: float,
) -> tuple[NDArray[np.int32], NDArray[np.int32], int, float, int, int]:
    """Search and return the best way found to place the whole demand.

    ``classes`` (n, C_COLUMNS); ``lists`` (m, 2) ranges of ``blocks`` (k, 4); ``metal`` (n, 2) ranges
    of ``blocks`` per class; ``option_index`` (n * demands, 2) ranges of ``options`` (o, 5): demand,
    length along u, width along v, first and second block list (-1: none). ``money`` (n, 3): value,
    value per cell, credit per cell. ``copies`` per stock item, ``order``: classes in the order in
    which new stock is tried. ``demand``, ``weight`` per demand. ``width``: nodes kept a level.
    ``leave``: 1 lets a stock item be left while blanks would still fit.

    Returns placements (levels * width, P_COLUMNS), their parents by row, the row of the best node,
    its estimated cost, how many blanks it places, and the work done.
    """
    n_demand = demand.shape[0]
    n_stock = copies.shape[0]
    total = 0
    for d in range(n_demand):
        total += demand[d]
    np.random.seed(seed)
    most_rows = (total + 1) * width + 1
    record = np.empty((most_rows, P_COLUMNS), np.int32)
    rows = 1
    record[0, :] = -1

    nodes = np.zeros((width, N_COLUMNS), np.int32)
    left = np.zeros((width, n_demand), np.int16)
    used = np.zeros((width, n_stock), np.int16)
    spent = np.zeros(width)  # money of closed stock
    placed = np.zeros(width)  # weight placed
    row_of = np.zeros(width, np.int32)
    n_nodes = 1
    nodes[0, N_CLASS] = -1
    left[0] = demand
    next_nodes = np.zeros((width, N_COLUMNS), np.int32)
    next_left = np.zeros((width, n_demand), np.int16)
    next_used = np.zeros((width, n_stock), np.int16)
    next_spent = np.zeros(width)
    next_placed = np.zeros(width)
    next_row = np.zeros(width, np.int32)

    room = 4096
    child = np.zeros((room, N_COLUMNS), np.int32)
    c_place = np.zeros((room, P_COLUMNS), np.int32)
    c_parent = np.zeros(room, np.int32)
    c_demand = np.zeros(room, np.int32)
    c_spent = np.zeros(room)
    c_score = np.zeros(room)
    table = np.zeros(8 * width + 16, np.uint64)
    mask = np.uint64(0)
    size = 16
    while size < 4 * width:
        size *= 2
    table = np.zeros(size, np.uint64)
    mask = np.uint64(size - 1)

    best_row = 0
    best_cost = np.inf
    best_count = 0
    best_weight = 0.0
    work = 0
    level = 0
    found = np.zeros((8, 6), np.int32)  # mode, u, v, v end, near loss, section start
    while n_nodes > 0 and level < total:
        n_child = 0
        for i in range(n_nodes):
            cls = nodes[i, N_CLASS]
            any_fit = False
            if cls >= 0:
                for d in range(n_demand):
                    if left[i, d] == 0:
                        continue
                    lo = option_index[cls * n_demand + d, 0]
                    hi = option_index[cls * n_demand + d, 1]
                    for o in range(lo, hi):
                        work += 1
                        n_found = _inside(
                            classes, near, lists, blocks, metal, options, nodes[i], cls, o,
                            near_slack, found,
                        )
                        for f in range(n_found):
                            any_fit = True
                            if n_child == room:
                                room *= 2
                                child = _grown_int(child)
                                c_place = _grown_int(c_place)
                                c_parent = _grown_one(c_parent)
                                c_demand = _grown_one(c_demand)
                                c_spent = _grown_float(c_spent)
                                c_score = _grown_float(c_score)
                            _place(
                                classes, options, nodes[i], cls, o, found[f], child[n_child],
                                c_place[n_child],
                            )
                            c_place[n_child, P_PARENT] = row_of[i]
                            c_parent[n_child] = i
                            c_demand[n_child] = d
                            c_spent[n_child] = spent[i]
                            c_score[n_child] = _score(
                                classes, money, child[n_child], spent[i],
                                placed[i] + weight[d], bias, slack,
                            )
                            if noise > 0:
                                c_score[n_child] *= 1.0 + noise * np.random.random()
                            n_child += 1
            if any_fit and leave == 0:
                continue
            closed = spent[i]
            if cls >= 0:
                closed += _closed(classes, money, nodes[i])
            opened = 0
            for k in range(order.shape[0]):
                new = order[k]
                stock = classes[new, C_STOCK]
                if used[i, stock] >= copies[stock]:
                    continue
                if opened >= open_most:
                    break
                opened += 1
                for d in range(n_demand):
                    if left[i, d] == 0:
                        continue
                    lo = option_index[new * n_demand + d, 0]
                    hi = option_index[new * n_demand + d, 1]
                    for o in range(lo, hi):
                        work += 1
                        n_found = _section(
                            classes, near, lists, blocks, metal, options, new, o,
                            classes[new, C_U1], near_slack, found, 0,
                        )
                        for f in range(n_found):
                            if n_child == room:
                                room *= 2
                                child = _grown_int(child)
                                c_place = _grown_int(c_place)
                                c_parent = _grown_one(c_parent)
                                c_demand = _grown_one(c_demand)
                                c_spent = _grown_float(c_spent)
                                c_score = _grown_float(c_score)
                            found[f, 0] = OPENED
                            _place(
                                classes, options, nodes[i], new, o, found[f], child[n_child],
                                c_place[n_child],
                            )
                            c_place[n_child, P_PARENT] = row_of[i]
                            c_parent[n_child] = i
                            c_demand[n_child] = d
                            c_spent[n_child] = closed
                            c_score[n_child] = _score(
                                classes, money, child[n_child], closed,
                                placed[i] + weight[d], bias, slack,
                            )
                            if noise > 0:
                                c_score[n_child] *= 1.0 + noise * np.random.random()
                            n_child += 1
        if n_child == 0:
            break
        level += 1
        n_next = 0
        table[:] = 0
        ranking = np.argsort(c_score[:n_child], kind="mergesort")
        for r in range(n_child):
            c = ranking[r]
            p = c_parent[c]
            # The same blanks left, stock used and front reached: the first of them is the cheapest.
            key = _hash(left, p, c_demand[c], used, child[c], c_place[c, P_MODE] == OPENED, classes)
            slot = key & mask
            twin = False
            while table[slot] != 0:
                if table[slot] == key:
                    twin = True
                    break
                slot = (slot + np.uint64(1)) & mask
            if twin:
                continue
            table[slot] = key
            next_nodes[n_next] = child[c]
            next_nodes[n_next, N_COUNT] = level
            next_left[n_next] = left[p]
            next_left[n_next, c_demand[c]] -= 1
            next_used[n_next] = used[p]
            if c_place[c, P_MODE] == OPENED:
                next_used[n_next, classes[child[c, N_CLASS], C_STOCK]] += 1
            next_spent[n_next] = c_spent[c]
            next_placed[n_next] = placed[p] + weight[c_demand[c]]
            record[rows] = c_place[c]
            next_row[n_next] = rows
            rows += 1
            n_next += 1
            if n_next == width:
                break
        nodes, next_nodes = next_nodes, nodes
        left, next_left = next_left, left
        used, next_used = next_used, used
        spent, next_spent = next_spent, spent
        placed, next_placed = next_placed, placed
        row_of, next_row = next_row, row_of
        n_nodes = 0
        kept = n_next
        for i in range(kept):
            cost = spent[i] + _closed(classes, money, nodes[i])
            better = level > best_count or (level == best_count and cost < best_cost)
            if level < total:
                # Where not all can be placed, the most blanks, then their weight, then the cost.
                better = level > best_count or (
                    level == best_count
                    and (placed[i] > best_weight or (placed[i] == best_weight and cost < best_cost))
                )
            if better:
                best_row, best_cost, best_count = row_of[i], cost, level
                best_weight = placed[i]
            if spent[i] >= limit:
                continue
            if n_nodes != i:
                nodes[n_nodes] = nodes[i]
                left[n_nodes] = left[i]
                used[n_nodes] = used[i]
                spent[n_nodes] = spent[i]
                placed[n_nodes] = placed[i]
                row_of[n_nodes] = row_of[i]
            n_nodes += 1
    return record[:rows], row_of[:1], best_row, best_cost, best_count, work


@nb.njit(cache=True, nogil=True)
def _grown_int(a: NDArray[np.int32]) -> NDArray[np.int32]:
    out = np.zeros((a.shape[0] * 2, a.shape[1]), np.int32)
    out[: a.shape[0]] = a
    return out


@nb.njit(cache=True, nogil=True)
def _grown_one(a: NDArray[np.int32]) -> NDArray[np.int32]:
    out = np.zeros(a.shape[0] * 2, np.int32)
    out[: a.shape[0]] = a
    return out


@nb.njit(cache=True, nogil=True)
def _grown_float(a: NDArray[np.float64]) -> NDArray[np.float64]:
    out = np.zeros(a.shape[0] * 2)
    out[: a.shape[0]] = a
    return out


@nb.njit(cache=True, nogil=True)
def _hash(left, parent, demand, used, node, opened, classes):
    key = np.uint64(1469598103934665603)
    prime = np.uint64(1099511628211)
    for d in range(left.shape[1]):
        value = left[parent, d]
        if d == demand:
            value -= 1
        key = (key ^ np.uint64(value + 1)) * prime
    for s in range(used.shape[1]):
        value = used[parent, s]
        if opened and s == classes[node[N_CLASS], C_STOCK]:
            value += 1
        key = (key ^ np.uint64(value + 7)) * prime
    for c in range(N_SV + 1):
        key = (key ^ np.uint64(node[c] + 13)) * prime
    key ^= key >> np.uint64(29)
    if key == 0:
        key = np.uint64(1)
    return key


@nb.njit(cache=True, nogil=True)
def _closed(classes, money, node):
    """Money for the node's stock item if it were left now: its value less the end offcut's credit."""
    cls = node[N_CLASS]
    rest = classes[cls, C_U2] - node[N_UE] - classes[cls, C_KU]
    value = money[cls, 0]
    if classes[cls, C_OFF_FULL] == 1 and rest >= classes[cls, C_OFF_U]:
        value -= money[cls, 2] * rest * classes[cls, C_V2]
    return value


@nb.njit(cache=True, nogil=True)
def _score(classes, money, node, spent, placed, bias, slack):
    """Money laid out for the stock behind the front, per weight placed; large blanks first."""
    cls = node[N_CLASS]
    height = classes[cls, C_V2]
    front = (node[N_US] - classes[cls, C_U1]) * height
    front += (node[N_UE] - node[N_US]) * node[N_V1]
    front += (node[N_UC] - node[N_US]) * (node[N_V2] - node[N_V1])
    laid = spent + money[cls, 1] * front
    count = node[N_COUNT] + 1
    return (laid + slack) / placed * (count / placed) ** bias


@nb.njit(cache=True, nogil=True)
def _place(classes, options, node, cls, o, found, child, place):
    """Write the child and the placement for option ``o`` at a found position."""
    a = options[o, 1]
    mode, u, v, v_end, near_used, us = found
    child[:] = node
    child[N_CLASS] = cls
    place[P_OPTION] = o
    place[P_MODE] = mode
    place[P_CLASS] = cls
    place[P_U1] = u
    place[P_V1] = v
    place[P_U2] = u + a
    place[P_V2] = v_end
    if mode == STACKED:
        child[N_SV] = v_end
        place[P_U2] = node[N_SE]
        place[P_US] = node[N_US]
        place[P_NEAR] = node[N_NEAR]
        return
    child[N_SU] = u
    child[N_SE] = u + a
    child[N_SV] = v + options[o, 2]
    child[N_UC] = u + a
    if mode == BESIDE:
        child[N_UE] = max(node[N_UE], u + a)
    elif mode == STRIP:
        child[N_V1] = v
        child[N_V2] = v_end
        child[N_UE] = max(node[N_UE], u + a)
    else:
        child[N_US] = us
        least = 0
        if classes[cls, C_RIP_SECTION] >= 0:
            least = max(classes[cls, C_RIP_SECTION], classes[cls, C_V2] - near_used)
        child[N_UE] = max(u + a, us + least)
        child[N_V1] = v
        child[N_V2] = v_end
        child[N_NEAR] = near_used
    place[P_US] = child[N_US]
    place[P_NEAR] = child[N_NEAR]


@nb.njit(cache=True, nogil=True)
def _seek_u(classes, lists, blocks, options, cls, o, u, v1, v2, limit):
    """Least start along u for option ``o`` in rows ``v1`` to ``v2``, either face showing."""
    a = options[o, 1]
    ku = classes[cls, C_KU]
    first = options[o, 3] + classes[cls, C_BLOCKS]
    best = first_u(blocks, lists[first, 0], lists[first, 1], u, v1, v2, a, limit, ku)
    if options[o, 4] >= 0 and best != u:
        second = options[o, 4] + classes[cls, C_BLOCKS]
        other = first_u(blocks, lists[second, 0], lists[second, 1], u, v1, v2, a, limit, ku)
        if other >= 0 and (best < 0 or other < best):
            best = other
    return best


@nb.njit(cache=True, nogil=True)
def _seek_v(classes, lists, blocks, options, cls, o, u, v, limit):
    """Least start along v for option ``o`` at ``u``, either face showing."""
    a, b = options[o, 1], options[o, 2]
    kv = classes[cls, C_KV]
    first = options[o, 3] + classes[cls, C_BLOCKS]
    best = first_v(blocks, lists[first, 0], lists[first, 1], u, u + a, v, b, limit, kv)
    if options[o, 4] >= 0 and best != v:
        second = options[o, 4] + classes[cls, C_BLOCKS]
        other = first_v(blocks, lists[second, 0], lists[second, 1], u, u + a, v, b, limit, kv)
        if other >= 0 and (best < 0 or other < best):
            best = other
    return best


@nb.njit(cache=True, nogil=True)
def _grows(classes, near, cls, us, ue, new_end, near_used):
    """Whether the section may grow to ``new_end`` without losing more at its near edge."""
    if new_end <= ue:
        return True
    if new_end > classes[cls, C_U2]:
        return False
    return near[classes[cls, C_NEAR] + new_end - us] <= near_used


@nb.njit(cache=True, nogil=True)
def _inside(classes, near, lists, blocks, metal, options, node, cls, o, near_slack, found):
    """Find where option ``o`` goes in the node's stock item; return how many places."""
    a, b = options[o, 1], options[o, 2]
    ku, kv = classes[cls, C_KU], classes[cls, C_KV]
    v1, v2 = node[N_V1], node[N_V2]
    us, ue = node[N_US], node[N_UE]
    end = classes[cls, C_U2]
    n = 0
    stages = classes[cls, C_STAGES]
    rip = classes[cls, C_RIP_SEGMENT]
    if stages >= 4 and a <= node[N_SE] - node[N_SU]:
        v = node[N_SV] + kv
        length = node[N_SE] - node[N_SU]
        sawable = rip < 0 or classes[cls, C_RIP_FIRST] == 1 or length >= max(rip, v2 - v1)
        if sawable and v + b <= v2:
            if _clear_either(classes, lists, blocks, options, cls, o, node[N_SU], node[N_SE], v, v + b):
                found[n, 0], found[n, 1], found[n, 2], found[n, 3] = STACKED, node[N_SU], v, v + b
                found[n, 4], found[n, 5] = node[N_NEAR], us
                n += 1
                if a == node[N_SE] - node[N_SU]:
                    return n
    beside = stages >= 3 and b <= v2 - v1
    if beside and rip >= 0 and classes[cls, C_RIP_FIRST] == 1:
        beside = v2 - v1 >= max(rip, max(ue, node[N_UC] + ku + a) - us)
    if beside:
        u = _seek_u(classes, lists, blocks, options, cls, o, node[N_UC] + ku, v1, v2, end)
        if (
            u >= 0
            and _grows(classes, near, cls, us, ue, u + a, node[N_NEAR])
            and is_clear(blocks, metal[cls, 0], metal[cls, 1], node[N_UC], v1, node[N_UC] + ku, v2)
        ):
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = BESIDE, u, v1, v2
            found[n, 4], found[n, 5] = node[N_NEAR], us
            n += 1
    v = v2 + kv
    top = classes[cls, C_V2]
    if stages >= 2 and v + b <= top and is_clear(blocks, metal[cls, 0], metal[cls, 1], us, v2, ue, v):
        u = _seek_u(classes, lists, blocks, options, cls, o, us, v, v + b, end)
        if u >= 0 and _grows(classes, near, cls, us, ue, u + a, node[N_NEAR]):
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = STRIP, u, v, v + b
            found[n, 4], found[n, 5] = node[N_NEAR], us
            n += 1
        if u != us:
            w = _seek_v(classes, lists, blocks, options, cls, o, us, v, top)
            if w >= 0 and _grows(classes, near, cls, us, ue, us + a, node[N_NEAR]):
                found[n, 0], found[n, 1], found[n, 2], found[n, 3] = STRIP, us, w, w + b
                found[n, 4], found[n, 5] = node[N_NEAR], us
                n += 1
    start = _past_metal(blocks, metal, cls, ue, ku)
    return _section(
        classes, near, lists, blocks, metal, options, cls, o, start + ku, near_slack, found, n
    )


@nb.njit(cache=True, nogil=True)
def _past_metal(blocks, metal, cls, at, ku):
    """Where a cut across u may be made, from ``at`` on: no kerf comes near metal."""
    moved = True
    while moved:
        moved = False
        for i in range(metal[cls, 0], metal[cls, 1]):
            if blocks[i, 0] < at + ku and blocks[i, 2] > at:
                at = blocks[i, 2]
                moved = True
    return at


@nb.njit(cache=True, nogil=True)
def _clear_either(classes, lists, blocks, options, cls, o, u1, u2, v1, v2):
    """Whether option ``o`` may fill a rectangle, either face showing."""
    first = options[o, 3] + classes[cls, C_BLOCKS]
    if is_clear(blocks, lists[first, 0], lists[first, 1], u1, v1, u2, v2):
        return True
    if options[o, 4] < 0:
        return False
    second = options[o, 4] + classes[cls, C_BLOCKS]
    return is_clear(blocks, lists[second, 0], lists[second, 1], u1, v1, u2, v2)


@nb.njit(cache=True, nogil=True)
def _section(classes, near, lists, blocks, metal, options, cls, o, us, near_slack, found, n):
    """Find where option ``o`` starts a section at ``us``; return how many places in all."""
    a, b = options[o, 1], options[o, 2]
    end = classes[cls, C_U2]
    top = classes[cls, C_V2]
    least = a
    if us + least > end:
        return n
    loss = near[classes[cls, C_NEAR] + least]
    if classes[cls, C_RIP_SECTION] >= 0:
        least = max(a, max(classes[cls, C_RIP_SECTION], top - loss))
        if us + least > end:
            return n
        loss = near[classes[cls, C_NEAR] + least]
    if near_slack > 0:
        loss = min(loss + near_slack, near[classes[cls, C_NEAR] + end - us])
    if loss + b > top:
        return n
    u = _seek_u(classes, lists, blocks, options, cls, o, us, loss, loss + b, end)
    if u >= 0 and near[classes[cls, C_NEAR] + u + a - us] <= loss:
        found[n, 0], found[n, 1], found[n, 2], found[n, 3] = SECTION, u, loss, loss + b
        found[n, 4], found[n, 5] = loss, us
        n += 1
    if u != us:
        w = _seek_v(classes, lists, blocks, options, cls, o, us, loss, top)
        if w >= 0:
            found[n, 0], found[n, 1], found[n, 2], found[n, 3] = SECTION, us, w, w + b
            found[n, 4], found[n, 5] = loss, us
            n += 1
        if u >= 0 and u - us >= classes[cls, C_KU] and near[classes[cls, C_NEAR] + least] <= loss:
            # The section itself may start past what is in the way.
            if u + least <= end:
                found[n, 0], found[n, 1], found[n, 2], found[n, 3] = SECTION, u, loss, loss + b
                found[n, 4], found[n, 5] = loss, u
                n += 1
    return n

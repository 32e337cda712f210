"""Beam search over cut trees: blanks are put into sections and strips one by one.

The branching follows Fontan and Libralesso (2020), "An anytime tree search algorithm for
two-dimensional two- and three-staged guillotine packing problems": a blank goes beside the last
one in its strip, into a new strip of the same section, into a new section, or opens a new stock
item. Here stock items differ in size, price, flaws and taper, demand is counted exactly, and nodes
are compared by money laid out per weight of blanks placed.

Directions: u runs across the first stage's cuts (sections follow each other along u), v across the
second's (strips lie along v). Crosscut first: u = x, v = y.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.branch import inside, section
from nester.solve.kernels.columns import (
    BESIDE,
    C_FAR,
    C_KU,
    C_OFF_FULL,
    C_OFF_U,
    C_RIP_SECTION,
    C_RIP_WIDTH,
    C_STOCK,
    C_U1,
    C_U2,
    C_V2,
    N_CLASS,
    N_COLUMNS,
    N_COUNT,
    N_NEAR,
    N_SE,
    N_SU,
    N_SV,
    N_UC,
    N_UE,
    N_US,
    N_V1,
    N_V2,
    OPENED,
    P_CLASS,
    P_COLUMNS,
    P_MODE,
    P_NEAR,
    P_OPTION,
    P_PARENT,
    P_U1,
    P_U2,
    P_US,
    P_V1,
    P_V2,
    STACKED,
    STRIP,
)
from nester.solve.kernels.jit import kernel, leaf, wide
from nester.solve.kernels.room import copy_row, grown_float, grown_int, grown_one, ranked

Ints: TypeAlias = NDArray[np.int32]
Floats: TypeAlias = NDArray[np.float64]


@kernel
def beam(
    classes: Ints,
    near: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    option_index: Ints,
    options: Ints,
    money: Floats,
    copies: NDArray[np.int16],
    order: Ints,
    demand: NDArray[np.int16],
    weight: Floats,
    width: int,
    bias: float,
    slack: float,
    open_most: int,
    near_slack: int,
    leave: int,
    noise: float,
    seed: int,
    limit: float,
    most_ends: int,
) -> tuple[Ints, Ints, int]:
    """Search and return the best way found to place the whole demand.

    ``classes`` (n, C_COLUMNS); ``lists`` (m, 2) ranges of ``blocks`` (k, 4); ``metal`` (n, 2)
    ranges of ``blocks`` per class; ``option_index`` (n * demands, 2) ranges of ``options`` (o, 5):
    demand, length along u, width along v, first and second block list (-1: none). ``money``
    (n, 3): value, value per cell, credit per cell. ``copies`` per stock item, ``order``: classes in
    the order in which new stock is tried. ``demand``, ``weight`` per demand. ``width``: nodes kept
    a level. ``leave``: 1 lets a stock item be left while blanks would still fit.

    Returns placements (rows, P_COLUMNS), each with the row of the one before it; the rows of the
    best ends, by what they cost with only the offcut at the far end credited; and the work done.
    Where the demand has no room, the one end is that which places most.
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
    for d in range(n_demand):
        left[0, d] = demand[d]
    next_nodes = np.zeros((width, N_COLUMNS), np.int32)
    next_left = np.zeros((width, n_demand), np.int16)
    next_used = np.zeros((width, n_stock), np.int16)
    next_spent = np.zeros(width)
    next_placed = np.zeros(width)
    next_row = np.zeros(width, np.int32)

    most_options = 0
    for c in range(classes.shape[0]):
        count = 0
        for d in range(n_demand):
            count += option_index[c * n_demand + d, 1] - option_index[c * n_demand + d, 0]
        most_options = max(most_options, count)
    room = 4096
    child = np.zeros((room, N_COLUMNS), np.int32)
    c_place = np.zeros((room, P_COLUMNS), np.int32)
    c_parent = np.zeros(room, np.int32)
    c_demand = np.zeros(room, np.int32)
    c_spent = np.zeros(room)
    c_score = np.zeros(room)
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
    found = np.zeros((10, 6), np.int32)  # mode, u, v, v end, near loss, section start
    while n_nodes > 0 and level < total:
        n_child = 0
        for i in range(n_nodes):
            cls = nodes[i, N_CLASS]
            # The most places that its children may have, where no class has more options.
            most = 10 * most_options * (1 + min(open_most, order.shape[0]))
            while room < n_child + most:
                room *= 2
                child = grown_int(child)
                c_place = grown_int(c_place)
                c_parent = grown_one(c_parent)
                c_demand = grown_one(c_demand)
                c_spent = grown_float(c_spent)
                c_score = grown_float(c_score)
            before = n_child
            if cls >= 0:
                n_child, tried = _inside(
                    classes,
                    near,
                    lists,
                    blocks,
                    metal,
                    option_index,
                    options,
                    money,
                    weight,
                    nodes,
                    left,
                    i,
                    spent[i],
                    placed[i],
                    near_slack,
                    bias,
                    slack,
                    noise,
                    found,
                    child,
                    c_place,
                    c_demand,
                    c_spent,
                    c_score,
                    n_child,
                )
                work += tried
            if n_child == before or leave != 0:
                closed = spent[i]
                if cls >= 0:
                    closed += _closed(classes, money, nodes[i])
                opened = 0
                for k in range(order.shape[0]):
                    new = wide(order[k])
                    stock = classes[new, C_STOCK]
                    if used[i, stock] >= copies[stock]:
                        continue
                    if opened >= open_most:
                        break
                    opened += 1
                    n_child, tried = _opened(
                        classes,
                        near,
                        lists,
                        blocks,
                        metal,
                        option_index,
                        options,
                        money,
                        weight,
                        nodes,
                        left,
                        i,
                        new,
                        closed,
                        placed[i],
                        near_slack,
                        bias,
                        slack,
                        noise,
                        found,
                        child,
                        c_place,
                        c_demand,
                        c_spent,
                        c_score,
                        n_child,
                    )
                    work += tried
            for c in range(before, n_child):
                c_place[c, P_PARENT] = row_of[i]
                c_parent[c] = i
        if n_child == 0:
            break
        level += 1
        n_next = 0
        table[:] = 0
        ranking = ranked(c_score[:n_child], 4 * width)
        for r in range(n_child):
            if r == ranking.shape[0]:
                # Too many twins among the best: the rest is ranked as well.
                ranking = np.argsort(c_score[:n_child], kind="mergesort")
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
            copy_row(next_nodes, n_next, child, c)
            next_nodes[n_next, N_COUNT] = level
            copy_row(next_left, n_next, left, p)
            next_left[n_next, c_demand[c]] -= 1
            copy_row(next_used, n_next, used, p)
            if c_place[c, P_MODE] == OPENED:
                next_used[n_next, classes[child[c, N_CLASS], C_STOCK]] += 1
            next_spent[n_next] = c_spent[c]
            next_placed[n_next] = placed[p] + weight[c_demand[c]]
            copy_row(record, rows, c_place, c)
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
        if level == total:
            costs = np.empty(kept)
            for i in range(kept):
                costs[i] = spent[i] + _closed(classes, money, nodes[i])
            return record[:rows], row_of[np.argsort(costs, kind="mergesort")[:most_ends]], work
        for i in range(kept):
            cost = spent[i] + _closed(classes, money, nodes[i])
            # Where not all can be placed, the most blanks, then their weight, then the cost.
            if level > best_count or (
                level == best_count
                and (placed[i] > best_weight or (placed[i] == best_weight and cost < best_cost))
            ):
                best_row, best_cost, best_count = row_of[i], cost, level
                best_weight = placed[i]
            if spent[i] >= limit:
                continue
            if n_nodes != i:
                copy_row(nodes, n_nodes, nodes, i)
                copy_row(left, n_nodes, left, i)
                copy_row(used, n_nodes, used, i)
                spent[n_nodes] = spent[i]
                placed[n_nodes] = placed[i]
                row_of[n_nodes] = row_of[i]
            n_nodes += 1
    return record[:rows], np.full(1, best_row, np.int32), work


@leaf
def _inside(
    classes: Ints,
    near: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    option_index: Ints,
    options: Ints,
    money: Floats,
    weight: Floats,
    nodes: Ints,
    left: NDArray[np.int16],
    i: int,
    spent: float,
    placed: float,
    near_slack: int,
    bias: float,
    slack: float,
    noise: float,
    found: Ints,
    child: Ints,
    c_place: Ints,
    c_demand: Ints,
    c_spent: Floats,
    c_score: Floats,
    n: int,
) -> tuple[int, int]:
    """Write the children of node ``i`` in its own stock item; return how many, and places tried."""
    cls = wide(nodes[i, N_CLASS])
    n_demand = left.shape[1]
    tried = 0
    for d in range(n_demand):
        if left[i, d] == 0:
            continue
        lo = option_index[cls * n_demand + d, 0]
        hi = option_index[cls * n_demand + d, 1]
        for o in range(lo, hi):
            tried += 1
            n_found = inside(
                classes,
                near,
                lists,
                blocks,
                metal,
                options,
                nodes[i],
                cls,
                o,
                near_slack,
                found,
            )
            for f in range(n_found):
                _place(classes, options, nodes[i], cls, o, found[f], child[n], c_place[n])
                c_demand[n] = d
                c_spent[n] = spent
                c_score[n] = _score(
                    classes, money, child[n], spent, placed + weight[d], bias, slack
                )
                if noise > 0:
                    c_score[n] *= 1.0 + noise * np.random.random()
                n += 1
    return n, tried


@leaf
def _opened(
    classes: Ints,
    near: Ints,
    lists: Ints,
    blocks: Ints,
    metal: Ints,
    option_index: Ints,
    options: Ints,
    money: Floats,
    weight: Floats,
    nodes: Ints,
    left: NDArray[np.int16],
    i: int,
    cls: int,
    spent: float,
    placed: float,
    near_slack: int,
    bias: float,
    slack: float,
    noise: float,
    found: Ints,
    child: Ints,
    c_place: Ints,
    c_demand: Ints,
    c_spent: Floats,
    c_score: Floats,
    n: int,
) -> tuple[int, int]:
    """Write the children of node ``i`` in a new item of a class; return how many, and the work."""
    n_demand = left.shape[1]
    tried = 0
    for d in range(n_demand):
        if left[i, d] == 0:
            continue
        lo = option_index[cls * n_demand + d, 0]
        hi = option_index[cls * n_demand + d, 1]
        for o in range(lo, hi):
            tried += 1
            n_found = section(
                classes,
                near,
                lists,
                blocks,
                metal,
                options,
                cls,
                o,
                wide(classes[cls, C_U1]),
                near_slack,
                found,
                wide(0),
            )
            for f in range(n_found):
                found[f, 0] = OPENED
                _place(classes, options, nodes[i], cls, o, found[f], child[n], c_place[n])
                c_demand[n] = d
                c_spent[n] = spent
                c_score[n] = _score(
                    classes, money, child[n], spent, placed + weight[d], bias, slack
                )
                if noise > 0:
                    c_score[n] *= 1.0 + noise * np.random.random()
                n += 1
    return n, tried


@leaf
def _hash(
    left: NDArray[np.int16],
    parent: int,
    demand: int,
    used: NDArray[np.int16],
    node: Ints,
    opened: bool,
    classes: Ints,
) -> np.uint64:
    """Hash of what a child has left, uses, and where its section and strip stand."""
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
    # Where in its strip a node stands is left out: of twins the one with the lower front is kept.
    for c in (N_CLASS, N_US, N_V1, N_V2):
        key = (key ^ np.uint64(node[c] + 13)) * prime
    key ^= key >> np.uint64(29)
    if key == 0:
        key = np.uint64(1)
    return key


@leaf
def _closed(classes: Ints, money: Floats, node: Ints) -> float:
    """Money for the node's stock item if left now: its value less its end offcut's credit."""
    cls = wide(node[N_CLASS])
    rest = classes[cls, C_U2] - node[N_UE] - classes[cls, C_KU]
    value = money[cls, 0]
    if classes[cls, C_OFF_FULL] == 1 and rest >= classes[cls, C_OFF_U]:
        value -= money[cls, 2] * rest * classes[cls, C_V2]
    return value


@leaf
def _score(
    classes: Ints,
    money: Floats,
    node: Ints,
    spent: float,
    placed: float,
    bias: float,
    slack: float,
) -> float:
    """Money laid out for the stock behind the front, per weight placed; large blanks first."""
    cls = node[N_CLASS]
    height = classes[cls, C_V2]
    front = (node[N_US] - classes[cls, C_U1]) * height
    front += (node[N_UE] - node[N_US]) * node[N_V1]
    front += (node[N_UC] - node[N_US]) * (node[N_V2] - node[N_V1])
    laid = spent + money[cls, 1] * front
    count = node[N_COUNT] + 1
    rate = (laid + slack) / placed
    return rate if bias == 0 else rate * (count / placed) ** bias


@leaf
def _place(
    classes: Ints,
    options: Ints,
    node: Ints,
    cls: int,
    o: int,
    found: Ints,
    child: Ints,
    place: Ints,
) -> None:
    """Write the child and the placement for option ``o`` at a found position."""
    a = options[o, 1]
    mode, u, v, v_end, near_used, us = found
    for c in range(node.shape[0]):
        child[c] = node[c]
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
        unripped = v_end == classes[cls, C_FAR] and us == u
        if classes[cls, C_RIP_SECTION] >= 0 and not unripped:
            least = max(classes[cls, C_RIP_SECTION], classes[cls, C_RIP_WIDTH])
        child[N_UE] = max(u + a, us + least)
        child[N_V1] = v
        child[N_V2] = v_end
        child[N_NEAR] = near_used
    place[P_US] = child[N_US]
    place[P_NEAR] = child[N_NEAR]

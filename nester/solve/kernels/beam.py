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

from nester.solve.kernels.children import children, closed
from nester.solve.kernels.columns import (
    C_STOCK,
    N_CLASS,
    N_COLUMNS,
    N_COUNT,
    OPENED,
    P_COLUMNS,
    P_MODE,
    P_PARENT,
)
from nester.solve.kernels.jit import kernel, wide
from nester.solve.kernels.room import copy_row, grown_float, grown_int, grown_one, ranked, thinned
from nester.solve.kernels.twins import singled, word_for

Ints: TypeAlias = NDArray[np.int32]
Floats: TypeAlias = NDArray[np.float64]

CROWDED = 3
"""So many children more than nodes are kept are sifted before there are others."""


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
    ahead: int,
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
    a level. ``ahead``: what is looked at for waste to come (``children.score``). ``leave``: 1 lets
    a stock item be left while blanks would still fit.

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
    size = 8
    keys = np.empty(size, np.uint64)
    slots = np.empty(size, np.int32)
    single = np.empty(size, np.int32)
    states = np.empty(size, np.uint64)
    state = np.zeros(width, np.uint64)  # keys of what nodes have left and use
    next_state = np.zeros(width, np.uint64)
    for d in range(n_demand):
        state[0] ^= word_for(d, int(demand[d]))

    best_row = 0
    best_cost = np.inf
    best_count = 0
    best_weight = 0.0
    work = 0
    level = 0
    found = np.zeros((10, 6), np.int32)  # mode, u, v, v end, near loss, section start
    while n_nodes > 0 and level < total:
        n_child = 0
        dearest, full = np.inf, CROWDED * width
        for i in range(n_nodes):
            if n_child >= full:
                size, keys, slots, single, states = table(
                    size, n_child, keys, slots, single, states
                )
                n_child = singled(
                    state,
                    left,
                    used,
                    c_parent,
                    c_demand,
                    child,
                    c_place,
                    classes,
                    c_score,
                    n_child,
                    keys,
                    slots,
                    single,
                    states,
                )
                n_child, dearest = thinned(
                    child, c_place, c_parent, c_demand, c_spent, c_score, single, n_child, width
                )
                full = n_child + CROWDED * width
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
            before, made = n_child, 0
            passed, above = cls >= 0, dearest
            while made == 0 and passed:
                n_child, made, passed, tried = children(
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
                    wide(cls),
                    False,
                    spent[i],
                    placed[i],
                    near_slack,
                    bias,
                    slack,
                    noise,
                    ahead,
                    above,
                    found,
                    child,
                    c_place,
                    c_demand,
                    c_spent,
                    c_score,
                    n_child,
                )
                work += tried
                above = np.inf  # there may be places that it would have passed over
            if made == 0 or leave != 0:
                paid = spent[i]
                if cls >= 0:
                    paid += closed(classes, money, nodes[i])
                opened = 0
                for k in range(order.shape[0]):
                    new = wide(order[k])
                    stock = classes[new, C_STOCK]
                    if used[i, stock] >= copies[stock]:
                        continue
                    if opened >= open_most:
                        break
                    opened += 1
                    n_child, _, _, tried = children(
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
                        True,
                        paid,
                        placed[i],
                        near_slack,
                        bias,
                        slack,
                        noise,
                        ahead,
                        dearest,
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
        size, keys, slots, single, states = table(size, n_child, keys, slots, single, states)
        unlike = singled(
            state,
            left,
            used,
            c_parent,
            c_demand,
            child,
            c_place,
            classes,
            c_score,
            n_child,
            keys,
            slots,
            single,
            states,
        )
        scores = np.empty(unlike)
        for r in range(unlike):
            scores[r] = c_score[single[r]]
        n_next = 0
        ranking = ranked(scores, width)
        for r in range(min(width, ranking.shape[0])):
            c = single[ranking[r]]
            p = c_parent[c]
            next_state[n_next] = states[c]
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
        nodes, next_nodes = next_nodes, nodes
        left, next_left = next_left, left
        used, next_used = next_used, used
        state, next_state = next_state, state
        spent, next_spent = next_spent, spent
        placed, next_placed = next_placed, placed
        row_of, next_row = next_row, row_of
        n_nodes = 0
        kept = n_next
        if level == total:
            costs = np.empty(kept)
            for i in range(kept):
                costs[i] = spent[i] + closed(classes, money, nodes[i])
            return record[:rows], row_of[np.argsort(costs, kind="mergesort")[:most_ends]], work
        for i in range(kept):
            cost = spent[i] + closed(classes, money, nodes[i])
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
                state[n_nodes] = state[i]
                spent[n_nodes] = spent[i]
                placed[n_nodes] = placed[i]
                row_of[n_nodes] = row_of[i]
            n_nodes += 1
    return record[:rows], np.full(1, best_row, np.int32), work


@kernel
def table(
    size: int,
    n: int,
    keys: NDArray[np.uint64],
    slots: Ints,
    single: Ints,
    states: NDArray[np.uint64],
) -> tuple[int, NDArray[np.uint64], Ints, Ints, NDArray[np.uint64]]:
    """Return room for telling ``n`` children apart: what there is, or more."""
    if size >= 4 * n:
        return size, keys, slots, single, states
    while size < 4 * n:
        size *= 2
    return (
        size,
        np.empty(size, np.uint64),
        np.empty(size, np.int32),
        np.empty(size, np.int32),
        np.empty(size, np.uint64),
    )

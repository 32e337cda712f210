"""The children of a node of the beam search: where each blank may go next, and their scores."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.branch import inside, section
from nester.solve.kernels.columns import (
    BESIDE,
    C_FAR,
    C_KU,
    C_KV,
    C_OFF_FULL,
    C_OFF_U,
    C_RIP_SECTION,
    C_RIP_WIDTH,
    C_U1,
    C_U2,
    C_V2,
    N_CLASS,
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
    P_MODE,
    P_NEAR,
    P_OPTION,
    P_U1,
    P_U2,
    P_US,
    P_V1,
    P_V2,
    STACKED,
    STRIP,
)
from nester.solve.kernels.jit import leaf, wide

Ints: TypeAlias = NDArray[np.int32]
Floats: TypeAlias = NDArray[np.float64]


@leaf
def children(
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
    opens: bool,
    spent: float,
    placed: float,
    near_slack: int,
    bias: float,
    slack: float,
    noise: float,
    ahead: int,
    dearest: float,
    found: Ints,
    child: Ints,
    c_place: Ints,
    c_demand: Ints,
    c_spent: Floats,
    c_score: Floats,
    n: int,
) -> tuple[int, int, bool, int]:
    """Write the children of node ``i`` in an item of a class, save those above ``dearest``.

    ``opens``: whether that is a new item, else it is the node's own. Returns how many there are
    then, how many places were found, whether some were not looked for since they would be above
    ``dearest`` in any case, and how many blanks were tried.
    """
    n_demand = left.shape[1]
    tried, made, passed = 0, 0, False
    short, narrow = least(option_index, options, left, i, cls)
    for d in range(n_demand):
        if left[i, d] == 0:
            continue
        lo = option_index[cls * n_demand + d, 0]
        hi = option_index[cls * n_demand + d, 1]
        for o in range(lo, hi):
            tried += 1
            modes = 7
            if not opens and dearest < np.inf:
                modes = worthwhile(
                    classes,
                    money,
                    options,
                    nodes[i],
                    cls,
                    o,
                    spent,
                    placed + weight[d],
                    bias,
                    slack,
                    dearest,
                )
                passed |= modes < 7
            if opens:
                start = wide(classes[cls, C_U1])
                n_found = section(
                    classes,
                    near,
                    lists,
                    blocks,
                    metal,
                    options,
                    cls,
                    o,
                    start,
                    near_slack,
                    found,
                    wide(0),
                )
            else:
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
                    modes,
                    found,
                )
            made += n_found
            for f in range(n_found):
                if opens:
                    found[f, 0] = OPENED
                put(classes, options, nodes[i], cls, o, found[f], child[n], c_place[n])
                c_demand[n] = d
                c_spent[n] = spent
                c_score[n] = score(
                    classes,
                    money,
                    child[n],
                    spent,
                    placed + weight[d],
                    bias,
                    slack,
                    ahead,
                    short,
                    narrow,
                )
                if noise > 0:
                    c_score[n] *= 1.0 + noise * np.random.random()
                if c_score[n] <= dearest:
                    n += 1
    return n, made, passed, tried


@leaf
def least(
    option_index: Ints, options: Ints, left: NDArray[np.int16], i: int, cls: int
) -> tuple[int, int]:
    """Return the least length and the least width of a blank that node ``i`` has left."""
    n_demand = left.shape[1]
    short, narrow = 1 << 30, 1 << 30
    for d in range(n_demand):
        if left[i, d] > 0:
            for o in range(
                option_index[cls * n_demand + d, 0], option_index[cls * n_demand + d, 1]
            ):
                short = min(short, options[o, 1])
                narrow = min(narrow, options[o, 2])
    return short, narrow


@leaf
def closed(classes: Ints, money: Floats, node: Ints) -> float:
    """Money for the node's stock item if left now: its value less its end offcut's credit."""
    cls = wide(node[N_CLASS])
    rest = classes[cls, C_U2] - node[N_UE] - classes[cls, C_KU]
    value = money[cls, 0]
    if classes[cls, C_OFF_FULL] == 1 and rest >= classes[cls, C_OFF_U]:
        value -= money[cls, 2] * rest * classes[cls, C_V2]
    return value


@leaf
def score(
    classes: Ints,
    money: Floats,
    node: Ints,
    spent: float,
    placed: float,
    bias: float,
    slack: float,
    ahead: int,
    short: int,
    narrow: int,
) -> float:
    """Money laid out for the stock behind the front, per weight placed; large blanks first.

    What is too short or too narrow for every blank left is laid out too, as far as ``ahead`` says:
    1 above the last strip, 2 behind the last blank in its strip, 4 at the end of the stock.
    """
    cls = node[N_CLASS]
    height = classes[cls, C_V2]
    front = (node[N_US] - classes[cls, C_U1]) * height
    front += (node[N_UE] - node[N_US]) * node[N_V1]
    front += (node[N_UC] - node[N_US]) * (node[N_V2] - node[N_V1])
    laid = spent + money[cls, 1] * front
    end, top = wide(classes[cls, C_U2]), wide(classes[cls, C_V2])
    long = node[N_UE] - node[N_US]
    ku = wide(classes[cls, C_KU])
    dead = 0
    if ahead & 1 and top - node[N_V2] - classes[cls, C_KV] < narrow:
        dead += long * (top - node[N_V2])
    if ahead & 2 and node[N_UE] - node[N_UC] - ku < short:
        dead += (node[N_UE] - node[N_UC]) * (node[N_V2] - node[N_V1])
    laid += money[cls, 1] * dead
    rest = end - node[N_UE] - ku
    if ahead & 4 and rest < short:
        laid += money[cls, 1] * (end - node[N_UE]) * top
        if classes[cls, C_OFF_FULL] == 1 and rest >= classes[cls, C_OFF_U]:
            laid -= money[cls, 2] * rest * top
    return rated(laid, placed, node[N_COUNT] + 1, bias, slack)


@leaf
def rated(laid: float, placed: float, count: int, bias: float, slack: float) -> float:
    """Money laid out per weight placed, the more the smaller the blanks are, as ``bias`` says."""
    rate = (laid + slack) / placed
    return rate if bias == 0 else rate * (count / placed) ** bias


@leaf
def worthwhile(
    classes: Ints,
    money: Floats,
    options: Ints,
    node: Ints,
    cls: int,
    o: int,
    spent: float,
    placed: float,
    bias: float,
    slack: float,
    dearest: float,
) -> int:
    """Return where option ``o`` may go in the node's item at no worse a score than ``dearest``.

    As ``branch.inside`` takes it: no flaw is looked at, and nothing counts as spent beyond the
    front.
    """
    if money[cls, 2] > money[cls, 1]:
        return 7  # an offcut would earn more than its wood costs
    a, b = wide(options[o, 1]), wide(options[o, 2])
    height = wide(classes[cls, C_V2])
    ku, kv = wide(classes[cls, C_KU]), wide(classes[cls, C_KV])
    us, ue = wide(node[N_US]), wide(node[N_UE])
    v1, v2 = wide(node[N_V1]), wide(node[N_V2])
    behind = (us - classes[cls, C_U1]) * height
    along = node[N_UC] + ku + a - us
    beside = behind + max(ue - us, along) * v1 + along * (v2 - v1)
    strip = behind + max(ue - us, a) * (v2 + kv) + a * b
    section = behind + (ue + ku - us) * height + a * b
    count = node[N_COUNT] + 1
    modes = 0
    for mode, front in ((1, beside), (2, strip), (4, section)):
        if rated(spent + money[cls, 1] * front, placed, count, bias, slack) <= dearest:
            modes += mode
    return modes


@leaf
def put(
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

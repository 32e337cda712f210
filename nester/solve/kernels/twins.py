"""Twins among the children of a level: told by keys, and only the best of them kept.

Twins have the same blanks left and the same stock used, and stand in the same section and strip.
What is left and used is kept as a sum of random words, one for each number of each thing (Zobrist
1970, "A new hashing method with application for game playing"), so that a child's comes from its
parent's by the words that change.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.columns import C_STOCK, N_CLASS, N_US, N_V1, N_V2, OPENED, P_MODE
from nester.solve.kernels.jit import leaf

Ints: TypeAlias = NDArray[np.int32]
Shorts: TypeAlias = NDArray[np.int16]
Floats: TypeAlias = NDArray[np.float64]
Keys: TypeAlias = NDArray[np.uint64]


@leaf
def mixed(word: np.uint64) -> np.uint64:
    """Return a word with all its bits stirred (Steele, Lea and Flood 2014, SplitMix64)."""
    word = (word ^ (word >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    word = (word ^ (word >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return word ^ (word >> np.uint64(31))


@leaf
def word_for(thing: int, number: int) -> np.uint64:
    """Return the random word for a number of a thing."""
    return mixed(np.uint64(thing * 65_536 + number + 1) * np.uint64(0x9E3779B97F4A7C15))


@leaf
def after(
    key: np.uint64,
    left: Shorts,
    used: Shorts,
    parent: int,
    demand: int,
    stock: int,
) -> np.uint64:
    """Return the key of what is left and used once one blank is placed.

    ``stock`` is the item that was opened for it, -1 where none was.
    """
    some = int(left[parent, demand])
    key = key ^ word_for(demand, some) ^ word_for(demand, some - 1)
    if stock >= 0:
        thing = left.shape[1] + stock
        gone = int(used[parent, stock])
        key = key ^ word_for(thing, gone) ^ word_for(thing, gone + 1)
    return key


@leaf
def singled(
    state: Keys,
    left: Shorts,
    used: Shorts,
    parents: Ints,
    demands: Ints,
    child: Ints,
    places: Ints,
    classes: Ints,
    scores: Floats,
    n: int,
    keys: Keys,
    slots: Ints,
    single: Ints,
    states: Keys,
) -> int:
    """Write into ``single`` the best child of each set of twins; return how many there are.

    ``keys`` and ``slots`` are room for a table, a power of two and at least twice ``n``; ``states``
    takes the key of what each child leaves and uses.
    """
    size = 4
    while size < 2 * n:
        size *= 2
    for i in range(size):
        slots[i] = -1
    mask = np.uint64(size - 1)
    count = 0
    for c in range(n):
        stock = -1
        if places[c, P_MODE] == OPENED:
            stock = int(classes[child[c, N_CLASS], C_STOCK])
        states[c] = after(state[parents[c]], left, used, parents[c], demands[c], stock)
        # Where in its strip a node stands is left out: of twins the cheapest is kept.
        key = states[c]
        for column in (N_CLASS, N_US, N_V1, N_V2):
            key = mixed(key + np.uint64(child[c, column] + 13))
        slot = key & mask
        while slots[slot] >= 0 and keys[slot] != key:
            slot = (slot + np.uint64(1)) & mask
        if slots[slot] < 0:
            keys[slot] = key
            slots[slot] = count
            single[count] = c
            count += 1
        elif scores[c] < scores[single[slots[slot]]]:
            single[slots[slot]] = c
    return count

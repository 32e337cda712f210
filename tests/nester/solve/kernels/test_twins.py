"""Twins among children: against sets of what they leave, use and where they stand."""

import numpy as np
import pytest

from nester.solve.kernels import columns as k
from nester.solve.kernels import twins
from tests.nester.solve.kernels.outside import outside

after, singled, word_for = map(outside, (twins.after, twins.singled, twins.word_for))

SECTIONS = 3


@pytest.mark.parametrize("seed", range(12))
def test_of_twins_the_cheapest_is_kept(seed: int) -> None:
    """One child for each different state, and no twin of it scores better."""
    rng = np.random.default_rng(seed)
    parents, demands, stocks, n = 5, 3, 2, 60
    left = rng.integers(1, 3, (parents, demands)).astype(np.int16)
    used = rng.integers(0, 2, (parents, stocks)).astype(np.int16)
    state = np.array([_state(left[i], used[i]) for i in range(parents)], np.uint64)
    parent = rng.integers(0, parents, n).astype(np.int32)
    demand = rng.integers(0, demands, n).astype(np.int32)
    child = np.zeros((n, k.N_COLUMNS), np.int32)
    child[:, k.N_CLASS] = rng.integers(0, stocks, n)
    child[:, k.N_US] = rng.integers(0, SECTIONS, n)
    child[:, k.N_UC] = rng.integers(0, 99, n)  # of no account
    places = np.zeros((n, k.P_COLUMNS), np.int32)
    places[:, k.P_MODE] = rng.choice((k.BESIDE, k.OPENED), n)
    classes = np.zeros((stocks, k.C_COLUMNS), np.int32)
    classes[:, k.C_STOCK] = range(stocks)
    scores = rng.integers(0, 20, n).astype(np.float64)
    room = 256
    single = np.empty(room, np.int32)
    states = np.empty(room, np.uint64)
    count = singled(
        state,
        left,
        used,
        parent,
        demand,
        child,
        places,
        classes,
        scores,
        n,
        np.empty(room, np.uint64),
        np.empty(room, np.int32),
        single,
        states,
    )
    best: dict[tuple[object, ...], float] = {}
    own = []
    for c in range(n):
        rest, gone = left[parent[c]].copy(), used[parent[c]].copy()
        rest[demand[c]] -= 1
        if places[c, k.P_MODE] == k.OPENED:
            gone[child[c, k.N_CLASS]] += 1
        assert states[c] == _state(rest, gone)
        own.append((*rest, *gone, child[c, k.N_CLASS], child[c, k.N_US]))
        best[own[c]] = min(best.get(own[c], 99.0), scores[c])
    kept = single[:count].tolist()
    assert {own[c] for c in kept} == set(best)
    assert len(kept) == len(best)
    assert all(scores[c] == best[own[c]] for c in kept)


def test_a_key_follows_its_blanks_and_stock() -> None:
    """It does not matter in which order blanks are placed, and it matters which."""
    left, used = np.array([[2, 2]], np.int16), np.zeros((1, 1), np.int16)
    start = _state(left[0], used[0])
    first = after(start, left, used, 0, 0, 0)
    other = after(start, left, used, 0, 1, 0)
    assert first != other
    ways = (
        after(first, np.array([[1, 2]], np.int16), np.ones((1, 1), np.int16), 0, 1, -1),
        after(other, np.array([[2, 1]], np.int16), np.ones((1, 1), np.int16), 0, 0, -1),
    )
    assert ways[0] == ways[1]


def _state(left: np.ndarray, used: np.ndarray) -> np.uint64:
    key = np.uint64(0)
    for thing, number in enumerate([*left, *used]):
        key ^= word_for(thing, int(number))
    return key

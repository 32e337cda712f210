"""The best children in order: against numpy's own sorting."""

import numpy as np
import pytest

from nester.solve.kernels import columns as k
from nester.solve.kernels.room import (
    grown_float,
    grown_int,
    grown_one,
    nth_smallest,
    ranked,
    thinned,
)


@pytest.mark.parametrize("seed", range(20))
def test_the_nth_smallest_is_what_sorting_puts_there(seed: int) -> None:
    """With ties and without, at every place."""
    rng = np.random.default_rng(seed)
    scores = rng.integers(0, 8 if seed % 2 else 10_000, 60).astype(np.float64)
    before = scores.copy()
    assert [nth_smallest(scores, n) for n in range(60)] == sorted(before)
    assert (scores == before).all()


@pytest.mark.parametrize("seed", range(20))
def test_the_best_come_first_and_ties_stay_in_order(seed: int) -> None:
    """A stable sort of all, cut off where the scores get worse than the last that is asked for."""
    rng = np.random.default_rng(seed)
    scores = rng.integers(0, 30, 200).astype(np.float64)
    whole = np.argsort(scores, kind="stable")
    for most in (1, 7, 60, 150):
        found = ranked(scores, most)
        assert len(found) >= min(most, 200)
        assert (found == whole[: len(found)]).all()


def test_tables_grow_with_what_is_in_them() -> None:
    """Twice as many rows, the old ones first, the new ones nought."""
    table = np.arange(6, dtype=np.int32).reshape(3, 2)
    assert grown_int(table).tolist() == [*table.tolist(), [0, 0], [0, 0], [0, 0]]
    assert grown_one(table[:, 1].copy()).tolist() == [1, 3, 5, 0, 0, 0]
    assert grown_float(np.array([0.5])).tolist() == [0.5, 0.0]


@pytest.mark.parametrize("seed", range(10))
def test_children_that_stay_move_to_the_front_whole(seed: int) -> None:
    """The best of those told, ties with the last of them too, in their order."""
    rng = np.random.default_rng(seed)
    n, most = 40, 7
    scores = rng.integers(0, 12, n).astype(np.float64)
    names = np.arange(n, dtype=np.int32)
    child = np.tile(names[:, None], (1, k.N_COLUMNS))
    places = np.tile(names[:, None], (1, k.P_COLUMNS))
    parents, demands, spent = names + 1, names + 2, names + 0.5
    told = np.array([i + rng.integers(0, n - i) for i in range(20)], np.int32)
    own = [float(scores[c]) for c in told]
    stay = [int(c) for c, score in zip(told, own, strict=True) if score <= sorted(own)[most]]
    kept, dearest = thinned(child, places, parents, demands, spent, scores, told, len(told), most)
    assert dearest == sorted(own)[most]
    assert child[:kept].tolist() == [[c] * k.N_COLUMNS for c in stay]
    assert places[:kept].tolist() == [[c] * k.P_COLUMNS for c in stay]
    assert parents[:kept].tolist() == [c + 1 for c in stay]
    assert demands[:kept].tolist() == [c + 2 for c in stay]
    assert spent[:kept].tolist() == [c + 0.5 for c in stay]

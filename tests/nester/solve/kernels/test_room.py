"""The best children in order: against numpy's own sorting."""

import numpy as np
import pytest

from nester.solve.kernels.room import grown_float, grown_int, grown_one, nth_smallest, ranked


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

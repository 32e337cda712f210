"""What strips of a kind hold where they hold most, against looking at every place."""

from random import Random

import numpy as np
import pytest

from nester.solve.kernels.kept import kept_most


@pytest.mark.parametrize("seed", range(20))
def test_each_column_counts_its_best_place(seed: int) -> None:
    """Of all places of a kind each column of cells takes the one where it holds most."""
    rng = Random(seed)
    length, low, fine, steps = 7, rng.randint(0, 2), rng.randint(1, 3), 5
    last = low + fine * steps + rng.randint(0, 3)
    sound = np.array([[rng.random() < 0.6 for _ in range(length)] for _ in range(last)], np.int32)
    lines = np.concatenate([np.zeros((1, length), np.int32), np.cumsum(sound, axis=0)])
    widths = np.array([2, 4], np.int32)
    least = rng.randint(1, 5)
    kind_class = np.array([0, 0, 1], np.int32)
    row_kind = np.array([[rng.choice((-1, 0, 1)), rng.choice((-1, 2))] for _ in range(steps)])
    table = row_kind.astype(np.int32)
    lines = np.ascontiguousarray(lines.astype(np.int32))
    found = kept_most(lines, table, kind_class, widths, low, last, fine, least)
    for kind, w in enumerate(kind_class.tolist()):
        width = int(widths[w])
        places = [
            v
            for step in range(steps)
            if row_kind[step, w] == kind
            for v in range(low + step * fine, low + (step + 1) * fine)
            if v + width <= last
        ]
        for u in range(length):
            held = [
                int(sound[v : min(last, v + max(width, least) + fine - 1), u].sum()) for v in places
            ]
            assert found[kind, u + 1] - found[kind, u] == max(held, default=0)

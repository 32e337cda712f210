"""How long a blank may be from each step on, against looking at every cell."""

from random import Random

import numpy as np
import pytest

from nester.solve.kernels.rooms import rooms


@pytest.mark.parametrize("seed", range(20))
def test_the_longest_clear_run_of_a_step(seed: int) -> None:
    """From a cell it reaches to the next block met, or the end; the best cell of a step counts."""
    rng = Random(seed)
    u1, span, fine = rng.randint(0, 5), rng.randint(5, 40), rng.randint(1, 6)
    nu = span // fine + rng.randint(0, 2)
    rows = []
    for _ in range(rng.randint(0, 8)):
        low = rng.randint(0, u1 + span)
        rows.append([low, 0, low + rng.randint(1, 12), 1, -1])
    blocks = np.array(rows, np.int32).reshape(-1, 5)
    cut = rng.randint(0, len(rows))
    ends = np.array([0, cut, len(rows)])
    met = np.array([rng.random() < 0.7 for _ in rows], bool)
    (found,) = rooms(blocks, ends, met[None], u1, span, nu, fine)
    for i, own in enumerate((slice(0, cut), slice(cut, None))):
        holes = {
            u for row, m in zip(rows[own], met[own], strict=True) if m for u in range(*row[:3:2])
        }
        for step in range(nu):
            longest = 0
            for start in range(step * fine, min(span, (step + 1) * fine)):
                end = start
                while end < span and u1 + end not in holes:
                    end += 1
                longest = max(longest, end - start)
            assert max(0, found[i, step]) == longest

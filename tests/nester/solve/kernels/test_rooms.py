"""How long a blank may be from each step on, against looking at every cell."""

from random import Random

import numpy as np
import pytest

from nester.solve.kernels.rooms import reach, rooms


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


@pytest.mark.parametrize("seed", range(20))
def test_the_far_edge_is_where_its_blocks_begin(seed: int) -> None:
    """Blocks that end before it, or that may be excused, do not count."""
    rng = Random(seed)
    u1, span, v2 = rng.randint(0, 4), 12, 9
    rows = []
    for _ in range(rng.randint(0, 6)):
        u, v = rng.randint(0, u1 + span), rng.randint(0, v2 - 1)
        ends = rng.choice((v2 - 1, v2, v2 + 2))
        rows.append([u, min(v, ends - 1), u + rng.randint(1, 6), ends, rng.choice((-1, -1, 3))])
    limit = np.full(span, v2, np.int32)
    reach(np.array(rows, np.int32).reshape(-1, 5), u1, v2, limit)
    for at in range(span):
        edges = [b for a, b, c, d, e in rows if a <= u1 + at < c and d >= v2 and e < 0]
        assert limit[at] == min(edges, default=v2)

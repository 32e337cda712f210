"""What a rectangle meets, against looking at every cell."""

from random import Random

import numpy as np
import pytest

from nester.solve.kernels.met import meets


@pytest.mark.parametrize("seed", range(40))
def test_meets_is_sharing_a_cell(seed: int) -> None:
    """Touching is not meeting."""
    rng = Random(seed)
    rows = []
    for _ in range(rng.randint(0, 4)):
        x, y = rng.randint(0, 8), rng.randint(0, 8)
        rows.append([x, y, x + rng.randint(1, 3), y + rng.randint(1, 3)])
    covered = {(x, y) for a, b, c, d in rows for x in range(a, c) for y in range(b, d)}
    blocks = np.array(rows, np.int32).reshape(-1, 4)
    asked = set()
    for x1 in range(9):
        for y1 in range(9):
            x2, y2 = x1 + rng.randint(1, 3), y1 + rng.randint(1, 3)
            own = {(x, y) for x in range(x1, x2) for y in range(y1, y2)}
            assert meets(blocks, x1, y1, x2, y2) == bool(own & covered)
            asked.add(bool(own & covered))
    assert asked == {True, False} or not rows

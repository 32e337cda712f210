"""Where blanks of all lengths may begin, against looking at every cell."""

import numpy as np
from numpy.typing import NDArray

from nester.problem.build import build
from nester.solve.arrays import arrays
from nester.solve.bound.clear import Clear
from nester.solve.bound.places import option_rows
from nester.solve.kernels import columns as k
from tests.bench.sets.matched import case

FINE = 4
WIDTH = 40


def test_steps_are_free_where_some_cell_in_them_is() -> None:
    """A step is free if a blank that begins at one of its cells meets no block and fits."""
    job = case("two trays")
    problem = build(job.project.parts, job.stock, job.project.shop, job.project.matches)
    found = arrays(problem)
    asked = blocked = 0
    for cls in range(len(found.directions)):
        table = found.classes[cls]
        rows = option_rows(found, cls)
        u1, u2 = int(table[k.C_U1]), int(table[k.C_U2])
        first = int(table[k.C_BLOCKS])
        nu = (u2 - u1) // FINE
        clear = Clear(found, cls, rows, nu, FINE)
        options = np.arange(len(rows), dtype=np.int32)[:: max(1, len(rows) // 4)]
        for v1 in (10, 30):
            (pattern,) = clear.numbered(v1, v1 + 1, WIDTH).tolist()
            (free,) = clear.free([[pattern]], options)
            for at, o in enumerate(options):
                for step in range(0, nu, 7):
                    starts = range(u1 + step * FINE, u1 + (step + 1) * FINE)
                    lists = [int(i) for i in rows[o, 3:5] if i >= 0]
                    able = any(
                        s + int(rows[o, 1]) <= u2
                        and _meets_none(found.blocks, found.lists[first + i], s, rows[o], v1)
                        for s in starts
                        for i in lists
                    )
                    assert free[at, step] == able
                    asked += 1
                    blocked += not able
    assert 0 < blocked < asked


def _meets_none(
    blocks: NDArray[np.int32], span: NDArray[np.int32], start: int, row: NDArray[np.int32], v1: int
) -> bool:
    return not any(
        u1 < start + int(row[1]) and u2 > start and w1 < v1 + WIDTH and w2 > v1
        for u1, w1, u2, w2, _ in blocks[int(span[0]) : int(span[1])].tolist()
    )

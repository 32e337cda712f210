"""What rectangles of a layout meet."""

from typing import Any, TypeAlias

from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel

Table: TypeAlias = NDArray[Any]


@kernel
def meets(blocks: Table, x1: int, y1: int, x2: int, y2: int) -> bool:
    """Return whether a rectangle overlaps one of ``blocks`` (x1, y1, x2, y2)."""
    for b in range(len(blocks)):
        beside = blocks[b, 0] >= x2 or blocks[b, 2] <= x1 or blocks[b, 1] >= y2
        if not beside and blocks[b, 3] > y1:
            return True
    return False

"""What strips hold that is worth keeping."""

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.kernels.jit import kernel
from nester.solve.kernels.larger import larger

Table: TypeAlias = NDArray[Any]


@kernel
def kept_most(
    lines: Table,
    row_kind: Table,
    kind_class: Table,
    widths: Table,
    low: int,
    last: int,
    fine: int,
    least: int,
) -> NDArray[np.int64]:
    """Return (kinds, u): what a strip of each kind holds up to each u, where it holds most.

    ``lines`` (v, u) are creditable cells of each u below each v. A strip of kind k begins in a step
    of ``fine`` rows from ``low`` on where ``row_kind`` (steps, classes) says k for its class
    ``kind_class[k]``; it is as wide as that class, or ``least``, and a step less a row more, and
    ends by ``last``.
    """
    length = lines.shape[1]
    found = np.zeros((len(kind_class), length + 1), np.int64)
    most = np.zeros((len(kind_class), length), np.int64)
    for step in range(len(row_kind)):
        for w in range(row_kind.shape[1]):
            kind = row_kind[step, w]
            for v in range(low + step * fine, low + (step + 1) * fine if kind >= 0 else 0):
                if v + widths[w] <= last:
                    far = min(last, v + max(int(widths[w]), least) + fine - 1)
                    for u in range(length):
                        held = lines[far, u] - lines[v, u]
                        most[kind, u] = larger(most[kind, u], held)
    for kind in range(len(kind_class)):
        for u in range(length):
            found[kind, u + 1] = found[kind, u] + most[kind, u]
    return found

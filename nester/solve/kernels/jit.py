"""How kernels are compiled: at their first call, kept for later runs, other threads let run."""

from collections.abc import Callable
from typing import Any, TypeVar

import numba as nb

Kernel = TypeVar("Kernel", bound=Callable[..., Any])


def kernel(function: Kernel) -> Kernel:
    """Return ``function`` compiled by numba.

    What was compiled is kept beside the source or, where that folder may not be written to, in the
    user's own cache folder; ``NUMBA_CACHE_DIR`` names another. Where there is no folder to write
    to at all, it is compiled anew in each run.
    """
    try:
        compiled: Kernel = nb.njit(cache=True, nogil=True)(function)
    except RuntimeError:
        compiled = nb.njit(nogil=True)(function)
    return compiled

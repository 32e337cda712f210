"""Whether the compiled kernels are at hand, or must be made first."""

from typing import Any

from nester.solve.kernels.beam import beam


def is_compiled() -> bool:
    """Return whether the search behind every first plan can start without being compiled.

    It can where this process compiled it, or where numba's cache holds it as its source is now, for
    this Python and this processor. What it calls is compiled and kept with it. The kernels of the
    bounds are not asked for: which of them a run needs depends on its stock. Nothing is compiled
    here.
    """
    search: Any = beam
    if getattr(search, "signatures", True):  # a plain function where numba is told not to compile
        return True
    index = getattr(search._cache, "_cache_file", None)
    if index is None:  # there is no folder to keep anything in
        return False
    machine = search.targetctx.codegen().magic_tuple()
    return any(entry[1] == machine for entry in index._load_index())

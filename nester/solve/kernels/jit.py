"""How kernels are compiled: at their first call, kept for later runs, other threads let run."""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import Any, TypeVar

import numba as nb

Kernel = TypeVar("Kernel", bound=Callable[..., Any])


def kernel(function: Kernel) -> Kernel:
    """Return ``function`` compiled by numba.

    What was compiled is kept beside the source or, where that folder may not be written to, in the
    user's own cache folder; ``NUMBA_CACHE_DIR`` names another. Where there is no folder to write
    to at all, it is compiled anew in each run.
    """
    return _compiled(function)


def _compiled(function: Kernel, **options: bool) -> Kernel:
    try:
        compiled: Kernel = nb.njit(cache=True, nogil=True, **options)(function)
    except RuntimeError:
        compiled = nb.njit(nogil=True, **options)(function)
    _stamp(compiled)
    _widen(compiled)
    return compiled


def _widen(compiled: Any) -> None:
    """Have whole numbers handed to a kernel by others in 64 bits.

    Otherwise numba compiles it anew for each width of number, and once more for each number that
    stands in the source: that was a quarter of the first run.
    """
    template = getattr(compiled, "get_call_template", None)
    if template is None:  # a plain function where numba is told not to compile
        return

    def widened(args: Sequence[Any], kws: Mapping[str, Any]) -> Any:
        return template([_wide(a) for a in args], {name: _wide(a) for name, a in kws.items()})

    compiled.get_call_template = widened


def _wide(kind: Any) -> Any:
    kind = nb.types.unliteral(kind)
    if isinstance(kind, nb.types.Integer) and kind.signed:
        return nb.types.int64
    return kind


def _stamp(compiled: Any) -> None:
    """Tie what is kept to the sources of all kernels.

    numba looks only at the file of the kernel itself; without this a change in a file whose
    functions are called from another would leave the old machine code in use. [stale-kernels]
    """
    index = getattr(getattr(compiled, "_cache", None), "_cache_file", None)
    if index is not None and hasattr(index, "_source_stamp"):
        index._source_stamp = (index._source_stamp, _digest())


def leaf(function: Kernel) -> Kernel:
    """Return ``function`` compiled as a kernel that makes no array and hands none back.

    Nothing counts then who still holds the arrays that it is given, which took half of the time of
    the beam search: each count is one of those operations that processors wait for. Only kernels
    may call it: what Python would need for that takes as long to compile as some leaves do.
    """
    return _compiled(function, _nrt=False, no_cpython_wrapper=True)


def inlined(function: Kernel) -> Kernel:
    """Return ``function`` compiled as a leaf that becomes a part of whatever calls it.

    An array is handed over as some ten numbers, so where several are handed to a few comparisons
    the call is most of the time. Compiling takes longer for each place it is called at.
    """
    return _compiled(function, _nrt=False, no_cpython_wrapper=True, forceinline=True)


@cache
def _digest() -> str:
    sources = {f.name: f.read_bytes() for f in files(__package__).iterdir() if f.is_file()}
    return hashlib.sha256(repr(sorted(sources.items())).encode()).hexdigest()


@leaf
def wide(value: int) -> int:
    """Return a number out of a table in the 64 bits that numbers have elsewhere."""
    return int(value) + 0

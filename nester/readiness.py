"""Getting the solver ready for this machine, on two cores where it must be compiled."""

import os
import subprocess
import sys
from collections.abc import Callable
from functools import cache

from nester.solve.kernels.cache import is_compiled
from nester.solve.warm import warm_beside, warm_bounds, warm_counted, warm_plates, warm_search

_LATER: "list[subprocess.Popen[bytes] | None]" = []
"""Processes that nobody waits for; they end by themselves."""


@cache
def get_ready() -> None:
    """Compile or load every kernel, before a run's clock starts; once in a process.

    Where they must be compiled, those of the bounds and some of the search are meanwhile compiled
    by a process of their own and loaded from where it kept them: numba compiles only one at a time
    in a process.
    """
    beside = None if is_compiled() else _compile_beside(warm_beside)
    warm_search()
    if beside is not None:
        beside.wait()
        # What is needed late, if at all, is compiled while the first plan is made.
        _LATER.append(_compile_beside(warm_counted))
    warm_bounds()


@cache
def get_plates_ready() -> None:
    """The same for the kernels that only sheets need whose offcuts earn nothing."""
    warm_plates()


def _compile_beside(warm: Callable[[], None]) -> "subprocess.Popen[bytes] | None":
    """Start a process that gets its share of kernels ready; None where there is nothing to win."""
    if (os.cpu_count() or 1) < 2 or not sys.executable:
        return None
    code = f"from {warm.__module__} import {warm.__name__} as warm; warm()"
    try:
        return subprocess.Popen(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
    except OSError:
        return None

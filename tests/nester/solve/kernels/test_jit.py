"""How kernels call each other."""

import numpy as np

from nester.solve.kernels.jit import kernel


def test_numbers_of_any_width_are_handed_on_in_one() -> None:
    """A kernel is compiled once for numbers of any table, of the source, and sums of them."""

    @kernel
    def half(number: int) -> int:
        return number // 2

    @kernel
    def halves(short: np.ndarray, middle: np.ndarray) -> int:
        return half(short[0]) + half(middle[0]) + half(7) + half(number=short[0] + middle[0])

    assert halves(np.array([300], np.int16), np.array([-5], np.int32)) == 150 - 3 + 3 + 147
    assert len(getattr(half, "signatures", [half])) == 1

"""The larger of two numbers, as Python has it."""

import numpy as np

from nester.solve.kernels.larger import larger
from tests.nester.solve.kernels.outside import outside


def test_it_is_the_larger_one() -> None:
    """Below nought, at it and above, whichever comes first."""
    call = outside(larger)
    rng = np.random.default_rng(0)
    numbers = [0.0, 1.0, -1.0, *rng.normal(size=20).tolist()]
    for one in numbers:
        for other in numbers:
            assert call(one, other) == max(one, other)

"""Layouts that a master programme is offered: what they give and what that costs."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from nester.solve.rows import Row


@dataclass(frozen=True, slots=True, eq=False)
class Proposal:
    """Blanks of one piece of a group of like stock, and what that costs [ticks].

    ``row`` is how it is cut, where that is known, in the terms of its maker.
    """

    group: int
    counts: NDArray[np.int64]
    cost: int
    row: Row | None = None


class Proposing(Protocol):
    """Prices every group: what is proposed at prices [ticks] for the copies still wanted."""

    def __call__(
        self, prices: NDArray[np.int64], wanted: NDArray[np.int64]
    ) -> Iterable[Proposal]: ...

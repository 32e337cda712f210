"""The records of a planning problem. Sizes are whole grid cells, money is whole ticks.

Cells count from end A and from the near edge. A block is a half-open rectangle of cells
``(x1, y1, x2, y2)`` that a blank may not reach into.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.problem.choice import Choice, Glue, Together
from nester.problem.excuses import Excuse
from nester.problem.inner import Inner

StockIdx: TypeAlias = int
DemandIdx: TypeAlias = int

Blocks: TypeAlias = NDArray[np.int32]
"""Shape (n, 4): x1, y1, x2, y2 of each block [cells]."""


@dataclass(frozen=True, slots=True)
class Demand:
    """``copies`` equal blanks, for the copies of one or more parts that need the same.

    ``parts`` names them with their copies, in the order in which blanks are handed out; the copies
    that matches take come before them, as many as ``taken`` says of each (empty: none).
    ``area`` is the finished area of one copy [1/320 mm squared]. ``size`` counts the parts in one
    blank; a strip of a glued-up panel is none yet.
    """

    parts: tuple[tuple[str, int], ...]
    copies: int
    area: int
    taken: tuple[int, ...] = ()
    size: int = 1


@dataclass(frozen=True, slots=True)
class Option:
    """One way for a stock item to give a blank: ``length`` along x, ``width`` across [cells].

    ``shows`` lists the block lists (indices into ``StockItem.blocks``) of which one must be kept
    clear, with whether face B then shows. ``reversed`` says of each whether the part is then turned
    end for end; empty: it never is. ``inner`` says how a blank of several parts is parted. It may
    be made no wider than ``most``; 0: as wide as one likes.
    """

    demand: DemandIdx
    length: int
    width: int
    turned: bool
    shows: tuple[tuple[int, bool], ...]
    reversed: tuple[bool, ...] = ()
    inner: Inner | None = None
    most: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class StockItem:
    """A board or sheet as the solver sees it.

    ``nx`` by ``ny`` whole cells, of which blanks may use x from ``x0`` to ``x1``. ``near[l]`` cells
    are lost at the near edge of a piece ``l`` cells long before blanks are taken from it. Far
    edges, tapers and flaws are in ``blocks``; ``excuses`` gives for each list the rows that a blank
    may lie over all the same, and where (lists past its end have none). ``kx`` and ``ky`` are the
    kerfs of crosscuts and rips. ``first_x`` / ``first_y``: whether the first stage may be crosscuts
    / rips. ``stages`` is 0 where any number will do. ``rip_min``: pieces shorter than this, or than
    they are wide, are not ripped; -1: no such rule. ``off_length`` and ``off_width``: from which
    size a leftover is an offcut, on sheets (``off_either``) either way round. ``credit[y, x]``
    counts the creditable cells below and left of a corner, so four of them give a rectangle's.
    ``metal``: blocks that no kerf may reach into. ``value`` is the price of one piece and
    ``cell_credit`` what a creditable cell gives back [ticks].
    ``beyond``: at most so many cells' worth of wood lies beyond the last whole cells.
    ``square``: its edges are parallel and nothing lies beyond the last whole cells; ``far`` is then
    how far blanks may reach across it, else -1.
    """

    id: str
    board: bool
    count: int
    nx: int
    ny: int
    x0: int
    x1: int
    kx: int
    ky: int
    near: NDArray[np.int32]
    blocks: tuple[Blocks, ...]
    metal: Blocks
    options: tuple[Option, ...]
    first_x: bool
    first_y: bool
    stages: int
    rip_min: int
    off_length: int
    off_width: int
    off_either: bool
    credit: NDArray[np.int32]
    beyond: int
    square: bool
    far: int
    value: int
    cell_credit: int
    excuses: tuple[tuple[tuple[int, Excuse], ...], ...] = ()

    @property
    def rip_width(self) -> int:
        """How wide a piece may be when it comes to the rip saw, its near loss included [cells]."""
        return self.ny if self.square else self.ny + 1


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Stock, demands and money, in whole numbers.

    ``ticks`` is how many ticks make one unit of money. Costs in ticks never exceed the true ones.
    Beside the copies that are always wanted, ``choices`` and ``glues`` ask for blanks as they are
    made; ``together`` says which should come from one piece of stock.
    """

    grid: int
    ticks: Fraction
    demands: tuple[Demand, ...]
    stock: tuple[StockItem, ...]
    choices: tuple[Choice, ...] = ()
    glues: tuple[Glue, ...] = ()
    together: tuple[Together, ...] = ()

    @property
    def corners_have_a_price(self) -> bool:
        """Whether corners are weighed against other costs, or come before them."""
        return any(c.penalty for c in self.choices) or any(t.penalty for t in self.together)

"""What the kernels of section pricing read: one record of tables for a class at given steps."""

from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

Ints: TypeAlias = NDArray[np.int32]
Ints2: TypeAlias = NDArray[np.int32]
"""A row for each blank, or shape (step, step)."""
Ints3: TypeAlias = NDArray[np.int32]
"""Shape (beginnings or ends, kind, step along u)."""
Bytes: TypeAlias = NDArray[np.uint8]


class SectionTables(NamedTuple):
    """The tables of ``bound.places`` and ``bound.earned``, which do not depend on prices.

    Numbers are plain ``int`` and ``bool``, arrays in C order: a kernel is compiled anew for each
    other make of the record.
    """

    nu: int
    """Steps along u."""
    nv: int
    """Steps across v."""
    row_kind: Ints2
    """``[v, w]``: the kind of a strip of width class ``w`` starting at v (-1: does not fit)."""
    row_news: Bytes
    """``[v]``: whether a kind may start at v that could not a step before."""
    strip_step: Ints
    """What each width class takes of v, kerf in it."""
    kind_first: Ints
    """Members of kind ``k`` are ``member[kind_first[k]:kind_first[k + 1]]``."""
    kind_class: Ints
    """The width class of each kind."""
    spare: Ints
    """Rows that a strip of each width class may be wider, at the most, and still be none of the
    next; -1: wide enough for a leftover it is always one of the next."""
    member: Ints
    """The option of each member."""
    starts: Bytes
    """``[u, m]``: may member ``m`` start at u? 0 no, 1 yes, 2 yes but not a step before."""
    news: Bytes
    """``[u, k]``: whether there is a 2 in the kind."""
    step_u: Ints
    """What each option takes of u, kerf in it."""
    first_v: Ints
    """``[l]``: where strips of a section ``l`` steps long begin."""
    credit: int
    """What a cell of a leftover earns."""
    off_u: int
    """The least steps of an offcut along u."""
    off_v: int
    """The least steps of an offcut across v."""
    least_u: int
    """Steps of the shortest blank."""
    fine_u: int
    """Cells a step along u."""
    fine_v: int
    """Cells a step across v."""
    kerf_u: int
    """Cells of a kerf across u."""
    sums: Ints2
    """``[u, v]``: creditable cells below both, in cells."""
    low_u: Ints
    """The first cell of a leftover that begins at each step along u."""
    high_u: Ints
    """The end of a leftover that ends at each step along u [cells]."""
    low_v: Ints
    """The first cell of a leftover that begins at each step across v."""
    high_v: Ints
    """The end of a leftover that ends at each step across v [cells]."""
    earned: Ints3
    """Creditable cells of a strip of each kind, up to where a leftover begins and where it ends."""
    broad: Ints3
    """The same where all spare rows are sound wood besides."""
    keeps_whole: bool
    """Whether an offcut of the whole width is wide enough to be kept."""
    whole: Ints2
    """Creditable cells of the whole width, up to where a leftover begins and where it ends."""

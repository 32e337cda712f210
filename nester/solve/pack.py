"""Filling stock with a set of blanks by beam search."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nester.problem import Problem
from nester.solve.arrays import Arrays
from nester.solve.columns import Column, column
from nester.solve.decode import Known, decode
from nester.solve.kernels.beam import beam
from nester.solve.plans import draft
from nester.solve.rows import cost
from nester.solve.slide import slid

MOST_ENDS = 6
"""Ends of a search that are worked out in full, to find the one with the best offcuts."""

MOST_SLID = 0.06
"""Layouts dearer than their limit by more than this share are not moved: it would gain nothing."""


@dataclass(frozen=True, slots=True)
class Manner:
    """How a beam search compares its nodes.

    ``width`` nodes are kept a level. ``bias`` > 0 prefers large blanks first, ``slack`` (a share of
    a mean stock item's value) damps the ratio early on. ``open_most`` kinds of new stock are tried
    at a time, in the order given. ``noise`` shakes the comparison. ``near_slack`` cells more are
    left at crooked edges, so that sections may grow. ``ahead`` says which leftovers too small for
    any blank left count at once as spent (``kernels.children.score``).
    """

    width: int
    bias: float = 0.0
    slack: float = 0.1
    open_most: int = 3
    near_slack: int = 0
    leave: bool = False
    noise: float = 0.0
    ahead: int = 1
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Packed:
    """What a beam search found: layouts, what they give, and the work it took [placings tried]."""

    columns: tuple[Column, ...]
    given: NDArray[np.int16]
    work: int


def pack(
    problem: Problem,
    found: Arrays,
    demand: NDArray[np.int16],
    weight: NDArray[np.float64],
    copies: NDArray[np.int16],
    order: NDArray[np.int32],
    manner: Manner,
    limit: float = np.inf,
) -> Packed:
    """Place ``demand`` into stock: ``copies`` of each item, opened in the ``order`` of classes.

    Searching goes on as long as what is spent stays under ``limit`` [ticks].
    """
    mean = float(np.mean([item.value for item in problem.stock])) if problem.stock else 0.0
    laid = replace(manner, slack=manner.slack * mean)
    record, ends, work = searched(found, demand, weight, copies, order, laid, limit, MOST_ENDS)
    known: Known = {}
    made: dict[int, Column] = {}
    tried = [_columns(problem, found, record, int(row), known, made) for row in ends]
    best = min(tried, key=lambda columns: draft(problem, columns).merit)
    if sum(column.cost for column in best) <= limit * (1 + MOST_SLID):
        best = [moved(problem, column) for column in best]
    return Packed(tuple(best), total(best, len(problem.demands)), work)


def searched(
    found: Arrays,
    demand: NDArray[np.int16],
    weight: NDArray[np.float64],
    copies: NDArray[np.int16],
    order: NDArray[np.int32],
    manner: Manner,
    limit: float = np.inf,
    most_ends: int = 1,
) -> tuple[NDArray[np.int32], NDArray[np.int32], int]:
    """Return what ``kernels.beam.beam`` finds; the slack of the manner is in ticks here."""
    record, ends, work = beam(
        found.classes,
        found.near,
        found.lists,
        found.blocks,
        found.metal,
        found.option_index,
        found.options,
        found.money,
        copies,
        order,
        demand,
        weight,
        manner.width,
        manner.bias,
        manner.slack,
        manner.open_most,
        manner.near_slack,
        int(manner.leave),
        manner.noise,
        manner.ahead,
        manner.seed,
        limit,
        most_ends,
    )
    return record, ends, int(work)


def _columns(
    problem: Problem,
    found: Arrays,
    record: NDArray[np.int32],
    end: int,
    known: Known,
    made: dict[int, Column],
) -> list[Column]:
    columns = []
    for cls, row in decode(record, end, found, problem.stock, known):
        if id(row) not in made:  # rows stay in what is known, so that no other gets the number
            made[id(row)] = column(problem, found.directions[cls].stock, row)
        columns.append(made[id(row)])
    return columns


def moved(problem: Problem, found: Column) -> Column:
    """Return the layout with its sections moved to where more is left to keep."""
    item = problem.stock[found.stock]
    row = slid(found.row, item)
    return found if row is found.row else replace(found, row=row, cost=cost(row, item))


def total(columns: Sequence[Column], demands: int) -> NDArray[np.int16]:
    """Return how many blanks of each demand the columns give together."""
    out = np.zeros(demands, np.int16)
    for each in columns:
        out += np.array(each.counts, np.int16)
    return out

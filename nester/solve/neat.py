"""How neat a plan is to saw: of plans that cost the same the neater one is taken."""

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from nester.problem import Problem
from nester.solve.columns import Column
from nester.solve.rows import Row, credit_cells, is_offcut, leftovers, usable

Neatness: TypeAlias = tuple[int, int, int, int]
"""Pieces of stock, fence settings, cuts, and how far what is kept lies scattered.

The smaller the neater, in this order.
"""


def neatness(problem: Problem, columns: Sequence[Column]) -> Neatness:
    """Return how neat layouts are to saw.

    A fence setting is a width that strips are ripped to, anywhere in the plan. Each piece of a row
    counts as one cut: what ends it. Offcuts count by the sum of the squares of their sound cells:
    one is worth more than two that are as large together, and more is worth more than less.
    """
    rows = [row for column in columns for row in _all(column.row)]
    widths = {end - start for row in rows if row.axis == "y" for start, end, _ in row.pieces}
    kept = sum(_kept(problem, column) for column in columns)
    return len(columns), len(widths), sum(len(row.pieces) for row in rows), -kept


def _kept(problem: Problem, column: Column) -> int:
    """Return the sum of the squares of the sound cells of a layout's offcuts."""
    item = problem.stock[column.stock]
    left = leftovers(column.row, usable(item), item)
    return sum(credit_cells(rect, item) ** 2 for rect in left if is_offcut(rect, item))


def _all(row: Row) -> Iterator[Row]:
    yield row
    for _, _, piece in row.pieces:
        if isinstance(piece, Row):
            yield from _all(piece)

"""How neat a plan is to saw: of plans that cost the same the neater one is taken."""

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from nester.solve.columns import Column
from nester.solve.rows import Row

Neatness: TypeAlias = tuple[int, int, int]
"""Pieces of stock, fence settings, cuts: the smaller the neater, in this order."""


def neatness(columns: Sequence[Column]) -> Neatness:
    """Return how neat layouts are to saw.

    A fence setting is a width that strips are ripped to, anywhere in the plan. Each piece of a row
    counts as one cut: what ends it.
    """
    rows = [row for column in columns for row in _all(column.row)]
    widths = {end - start for row in rows if row.axis == "y" for start, end, _ in row.pieces}
    return len(columns), len(widths), sum(len(row.pieces) for row in rows)


def _all(row: Row) -> Iterator[Row]:
    yield row
    for _, _, piece in row.pieces:
        if isinstance(piece, Row):
            yield from _all(piece)

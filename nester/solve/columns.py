"""Layouts of one stock item, as columns of the master problem."""

from dataclasses import dataclass

from nester.problem import Problem
from nester.solve.rows import Row, blanks, cost, usable


@dataclass(frozen=True, slots=True)
class Column:
    """A layout of one stock item: the blanks of each demand that it gives, and its cost [ticks]."""

    stock: int
    row: Row
    counts: tuple[int, ...]
    cost: int


def column(problem: Problem, stock: int, row: Row) -> Column:
    """Return the column of a layout."""
    item = problem.stock[stock]
    counts = [0] * len(problem.demands)
    for option, _ in blanks(row, usable(item)):
        counts[item.options[option].demand] += 1
    return Column(stock, row, tuple(counts), cost(row, item))

"""What rows beside a strip's blanks are worth with a leftover in it, by pencil.

Boards 6 in wide, a dollar for 6 sq in, half of it credited, no kerf; offcuts of 12 x 3 in are kept.
"""

import numpy as np
import pytest

from nester.problem import Problem, build
from nester.solve.arrays import arrays
from nester.solve.bound.counted_sections import CountedSectionPricer
from nester.solve.bound.earned import spare_rows
from nester.solve.bound.places import places
from nester.solve.bound.plain import PlainPricer
from nester.solve.bound.sections import SectionPricer
from tests.nester.maker import board, part, read, shop

NO_KERF = dict.fromkeys(("crosscut", "rip", "rough_rip", "sheet", "resaw"), "0")


def job(length: int, *parts: str) -> Problem:
    """Return the problem of one board so long [in]."""
    habits = shop(kerf=NO_KERF, offcut_credit=0.5, grid="1", tape="1", offcut_min=[12, 3])
    stock = board(length=str(length), price=length)
    project, items = read(stock, "".join(parts), habits)
    return build(project.parts, items, project.shop)


def test_a_spare_row_widens_the_leftover_that_is_there() -> None:
    """Two blanks of 24 x 5 at $14 leave 12 x 6 in: $28 and $6.

    One leaves 36 x 6: $14 and $18. So $34 is the most; a row as long as that beside two blanks
    would make it $36.
    """
    problem = job(60, part(length="24", width="5", count=2))
    found, prices = arrays(problem), np.array([int(14 * problem.ticks)], np.int64)
    cls = next(c for c, d in enumerate(found.directions) if not d.rip_first)
    (item,) = problem.stock
    for pricer in (
        SectionPricer(found, cls, item, 1, [(1, 1)]),
        PlainPricer(found, cls, item, 1, 1),
    ):
        assert float(pricer(prices).value / problem.ticks) == pytest.approx(34)


def test_so_it_does_where_copies_are_counted() -> None:
    """A board of 84 in: three blanks and 12 x 6 are worth $48, two and 36 x 6 are $46."""
    problem = job(84, part(length="24", width="5", count=2))
    found, prices = arrays(problem), np.array([int(14 * problem.ticks)], np.int64)
    cls = next(c for c, d in enumerate(found.directions) if not d.rip_first)
    (item,) = problem.stock
    free = SectionPricer(found, cls, item, 1, [(1, 1)])
    counted = CountedSectionPricer(found, cls, item, [2], [(1, 1)], 64)
    assert float(free(prices).value / problem.ticks) == pytest.approx(48)
    assert float(counted(prices).value / problem.ticks) == pytest.approx(46)


ROT = {"kind": "rot", "x": "0", "y": "10", "length": "48", "width": "1", "face": "both"}


def test_a_leftover_is_no_wider_than_its_strip_may_be() -> None:
    """A board of 60 x 11 in has rot from 10 in on, along the first 48 in: clear are 9 in there.

    A blank of 60 x 3 at $30 and beside it two of 24 x 5 at $40, their strip with 12 x 6 in of
    leftover: $116. A strip wider than that is not clear; 12 x 8 in would make it $118. Less are
    the two with a leftover in their strip and 60 x 6 in above it, $80 + $5 + $26, three of the long
    ones, and all with one of the short ones, whose place holds $18 at the most.
    """
    habits = shop(kerf=NO_KERF, offcut_credit=0.5, grid="1", tape="1", offcut_min=[12, 5])
    stock = board(width="11", price=110, flaws=[ROT])
    parts = (
        part("long", length="60", width="3"),
        part("wide", length="24", width="7"),
        part("short", length="24", width="5", count=2),
    )
    project, items = read(stock, "".join(parts), habits)
    problem = build(project.parts, items, project.shop)
    found, (item,) = arrays(problem), problem.stock
    worth = {(60, 3): 30, (24, 7): 0, (24, 5): 40}
    prices = np.zeros(3, np.int64)
    for option in item.options:
        prices[option.demand] = int(worth[option.length, option.width] * problem.ticks)
    cls = next(c for c, d in enumerate(found.directions) if not d.rip_first)
    pricer = SectionPricer(found, cls, item, 3, [(1, 1)])
    assert float(pricer(prices).value / problem.ticks) == pytest.approx(116)


def test_as_wide_as_the_next_class_a_strip_is_of_that() -> None:
    """Blanks 2, 3 and 5 in wide in a board of 6 in, leftovers 3 in wide.

    With a leftover a strip of the first is at least as wide as the second, which has a row to
    spare before it is as wide as the third, which has one before the edge.
    """
    problem = job(
        60,
        part("a", length="24", width="2"),
        part("b", length="24", width="3"),
        part("c", length="24", width="5"),
    )
    found = arrays(problem)
    cls = next(c for c, d in enumerate(found.directions) if not d.rip_first)
    tables = places(found, cls, 1, 1)
    assert spare_rows(tables, 6, 3).tolist() == [-1, 1, 1]
    # On a board of 3 in there is no row to spare, and no wider strip.
    assert spare_rows(tables, 3, 3).tolist() == [-1, 0, -1]

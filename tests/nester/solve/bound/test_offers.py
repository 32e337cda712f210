"""Which known layouts the master programme takes over."""

import numpy as np

from nester.solve.bound.offers import MOST, Offers
from nester.solve.columns import Column
from nester.solve.rows import Row

BARE = Row("x", ())


def offers(columns: list[Column]) -> Offers:
    """Return offers of boards 0 and 1, which are alike, and of board 2."""
    found = Offers({0: 0, 1: 0, 2: 1}, lambda column: np.array(column.counts, np.int64))
    found.more(columns)
    return found


def test_only_what_costs_less_than_its_blanks_are_worth() -> None:
    """With blanks at 0.4 and 0.3 of a board, one of each is worth a board of 0.65 but no other."""
    good = Column(2, BARE, (1, 1), 65)
    duals = np.array([0.4, 0.3, 0.0, 0.0])
    (found,) = offers([Column(0, BARE, (1, 0), 41), good, Column(1, BARE, (1, 1), 70)]).good(
        duals, 100.0
    )
    assert (found.group, found.cost, found.counts.tolist()) == (1, 65, [1, 1])
    # A dual of -0.1 says that there is no board 2 to spare.
    assert offers([good]).good(np.array([0.4, 0.3, 0.0, -0.1]), 100.0) == []


def test_the_best_of_each_kind_of_board() -> None:
    """No more than a few of a kind of board, the cheapest first; those forgotten are not told."""
    columns = [Column(i % 2, BARE, (2, 0), 50 + i) for i in range(8)]
    known = offers([*columns, Column(2, BARE, (0, 2), 59)])
    found = known.good(np.array([0.4, 0.3, 0.0, 0.0]), 100.0)
    assert [(offer.group, offer.cost) for offer in found] == [
        *((0, 50 + i) for i in range(MOST)),
        (1, 59),
    ]
    known.clear()
    assert known.good(np.array([0.4, 0.3, 0.0, 0.0]), 100.0) == []

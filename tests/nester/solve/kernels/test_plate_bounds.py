"""What parts of a plate are worth at the most: against the plate programme."""

from random import Random

import numpy as np

from nester.solve.kernels.plate import plate_values
from nester.solve.kernels.plate_bounds import around, contents, inside
from nester.solve.plate.pieces import Pieces, Wanted

NO_OFFCUTS = np.array([2**30, 2**30, 2**30, 2**30, 0, 0], np.int32)


def drawn(rng: Random) -> Pieces:
    """Return a small plate and pieces that fit it."""
    wanted = [
        Wanted(((rng.randint(2, 9), rng.randint(2, 8)),), rng.randint(1, 40), rng.randint(1, 4))
        for _ in range(4)
    ]
    return Pieces(rng.randint(10, 30), rng.randint(9, 24), wanted)


def test_without_limits_it_is_the_plate_programme() -> None:
    """On positions only, a plate is worth what Gilmore and Gomory's programme says cell by cell."""
    rng = Random(4)
    for _ in range(30):
        few = drawn(rng)
        ways = [((int(a), int(b)),) for a, b in zip(few.lengths, few.widths, strict=True)]
        wanted = [Wanted(way, int(v), 99) for way, v in zip(ways, few.values, strict=True)]
        pieces = Pieces(few.length, few.width, wanted)
        sorted_ways = pieces.ways(pieces.values)
        table = inside(*pieces.grid, *sorted_ways, pieces.copies, False)
        whole = plate_values(pieces.length, pieces.width, *sorted_ways[:3], 0, NO_OFFCUTS)
        assert (table == whole[np.ix_(pieces.xs, pieces.ys)]).all()
        counts = contents(table, *pieces.grid, *sorted_ways, len(pieces.values))
        assert counts @ pieces.values == table[-1, -1]


def test_limited_copies_are_felt() -> None:
    """One of 4 by 4 worth 16, wanted once, and scrap of 2 by 2 worth 1: 16 + 12 x 1 at the most.

    On 8 by 8 without limits it is 4 x 16. With them what is left, 48, holds twelve of the small.
    """
    pieces = Pieces(8, 8, [Wanted(((4, 4),), 16, 1), Wanted(((2, 2),), 1, 99)])
    ways = pieces.ways(pieces.values)
    assert inside(*pieces.grid, *ways, pieces.copies, False)[-1, -1] == 64
    assert inside(*pieces.grid, *ways, pieces.copies, True)[-1, -1] == 28


def test_what_is_around_an_empty_corner_is_the_plate() -> None:
    """Nothing in the corner leaves all that the plate is worth; a full plate leaves nothing."""
    rng = Random(6)
    for _ in range(30):
        pieces = drawn(rng)
        table = inside(*pieces.grid, *pieces.ways(pieces.values), pieces.copies, False)
        more = around(table, *pieces.grid)
        assert more[0, 0] == 0
        assert more[-1, -1] >= table[-1, -1]
        assert (np.diff(more, axis=0) >= 0).all()
        assert (np.diff(more, axis=1) >= 0).all()


def test_what_is_around_a_piece_by_hand() -> None:
    """A piece of 4 by 3 in 10 by 6, all pieces 4 by 3 worth 5: three more beside and above it."""
    pieces = Pieces(10, 6, [Wanted(((4, 3),), 5, 9)])
    table = inside(*pieces.grid, *pieces.ways(pieces.values), pieces.copies, False)
    more = around(table, *pieces.grid)
    assert more[pieces.floor_x[10 - 4], pieces.floor_y[6 - 3]] == 15

"""What parts of a plate are worth at the most: against sums by hand and the plate programme."""

from itertools import product
from random import Random

import numpy as np

from nester.solve.kernels.plate import plate_values
from nester.solve.kernels.plate_bounds import around, contents, inside, reached
from nester.solve.plate.pieces import Pieces, Wanted

NO_OFFCUTS = np.array([2**30, 2**30, 2**30, 2**30, 0, 0], np.int32)


def drawn(rng: Random) -> Pieces:
    """Return a small plate and pieces that fit it."""
    wanted = [
        Wanted(((rng.randint(2, 9), rng.randint(2, 8)),), rng.randint(1, 40), rng.randint(1, 4))
        for _ in range(4)
    ]
    return Pieces(rng.randint(10, 30), rng.randint(9, 24), wanted)


def test_which_lengths_are_sums_of_pieces() -> None:
    """Of two of 4 and one of 7: 0, 4, 7, 8, 11 and 15; 12 would take a third 4."""
    can = reached(np.array([4, 7], np.int32), np.array([2, 1], np.int32), 16)
    assert list(np.flatnonzero(can)) == [0, 4, 7, 8, 11, 15]


def test_sums_of_pieces_are_all_there() -> None:
    """For drawn lengths and copies, exactly the sums of all choices up to the length."""
    rng = Random(3)
    for _ in range(50):
        sizes = [rng.randint(1, 12) for _ in range(4)]
        copies = [rng.randint(1, 3) for _ in range(4)]
        full = rng.randint(5, 40)
        sums = {
            sum(n * size for n, size in zip(counts, sizes, strict=True))
            for counts in product(*(range(n + 1) for n in copies))
        }
        can = reached(np.array(sizes, np.int32), np.array(copies, np.int32), full)
        assert set(np.flatnonzero(can)) == {s for s in sums if s <= full}


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

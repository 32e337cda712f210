"""Layouts put together from halves: grown quickly, and all that could be better."""

from random import Random

import numpy as np

from nester.solve.plate.layouts import Grown, Search
from nester.solve.plate.pieces import Pieces, Wanted
from nester.solve.plate.prices import priced
from tests.nester.solve.plate.test_best import by_hand, worth


def drawn(rng: Random) -> tuple[int, int, list[Wanted]]:
    """Return a small plate and what is wanted of it."""
    wanted = [
        Wanted(((rng.randint(2, 7), rng.randint(2, 6)),), rng.randint(1, 40), rng.randint(1, 3))
        for _ in range(4)
    ]
    return rng.randint(8, 12), rng.randint(7, 11), wanted


def test_grown_layouts_are_worth_what_they_hold() -> None:
    """Quick layouts keep to the copies and are never worth more than the best there is."""
    rng = Random(2)
    met = 0
    for _ in range(40):
        length, width, wanted = drawn(rng)
        pieces = Pieces(length, width, wanted)
        grown = Grown(pieces, np.zeros(len(pieces.values), np.int64), 3)
        _, counts = grown.row(grown.at, len(wanted))
        assert worth(counts, wanted) == grown.best
        assert all(n <= want.copies for n, want in zip(counts, wanted, strict=True))
        best = by_hand(length, width, wanted)
        assert grown.best <= best
        met += grown.best == best
    assert met > 20


def test_more_kept_at_no_prices_finds_what_few_miss() -> None:
    """With many kept for each rectangle the best of a small plate is found."""
    rng = Random(9)
    for _ in range(20):
        length, width, wanted = drawn(rng)
        pieces = Pieces(length, width, wanted)
        grown = Grown(pieces, np.zeros(len(pieces.values), np.int64), 2000)
        assert grown.best == by_hand(length, width, wanted)


def test_prices_bound_the_plate() -> None:
    """What prices prove is never less than the best there is."""
    rng = Random(5)
    for _ in range(40):
        length, width, wanted = drawn(rng)
        pieces = Pieces(length, width, wanted)
        assert priced(pieces, lambda _: True).bound >= by_hand(length, width, wanted)


def test_a_search_goes_on_where_it_stood() -> None:
    """Whatever the pairs tried at a time, the end is the same, and no bound before it is lower."""
    rng = Random(11)
    for _ in range(20):
        length, width, wanted = drawn(rng)
        pieces = Pieces(length, width, wanted)
        prices = priced(pieces, lambda _: True)
        best = by_hand(length, width, wanted)
        for pairs in (1, 50, 10**9):
            search = Search(pieces, prices, 0, 100_000)
            while not search.ended:
                search.run(pairs)
                assert search.bound >= best
            assert (search.best, search.bound) == (best, best)


def test_many_kinds_and_copies_are_counted_right() -> None:
    """Forty kinds wanted up to 200 times take several words, and no count runs into the next.

    The plate holds 400 of them and each kind is wanted at least 161 times, so that some run out.
    """
    wanted = [Wanted(((2, 3),), 6 + i % 3, 200 - i) for i in range(40)]
    pieces = Pieces(40, 60, wanted)
    grown = Grown(pieces, np.zeros(40, np.int64), 2)
    assert len(grown.pad) > 4
    _, counts = grown.row(grown.at, 40)
    assert grown.best == worth(counts, wanted) > 0
    assert all(n <= want.copies for n, want in zip(counts, wanted, strict=True))
    assert any(n == want.copies for n, want in zip(counts, wanted, strict=True))

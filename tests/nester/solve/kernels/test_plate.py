"""The value of a plate: against brute force, and against published optima."""

from functools import cache
from random import Random

import numpy as np
import pytest

from nester.solve.kernels.plate import plate_counts, plate_values
from tests.benchmarks import numbers, published

NO_OFFCUTS = np.array([2**30, 2**30, 2**30, 2**30, 0, 0], np.int32)
Pieces = list[tuple[int, int, int]]
"""Length, width and value of each."""


def table(
    nx: int, ny: int, pieces: Pieces, credit: int = 0, off: "np.ndarray" = NO_OFFCUTS
) -> tuple["np.ndarray", tuple["np.ndarray", "np.ndarray", "np.ndarray"]]:
    """Return the table of best values, and the pieces as the kernel takes them."""
    lengths = np.array([p[0] for p in pieces], np.int32)
    widths = np.array([p[1] for p in pieces], np.int32)
    values = np.array([p[2] for p in pieces], np.int64)
    return plate_values(nx, ny, lengths, widths, values, credit, off), (lengths, widths, values)


GCUT = [
    # Unlimited copies, no turning, any number of stages. Instances: Beasley (1985), "Algorithms for
    # unconstrained two-dimensional guillotine cutting", J. Opl Res. Soc. 36(4), 297-306. Optima:
    # Cintra, Miyazawa, Wakabayashi and Xavier (2008), Eur. J. Opl Res. 191(1), 61-85.
    ("gcut1", 56460),
    ("gcut2", 60536),
    ("gcut3", 61036),
    ("gcut4", 61698),
    ("gcut5", 246000),
    ("gcut6", 238998),
    ("gcut7", 242567),
    ("gcut8", 246633),
]
GCUT_TURNED = [("gcut1", 58136), ("gcut2", 60611), ("gcut3", 61626), ("gcut5", 246000)]


def gcut(name: str) -> tuple[int, int, Pieces]:
    """Return the plate and the pieces of an instance."""
    _, nx, ny, *rest = numbers(published(f"knapsack/orlib_gcut/{name}.txt"))
    return nx, ny, list(zip(rest[::3], rest[1::3], rest[2::3], strict=True))


@pytest.mark.parametrize(("name", "optimum"), GCUT)
def test_published_optima(name: str, optimum: int) -> None:
    """The best value of Beasley's plates is the one that is published, and a layout has it."""
    nx, ny, pieces = gcut(name)
    best, arrays = table(nx, ny, pieces)
    assert best[nx, ny] == optimum
    owner = np.arange(len(pieces), dtype=np.int32)
    counts, credit = plate_counts(best, *arrays, owner, len(pieces), nx, ny)
    assert credit == 0
    assert sum(int(n) * value for n, (_, _, value) in zip(counts, pieces, strict=True)) == optimum


@pytest.mark.parametrize(("name", "optimum"), GCUT_TURNED)
def test_published_optima_with_turning(name: str, optimum: int) -> None:
    """The same where pieces may be turned."""
    nx, ny, pieces = gcut(name)
    best, _ = table(nx, ny, [*pieces, *((w, length, v) for length, w, v in pieces)])
    assert best[nx, ny] == optimum


def by_hand(nx: int, ny: int, pieces: Pieces, kerf: int, off: tuple[int, int], credit: int) -> int:
    """Return the best value of a plate, every cut with its kerf tried, leftovers credited."""

    @cache
    def value(x: int, y: int) -> int:
        if x <= 0 or y <= 0:
            return 0
        best = max((v for a, b, v in pieces if a <= x and b <= y), default=0)
        if credit and x >= off[0] and y >= off[1]:
            best = max(best, credit * x * y)
        for cut in range(1, x):
            best = max(best, value(cut, y) + value(x - cut - kerf, y))
        for cut in range(1, y):
            best = max(best, value(x, cut) + value(x, y - cut - kerf))
        return best

    return value(nx, ny)


@pytest.mark.parametrize("seed", range(40))
def test_against_brute_force(seed: int) -> None:
    """On tiny plates, kerf and offcuts and all, the table holds what trying every cut gives."""
    rng = Random(seed)
    nx, ny, kerf = rng.randint(4, 14), rng.randint(3, 11), rng.randint(0, 2)
    pieces = [
        (rng.randint(1, 8), rng.randint(1, 6), rng.randint(1, 30)) for _ in range(rng.randint(1, 4))
    ]
    off = (rng.randint(2, 8), rng.randint(1, 6))
    credit = rng.choice((0, 1))
    grown = [(a + kerf, b + kerf, v) for a, b, v in pieces]
    over = np.array([off[0] + kerf, off[1] + kerf, 2**30, 2**30, kerf, kerf], np.int32)
    best, arrays = table(nx + kerf, ny + kerf, grown, credit, over)
    found = int(best[-1, -1])
    assert found == by_hand(nx, ny, pieces, kerf, off, credit)
    owner = np.arange(len(pieces), dtype=np.int32)
    counts, left = plate_counts(best, *arrays, owner, len(pieces), nx + kerf, ny + kerf)
    total = sum(int(n) * value for n, (_, _, value) in zip(counts, pieces, strict=True))
    assert total + left == found


def test_the_table_only_grows() -> None:
    """A larger plate is never worth less, and two plates together never more than they are."""
    rng = Random(5)
    pieces = [(rng.randint(2, 9), rng.randint(2, 9), rng.randint(1, 50)) for _ in range(5)]
    best, _ = table(30, 25, pieces)
    assert (np.diff(best, axis=0) >= 0).all()
    assert (np.diff(best, axis=1) >= 0).all()
    for a in range(1, 30):
        assert (best[a] + best[30 - a] <= best[30]).all()


def test_a_piece_too_large_is_worth_nothing() -> None:
    """Where no piece fits, the plate is worth nothing."""
    best, _ = table(5, 5, [(6, 1, 10), (1, 6, 10)])
    assert not best.any()

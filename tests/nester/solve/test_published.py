"""Published problems, planned like any other: never better than the proven optimum, and as good.

A problem of packing the most valuable pieces becomes one of planning so: the plate is free, and for
every piece there is a plate of just its size that costs its value. Then what a plan costs is the
value of the pieces that are not cut from the plate.
"""

from collections import Counter
from pathlib import Path
from zipfile import ZipFile

import pytest

from nester.plan import Plan
from nester.solve.stop import AnyOf, GapAtMost, Stop
from tests.benchmarks import published
from tests.nester.maker import Complete, Rounds, board, part, planned, sheet, shop

NO_LOSSES = shop(
    tape=1,
    grid=1,
    kerf={"crosscut": 0, "rip": 0, "rough_rip": 0, "sheet": 0, "resaw": 0},
    sheet_stages="any",
    stages="any",
    offcut_credit=0,
)

# Christofides, N. and Whitlock, C. (1977), "An algorithm for two-dimensional cutting problems",
# Operations Research 25(1), 30-44, table 2: plate; length, width, copies and value of each piece.
CGCUT1 = (
    (15, 10),
    [
        (8, 4, 2, 66),
        (3, 7, 1, 35),
        (8, 2, 3, 24),
        (3, 4, 5, 17),
        (3, 3, 2, 11),
        (3, 2, 2, 8),
        (2, 1, 1, 2),
    ],
)
CGCUT2 = (
    (40, 70),
    [
        (21, 22, 1, 582),
        (31, 13, 1, 403),
        (9, 35, 3, 315),
        (9, 24, 3, 216),
        (30, 7, 2, 210),
        (11, 13, 3, 143),
        (10, 14, 1, 140),
        (14, 8, 3, 110),
        (12, 8, 3, 94),
        (13, 7, 3, 90),
    ],
)
CGCUT3 = (
    (40, 70),
    [
        (31, 43, 4, 500),
        (30, 41, 2, 480),
        (29, 39, 4, 460),
        (28, 38, 4, 440),
        (27, 37, 3, 420),
        (26, 36, 4, 410),
        (25, 35, 3, 400),
        (24, 34, 4, 380),
        (33, 23, 4, 360),
        (22, 32, 3, 340),
        (31, 21, 3, 320),
        (29, 18, 3, 300),
        (17, 27, 2, 280),
        (15, 24, 2, 240),
        (16, 25, 4, 260),
        (15, 24, 1, 240),
        (23, 14, 4, 220),
        (21, 12, 3, 180),
        (19, 11, 4, 160),
        (9, 17, 1, 140),
    ],
)
Knapsack = tuple[tuple[int, int], list[tuple[int, int, int, int]]]


def as_plan(problem: Knapsack, stop: Stop) -> tuple[Plan, int]:
    """Return the plan of a packing problem, and the value of the pieces on its plate."""
    (long, wide), pieces = problem
    habits = {"thickness": 10, "grain": "length"}
    stock = sheet("plate", length=long, width=wide, price=0, **habits)
    parts = ""
    for i, (length, width, copies, value) in enumerate(pieces):
        name = f"piece {i}"
        stock += sheet(name, length=length, width=width, price=value, count=copies, **habits)
        parts += part(
            name,
            length=length,
            width=width,
            thickness=10,
            material="plywood",
            count=copies,
            **{"from": ["plate", name]},
        )
    plan = planned(stock, parts, NO_LOSSES, stop, units="mm")
    assert not plan.missing
    bought = Counter(layout.stock for layout in plan.layouts)
    kept = sum(
        value * (copies - bought[f"piece {i}"]) for i, (_, _, copies, value) in enumerate(pieces)
    )
    return plan, kept


@pytest.mark.parametrize(
    ("problem", "optimum", "rounds"),
    [(CGCUT1, 244, 40), (CGCUT2, 2892, 40), (CGCUT3, 1860, 40)],
)
def test_christofides_and_whitlock(problem: Knapsack, optimum: int, rounds: int) -> None:
    """The optima of 1977 with limited copies, 244, 2892 and 1860, are never passed, and proven.

    All values are whole, so a bound that leaves less than one more than the optimum proves it.
    """
    plan, kept = as_plan(problem, AnyOf(GapAtMost(0.0), Rounds(rounds)))
    whole = sum(copies * value for _, _, copies, value in problem[1])
    assert kept <= optimum
    assert plan.cost == whole - kept
    assert plan.bound is not None
    assert whole - optimum - 1 < plan.bound <= whole - optimum


@pytest.mark.parametrize(
    ("problem", "optimum", "counts"),
    [
        (CGCUT1, 244, (2, 1, 1, 2, 1, 1, 0)),
        (CGCUT3, 1860, (0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 2, 0, 1, 0, 2, 4, 1)),
    ],
)
def test_pieces_of_a_published_optimum(
    problem: Knapsack, optimum: int, counts: tuple[int, ...]
) -> None:
    """Pieces that are worth the optimum together are sawn from the one plate."""
    (long, wide), pieces = problem
    assert sum(n * value for n, (_, _, _, value) in zip(counts, pieces, strict=True)) == optimum
    assert all(n <= copies for n, (_, _, copies, _) in zip(counts, pieces, strict=True))
    parts = "".join(
        part(f"piece {i}", length=a, width=b, thickness=10, material="plywood", count=n)
        for i, (n, (a, b, _, _)) in enumerate(zip(counts, pieces, strict=True))
        if n
    )
    plate = sheet(length=long, width=wide, thickness=10)
    plan = planned(plate, parts, NO_LOSSES, AnyOf(Complete(), Rounds(60)), units="mm")
    assert not plan.missing


def bins(capacity: int, sizes: list[int], count: int, stop: Stop) -> Plan:
    """Return the plan of a one-dimensional problem: parts as wide as the boards, $1 each."""
    stock = board(
        length=capacity,
        width=20,
        thickness=20,
        count=count,
        price=1,
        per="piece",
    )
    parts = "".join(
        part(f"size {size}", length=size, width=20, thickness=20, count=copies)
        for size, copies in sorted(Counter(sizes).items())
    )
    return planned(stock, parts, NO_LOSSES, stop, units="mm")


def test_a_worked_example_of_bin_packing() -> None:
    """Nine pieces into lengths of 100, after Martello and Toth (1990), Knapsack Problems, ch. 8.

    Sizes from memory; that four are needed shows without the book: they are 300 in all, so three
    would have to be full, but no other pieces make 30 with the 70.
    """
    sizes = [70, 60, 50, 33, 33, 33, 11, 7, 3]
    plan = bins(100, sizes, 9, AnyOf(GapAtMost(0.0), Rounds(60)))
    assert plan.cost == 4
    assert plan.bound is not None
    assert plan.bound <= 4


def scholl(name: str) -> tuple[int, list[int]]:
    """Return capacity and sizes of an instance of the first set."""
    archive = published("cuttingstock_1d/scholl/bin1data.zip")
    with ZipFile(archive) as zipped:
        member = next(n for n in zipped.namelist() if Path(n).stem == name)
        _, capacity, *sizes = (int(word) for word in zipped.read(member).split())
    return capacity, sizes


@pytest.mark.parametrize(("name", "optimum"), [("N1C1W1_A", 25), ("N1C1W4_A", 35)])
def test_fifty_pieces(name: str, optimum: int) -> None:
    """Scholl, Klein and Juergens (1997), Computers & OR 24(7), 627-645: fifty pieces.

    Proven optima after Delorme, Iori and Martello (2018), BPPLIB, Optimization Letters 12(2).
    """
    capacity, sizes = scholl(name)
    plan = bins(capacity, sizes, 50, AnyOf(GapAtMost(0.0), Rounds(30)))
    assert plan.bound is not None
    assert plan.bound <= optimum <= plan.cost
    assert plan.cost == optimum

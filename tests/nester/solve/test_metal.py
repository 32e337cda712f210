"""Near metal: a part that can be sawn clear of it is found, against trying every way to saw it."""

from collections.abc import Iterator
from itertools import product
from random import Random

import pytest

from tests.nester.maker import Rounds, blanks, board, part, planned, sheet, shop

SHOP = {"grid": 1, "tape": 1, "flaw_margin": 0, "offcut_min": [6, 2], "sheet_offcut_min": [6, 2]}
KERF = {"crosscut": 1, "rip": 1, "rough_rip": 1, "sheet": 1, "resaw": 1}
NAIL = {"kind": "metal", "length": "1/8", "width": "1/8"}

Zone = tuple[int, int, int, int]


def saw_lines(low: int, high: int, size: int) -> Iterator[tuple[int, int]]:
    """Yield where a piece of at least ``size`` may lie in a longer one, a kerf of 1 at each cut."""
    for start in range(low, high - size + 1):
        for end in range(start + size, high + 1):
            yield start, end


def clear(zones: list[Zone], x1: int, y1: int, x2: int, y2: int) -> bool:
    """Whether a rectangle reaches into no zone."""
    return not any(a < x2 and c > x1 and b < y2 and d > y1 for a, b, c, d in zones)


def sawn_out(length: int, width: int, a: int, b: int, nails: list[Zone], near: list[Zone]) -> bool:
    """Whether crosscuts, rips and crosscuts give a blank of a by b, no kerf in ``near``."""
    for s, e in saw_lines(0, length, a):
        if s and not clear(near, s - 1, 0, s, width):
            continue
        if e < length and not clear(near, e, 0, e + 1, width):
            continue
        for p in range(width - b + 1):
            q = p + b
            if p and not clear(near, s, p - 1, e, p):
                continue
            if q < width and not clear(near, s, q, e, q + 1):
                continue
            for u in range(s, e - a + 1):
                before = u == s or clear(near, u - 1, p, u, q)
                after = u + a == e or clear(near, u + a, p, u + a + 1, q)
                if before and after and clear(nails, u, p, u + a, q):
                    return True
    return False


@pytest.mark.parametrize("first", range(0, 60, 10))
def test_one_part_among_nails(first: int) -> None:
    """Where trying everything finds no way the part is missing; where it does it mostly is not.

    The search moves a blank along or across, seldom both, so a hard case now and then escapes it.
    """
    ways, missed = set(), 0
    for seed in range(first, first + 10):
        rng = Random(seed)
        length, width = rng.randint(10, 20), rng.randint(3, 9)
        a, b, reach = rng.randint(3, 8), rng.randint(1, min(width, 5)), rng.randint(1, 2)
        spots = [(rng.randrange(length), rng.randrange(width)) for _ in range(rng.randint(1, 3))]
        nails = [(x, y, x + 1, y + 1) for x, y in spots]
        near = [(x - reach, y - reach, c + reach, d + reach) for x, y, c, d in nails]
        habits = shop(**SHOP, kerf=KERF, metal_clear=reach)
        flaws = [{**NAIL, "x": x, "y": y} for x, y in spots]
        stock = board(length=length, width=width, flaws=flaws)
        plan = planned(stock, part(length=a, width=b), habits, Rounds(3))
        found = sawn_out(length, width, a, b, nails, near)
        ways.add(found)
        assert len(blanks(plan)) <= found, f"case {seed}"
        missed += found and not blanks(plan)
    assert ways == {False, True}
    assert missed <= 1


@pytest.mark.parametrize(
    "stock",
    [
        board(length=60, width=10, ends="rough", edges="rough", flaws=[{**NAIL, "x": 4, "y": 0}]),
        board(length=60, width=10, crook="1/2", edges="rough", flaws=[{**NAIL, "x": 4, "y": 0}]),
        board(length=60, width=10, flaws=[{**NAIL, "x": x, "y": 5} for x in (9, 22)]),
    ],
)
def test_nails_in_a_board(stock: str) -> None:
    """With metal by one end or in two places, clear wood beyond it is still reached."""
    plan = planned(stock, part(length=10, width=4, count=3), shop())
    assert len(blanks(plan)) == 3


@pytest.mark.parametrize(("x", "y"), list(product((0, 4, 23, 47), (0, 11, 23))))
def test_a_nail_anywhere_in_a_sheet(x: int, y: int) -> None:
    """One nail never keeps four small parts out of a sheet."""
    stock = sheet(length=48, width=24, flaws=[{**NAIL, "x": x, "y": y}])
    plan = planned(stock, part(material="plywood", length=10, width=4, count=4), shop())
    assert len(blanks(plan)) == 4

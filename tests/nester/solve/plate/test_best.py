"""The best layout of a plate with limited copies: against every cut there is, and as published."""

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from nester.solve.plate.best import Best, Looking, best_plate
from nester.solve.plate.pieces import Wanted
from nester.solve.rows import Blank, Rect, Row
from tests.benchmarks import numbers, published

Counts = tuple[int, ...]


def by_hand(length: int, width: int, wanted: list[Wanted]) -> int:
    """Return the best value over all sets of pieces that any cuts of the plate can give."""
    none = (0,) * len(wanted)

    @cache
    def given(x: int, y: int) -> frozenset[Counts]:
        found = {none}
        for i, want in enumerate(wanted):
            if want.copies and any(a <= x and b <= y for a, b in want.ways):
                found.add((*none[:i], 1, *none[i + 1 :]))
        for cut in range(1, x // 2 + 1):
            found |= both(given(cut, y), given(x - cut, y))
        for cut in range(1, y // 2 + 1):
            found |= both(given(x, cut), given(x, y - cut))
        return frozenset(found)

    def both(one: frozenset[Counts], two: frozenset[Counts]) -> set[Counts]:
        sums = {tuple(p + q for p, q in zip(a, b, strict=True)) for a in one for b in two}
        return {s for s in sums if all(n <= w.copies for n, w in zip(s, wanted, strict=True))}

    return max(worth(counts, wanted) for counts in given(length, width))


def worth(counts: Counts, wanted: list[Wanted]) -> int:
    """Return what some pieces are worth."""
    return sum(n * want.value for n, want in zip(counts, wanted, strict=True))


def placed(row: Row, rect: Rect) -> Iterator[tuple[int, Rect]]:
    """Yield every blank and its rectangle; pieces must lie in order within their row."""
    low, high = (rect[0], rect[2]) if row.axis == "x" else (rect[1], rect[3])
    at = low
    for start, end, piece in row.pieces:
        assert at <= start < end <= high
        at = end
        x1, y1, x2, y2 = rect
        box = (start, y1, end, y2) if row.axis == "x" else (x1, start, x2, end)
        if isinstance(piece, Blank):
            yield piece.option, box
        else:
            yield from placed(piece, box)


def measured(found: Best, length: int, width: int, wanted: list[Wanted]) -> None:
    """Assert that the layout is one of this plate, and worth and counts are what it holds."""
    held: Counter[int] = Counter()
    for option, (x1, y1, x2, y2) in placed(found.row, (0, 0, length, width)):
        assert (x2 - x1, y2 - y1) in wanted[option].ways
        held[option] += 1
    assert found.counts == tuple(held[i] for i in range(len(wanted)))
    assert all(n <= want.copies for n, want in zip(found.counts, wanted, strict=True))
    assert worth(found.counts, wanted) == found.value <= found.bound


def to_the_end(_: int) -> bool:
    """Always look further."""
    return True


@st.composite
def blanks(draw: st.DrawFn) -> Wanted:
    """Draw a blank that may lie one way or two, worth its area or anything."""
    a, b = draw(st.integers(1, 7)), draw(st.integers(1, 7))
    value = draw(st.one_of(st.just(a * b), st.integers(0, 30)))
    ways = draw(st.sampled_from([((a, b),), ((a, b), (b, a))]))
    return Wanted(ways, value, draw(st.integers(0, 3)))


@given(st.integers(3, 11), st.integers(3, 10), st.lists(blanks(), min_size=1, max_size=4))
def test_against_every_cut_there_is(length: int, width: int, wanted: list[Wanted]) -> None:
    """On small plates the value is proven, the best of all, and the layout has it."""
    found = best_plate(length, width, wanted, to_the_end)
    measured(found, length, width, wanted)
    assert found.value == found.bound == by_hand(length, width, wanted)


NOTHING_LEFT = [Wanted(((1, 1),), 1, 0), Wanted(((1, 3),), 3, 2), Wanted(((3, 2),), 6, 1)]
"""On 4 by 3, where the best is known before the proof, which then finds nothing to try."""


@example(4, 3, NOTHING_LEFT)
@given(st.integers(3, 11), st.integers(3, 10), st.lists(blanks(), min_size=1, max_size=4))
def test_wherever_it_pauses_the_bound_is_true(
    length: int, width: int, wanted: list[Wanted]
) -> None:
    """It pauses as often as it can; each time the best of all lies between value and bound."""
    best = by_hand(length, width, wanted)
    looking = Looking(length, width, wanted)
    found = looking.on(lambda _: False)
    while looking.loose:
        measured(found, length, width, wanted)
        assert found.value <= best <= found.bound
        further = looking.on(lambda _: False)
        assert found.work < further.work
        assert (further.value, -further.bound) >= (found.value, -found.bound)
        found = further
    assert found.value == found.bound == best


OPTIMA = [
    # Limited copies, no turning, any number of stages: optima of Thomopulos (2016), PhD thesis,
    # University of Bologna, as restated in Becker (2022), PhD thesis, UFRGS, Porto Alegre.
    ("cgcut1", 244),
    ("CHL5", 390),
    ("OF2", 2690),
    ("cgcut3", 1860),
    ("A1s", 2950),
    ("STS2", 4620),
    ("HH", 11586),
    ("okp1", 27589),
    ("okp4", 32893),
    ("CW3", 5689),
    ("gcut8", 245758),
    ("Hchl3s", 12215),
]


def instance(name: str) -> tuple[int, int, list[Wanted]]:
    """Return the plate and what is wanted of it."""
    length, width, n, *rest = numbers(published(f"knapsack/fmt59_atp_vu/{name}.txt"))
    rows = [rest[4 * i : 4 * i + 4] for i in range(n)]
    return length, width, [Wanted(((a, b),), value, copies) for a, b, value, copies in rows]


@pytest.mark.parametrize(("name", "optimum"), OPTIMA)
def test_published_optima(name: str, optimum: int) -> None:
    """The optimum of plates of many authors is found and proven."""
    length, width, wanted = instance(name)
    found = best_plate(length, width, wanted, to_the_end)
    measured(found, length, width, wanted)
    assert (found.value, found.bound) == (optimum, optimum)


def test_a_kerf_is_part_of_every_size() -> None:
    """Two of 4 and a kerf of 1 take 9: so they need a plate of 9 and not of 8.

    Sizes with the kerf in them: blanks of 5 by 5, a plate of 10 or 9 by 5.
    """
    wanted = [Wanted(((5, 5),), 7, 3)]
    assert best_plate(10, 5, wanted, to_the_end).counts == (2,)
    assert best_plate(9, 5, wanted, to_the_end).counts == (1,)


def test_where_nothing_fits_there_is_nothing() -> None:
    """Blanks too long, not wanted, or worth nothing leave the plate whole."""
    wanted = [Wanted(((11, 1),), 5, 1), Wanted(((2, 2),), 5, 0), Wanted(((2, 2),), 0, 5)]
    found = best_plate(10, 10, wanted, to_the_end)
    assert (found.value, found.bound, found.counts) == (0, 0, (0, 0, 0))
    assert found.row.pieces == ()


def test_told_to_stop_it_proves_only_what_it_looked_at() -> None:
    """Stopped at once, it has a layout, and its bound is no lower than the published optimum.

    Instance Hchl8s of Cung, Hifi and Le Cun (2000); its optimum 911 as in ``OPTIMA``.
    """
    length, width, wanted = instance("Hchl8s")
    found = best_plate(length, width, wanted, lambda _: False)
    measured(found, length, width, wanted)
    assert 0 < found.value <= 911 <= found.bound
    assert found.value < found.bound


def test_out_of_memory_it_proves_only_what_it_looked_at() -> None:
    """With room for 3,000 layouts the proof is not had, and none is claimed."""
    length, width, wanted = instance("Hchl8s")
    found = best_plate(length, width, wanted, lambda work: work < 1_000_000, most=3000)
    measured(found, length, width, wanted)
    assert found.value <= 911 < found.bound


def test_the_same_again() -> None:
    """Twice the same question gives the same layout."""
    length, width, wanted = instance("STS2")
    assert best_plate(length, width, wanted, to_the_end) == best_plate(
        length, width, wanted, to_the_end
    )


SCRIPT = """
from nester.solve.plate.best import best_plate
from nester.solve.plate.pieces import Wanted
wanted = [Wanted(((7, 3), (3, 7)), 20, 2), Wanted(((5, 4),), 19, 3), Wanted(((2, 2),), 3, 9)]
print(best_plate(17, 11, wanted, lambda work: True))
"""


def test_it_does_not_depend_on_the_compiler() -> None:
    """With the compiler switched off the answer is the same, without a word of warning."""
    root = Path(__file__).resolve().parents[4]
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", SCRIPT],
        cwd=root,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "PYTHONPATH": str(root), "NUMBA_DISABLE_JIT": "1"},
    )
    assert done.returncode == 0, done.stderr
    wanted = [Wanted(((7, 3), (3, 7)), 20, 2), Wanted(((5, 4),), 19, 3), Wanted(((2, 2),), 3, 9)]
    assert done.stdout.strip() == str(best_plate(17, 11, wanted, to_the_end))

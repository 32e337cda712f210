"""One plate, the most valuable layout: pricing alone, without a plan around it.

gcut, copies without limit, both ways round: Beasley, J. E. (1985), JORS 36(4), 297-306; optima:
Cintra, G. F.; Miyazawa, F. K.; Wakabayashi, Y.; Xavier, E. C. (2008), EJOR 191(1), 61-85. Limited
copies: the 59 optima of Thomopulos, D. (2016), thesis, University of Bologna, restated in Becker,
H. (2022), thesis, UFRGS, Porto Alegre; P1 to P4: Velasco, A. S.; Uchoa, E. (2019), EJOR 272(1),
106-120, with bounds improved by Becker.

Copies without limit are the business of ``nester.solve.kernels.plate``, limited copies of
``nester.solve.plate``, whose layout is measured here piece by piece before its value counts.
"""

import time
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import NamedTuple

from nester.solve.rows import Blank, Row
from tests.bench.data import gcut_file, rows, valued_file
from tests.bench.measure import every, proven, settled
from tests.bench.plates import Plate
from tests.bench.records import BenchSet, Instance, Limits, Measure, Outcome
from tests.bench.run import fault_of

SOURCES = {"S1": "gcut", "S2": "59 optima", "S4": "P1 to P4"}


class Wanted(NamedTuple):
    """What a plate may give: a size [units], what one is worth, and how many count."""

    length: int
    width: int
    value: int
    copies: int | None  # None: without limit


MISPRINTS = {"okp2": 22502}
"""Optima that are given otherwise.

okp2 is listed as 22503, but the sizes and values in its file give no more than 22502 even where
cuts need not run through: a constraint programme (OR-Tools CP-SAT, no overlap) finds 22503
impossible within seconds. Without guillotine cuts 22502 is published, from memory, by Fekete, S.
P.; Schepers, J.; van der Veen, J. C. (2007), Operations Research 55(3), 569-587.
"""


class Found(NamedTuple):
    """A layout's worth, a proven bound from above, and the layout.

    A ``Blank.option`` in ``row`` counts into the list of what was wanted.
    """

    value: int
    bound: int
    row: Row


def unlimited(data: Path) -> list[Instance]:
    """Return the 13 gcut plates, both ways round."""
    return [
        Instance(_name(row), SOURCES["S1"], partial(run_free, data, row))
        for row in _listed(data)
        if row["demand"] == "unlimited"
    ]


def limited(data: Path) -> list[Instance]:
    """Return the 59 and the 80 plates of limited copies."""
    return [
        Instance(_name(row), SOURCES[row["source"]], partial(run_limited, data, row))
        for row in _listed(data)
        if row["demand"] != "unlimited"
    ]


def _listed(data: Path) -> list[dict[str, str]]:
    table = rows(data / "knapsack" / "values.csv")
    return [row for row in table if row["source"] in SOURCES and row["stages"] == "any"]


def _name(row: dict[str, str]) -> str:
    return row["instance"] + (", either way" if row["rotation"] == "1" else "")


def job(data: Path, row: dict[str, str]) -> tuple[Plate, list[Wanted]]:
    """Return the plate and what is wanted of it."""
    free = row["demand"] == "unlimited"
    plate, valued = (gcut_file if free else valued_file)(data / row["file"])
    return plate, [
        Wanted(item.length, item.width, value, None if free else item.copies)
        for item, value in valued
    ]


def run_free(data: Path, row: dict[str, str], instance: Instance, limits: Limits) -> Outcome:
    """Fill the table of one plate and take its last entry, which is the optimum.

    The pieces of a best layout are counted again, and must be worth as much.
    """
    plate, wanted = job(data, row)
    begun = time.monotonic()
    value, worth = best_value(plate, wanted, turn=row["rotation"] == "1")
    seconds = time.monotonic() - begun
    faults = () if worth == value else (f"the pieces are worth {worth}, the table says {value}",)
    return _outcome(row, instance, value, value, seconds, faults)


def best_value(plate: Plate, wanted: Sequence[Wanted], *, turn: bool) -> tuple[int, int]:
    """Return the value of the best layout, and what the pieces counted in it are worth."""
    import numpy as np

    from nester.solve.kernels.plate import plate_counts, plate_values

    ways = [(w.length, w.width, w.value, i) for i, w in enumerate(wanted)]
    if turn:
        ways += [(w.width, w.length, w.value, i) for i, w in enumerate(wanted)]
    lengths, widths, owners = (np.array([way[k] for way in ways], np.int32) for k in (0, 1, 3))
    values = np.array([way[2] for way in ways], np.int64)
    nx, ny = plate.length, plate.width
    table = plate_values(nx, ny, lengths, widths, values, 0, np.zeros(6, np.int32))
    counts, _ = plate_counts(table, lengths, widths, values, owners, len(wanted), nx, ny)
    worth = sum(w.value * int(count) for w, count in zip(wanted, counts, strict=True))
    return int(table[nx, ny]), worth


def run_limited(data: Path, row: dict[str, str], instance: Instance, limits: Limits) -> Outcome:
    """Look for the best layout of one plate and measure it."""
    plate, wanted = job(data, row)
    begun = time.monotonic()
    try:
        found = best_limited(plate, wanted, limits.seconds)
    except Exception as error:
        seconds = time.monotonic() - begun
        return _outcome(row, instance, None, None, seconds, (fault_of(error),))
    seconds = time.monotonic() - begun
    faults = tuple(broken_rules(plate, wanted, found))
    return _outcome(row, instance, found.value, found.bound, seconds, faults)


def best_limited(plate: Plate, wanted: Sequence[Wanted], seconds: float) -> Found:
    """Return the best layout that is found in so many seconds, on one core."""
    from nester.solve.plate import best, pieces

    end = time.monotonic() + seconds
    blanks = [pieces.Wanted(((w.length, w.width),), w.value, w.copies or 0) for w in wanted]
    found = best.best_plate(plate.length, plate.width, blanks, lambda work: time.monotonic() < end)
    return Found(found.value, found.bound, found.row)


def _outcome(
    row: dict[str, str],
    instance: Instance,
    value: int | None,
    bound: int | None,
    seconds: float,
    faults: tuple[str, ...],
) -> Outcome:
    low, high = row["best_value"], row["upper_bound"]
    words = low if low == high else f"{low} to {high}"
    if row["instance"] in MISPRINTS:
        low = high = str(MISPRINTS[row["instance"]])
        words = f"{low}; given as {words}"
    status = "feasible"
    if value is None or bound is None:
        status = "broken"
    elif value >= bound:
        status = "optimal"
    return Outcome(
        name=instance.name,
        group=instance.group,
        cost=None if value is None else Fraction(value),
        bound=None if bound is None else Fraction(bound),
        known=Fraction(low),
        lower=Fraction(high),
        seconds=seconds,
        status=status,
        words=words,
        faults=faults,
        most=True,
    )


def broken_rules(plate: Plate, wanted: Sequence[Wanted], found: Found) -> Iterator[str]:
    """Yield what is wrong with a layout: sizes, copies, its value."""
    given: Counter[int] = Counter()
    for option, (x1, y1, x2, y2) in _blanks(found.row, (0, 0, plate.length, plate.width)):
        item = wanted[option]
        given[option] += 1
        if x2 - x1 < item.length or y2 - y1 < item.width:
            yield f"item {option} has only {x2 - x1} by {y2 - y1}"
    yield from _crossings(found.row, (0, 0, plate.length, plate.width))
    for option, count in given.items():
        most = wanted[option].copies
        if most is not None and count > most:
            yield f"item {option} is taken {count} times, {most} count"
    value = sum(wanted[option].value * count for option, count in given.items())
    if value != found.value:
        yield f"the layout is worth {value}, not {found.value}"


Rect = tuple[int, int, int, int]


def _blanks(row: Row, rect: Rect) -> Iterator[tuple[int, Rect]]:
    for start, end, piece in row.pieces:
        box = _box(rect, row.axis, start, end)
        if isinstance(piece, Blank):
            yield piece.option, box
        else:
            yield from _blanks(piece, box)


def _crossings(row: Row, rect: Rect) -> Iterator[str]:
    low, high = (rect[0], rect[2]) if row.axis == "x" else (rect[1], rect[3])
    at = low
    for start, end, piece in row.pieces:
        if start < at or end > high or end <= start:
            yield f"a piece from {start} to {end} of {row.axis} does not lie in its row"
        at = end
        if isinstance(piece, Row):
            yield from _crossings(piece, _box(rect, row.axis, start, end))


def _box(rect: Rect, axis: str, start: int, end: int) -> Rect:
    if axis == "x":
        return (start, rect[1], end, rect[3])
    return (rect[0], start, rect[2], end)


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return how many optima are met, for each of the three sources."""
    found = []
    for group in SOURCES.values():
        chosen = [o for o in outcomes if o.group == group]
        closed = settled(chosen)
        if closed:
            met = sum(o.reached for o in closed)
            figure = every(f"{group}: published optimum met", met, len(closed))
            asked = group == SOURCES["S1"]
            found.append(figure if asked else Measure(figure.what, figure.found))
        rest = [o for o in chosen if o not in closed]
        if rest:
            met = sum(o.reached for o in rest)
            words = f"{group}: best published value met, where open"
            found.append(Measure(words, f"{met} of {len(rest)}"))
    return [*found, proven(outcomes)]


SETS = (
    BenchSet("kernel", "One plate, most value, copies without limit", unlimited, measures),
    BenchSet(
        "kernel-limited",
        "One plate, most value, limited copies",
        limited,
        measures,
        families=("kernel",),
    ),
)

"""What comes next where no board gives a whole match in one blank: the longest runs that are had.

The runs are sought one by one, flaws and what other parts take apart, as the whole match is.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from inventory.formatter import Formatter
from inventory.length import Length
from inventory.stock import Board, Stock
from nester.blanks import needed, refusal
from nester.check.composites import RESAWN, RunRow, mm_of
from nester.check.runs import blank_of, line_of, longest_first, rows_of
from nester.model import How, Match, Part, Project, Shop
from nester.problem.matches import sequences_of
from nester.problem.shapes import Row
from nester.reasons.glued import as_strip
from nester.table import safe

Found = tuple[Length, Length, str]
"""The length and width of a blank, and the stock that is the longest that may give it."""

Run = tuple[int, int]
"""Where a run begins in the order of its match, and how many of its parts it has."""


@dataclass(frozen=True, slots=True)
class LesserRun:
    """A run of some parts of a match: their names, its blank, and the longest stock for it.

    For a part alone it is the part's own blank, or that of a strip, as milled by itself.
    """

    parts: tuple[str, ...]
    length: Length
    width: Length
    best: str


@dataclass(frozen=True, slots=True)
class Lesser:
    """The runs that a match is had in with the most corners; ``broken`` are those that are not.

    ``corners`` are those of one set.
    """

    match: str
    runs: tuple[LesserRun, ...]
    corners: int
    broken: tuple[tuple[str, str], ...]


def lesser_runs(project: Project, stock: Sequence[Stock], whole: Sequence[RunRow]) -> list[Lesser]:
    """Return the next best of each match that no stock gives in one blank, nor as two leaves.

    ``whole`` are the rows of the whole matches (``nester.check.runs``). A match that is required
    has no next best, and one with a part that no stock gives has none to tell.
    """
    had = {row.match for row in whole if row.best is not None}
    parts = {part.name: part for part in project.parts}
    sequences = sequences_of(project.matches, project.parts)
    asked = {row.match for row in whole if row.way != RESAWN} - had
    ordered = longest_first(stock, project.shop) if asked else []
    found = []
    for match in project.matches:
        rows = rows_of(match, parts, sequences)
        if match.name not in asked or match.required or rows is None:
            continue
        if match.how is not How.STACK and all(p.glue_up for row in rows for p in row.parts):
            continue  # one long panel may give it
        lesser = _lesser(match, rows, ordered, project.shop)
        found += [lesser] if lesser is not None else []
    return found


def _lesser(match: Match, rows: Sequence[Row], stock: Sequence[Stock], shop: Shop) -> Lesser | None:
    n = len(rows)
    known: dict[tuple[Row, ...], Found | None] = {}

    def found(run: Run) -> Found | None:
        own = tuple(rows[(run[0] + i) % n] for i in range(run[1]))
        if own not in known:
            known[own] = _found(match, own, stock, shop)
        return known[own]

    ring = match.how is How.WRAP
    chosen = fewest_runs(n, ring, lambda run: found(run) is not None)
    if chosen is None:
        return None
    runs = []
    for start, count in chosen:
        blank = found((start, count))
        assert blank is not None
        names = tuple(match.parts[(start + i) % n] for i in range(count))
        runs.append(LesserRun(names, *blank))
    ends = [(start + count - 1) % n for start, count in chosen]
    broken = [(match.parts[i], match.parts[(i + 1) % n]) for i in ends if ring or i < n - 1]
    return Lesser(match.name, tuple(runs), n if ring else n - 1, tuple(broken))


def _found(match: Match, rows: Sequence[Row], stock: Sequence[Stock], shop: Shop) -> Found | None:
    """Return the blank of some rows of a match, and the longest stock for it."""
    if len(rows) == 1 and len(rows[0].parts) == 1:
        return _alone(rows[0].parts[0], stock, shop)
    return blank_of(line_of(match, rows), stock, shop)


def _alone(part: Part, stock: Sequence[Stock], shop: Shop) -> Found | None:
    """Return the blank of a part by itself, or of a strip of it, and the longest stock for it."""
    for item in stock:
        ways = [part]
        if part.glue_up is not None and isinstance(item, Board):
            ways.append(as_strip(part, item, shop))
        for one in ways:
            for way in needed(one, item, shop):
                if refusal(one, item, shop, way) is None:
                    return way.length, way.width, item.id
    return None


def fewest_runs(n: int, ring: bool, fits: Callable[[Run], bool]) -> list[Run] | None:
    """Return the fewest runs that ``n`` parts in order are had in; None where one is not had alone.

    A ``ring`` may be broken anywhere, and all of it in one begins with the first. What is part of a
    run that fits is taken to fit as well, so that from each part on the longest is grown only once.
    """
    longest: list[int] = []
    for start in range(n):
        room = n - (start if not ring else min(start, 1))
        count = max(1, longest[-1] - 1) if longest else 1
        if not fits((start, count)):
            return None
        while count < room and fits((start, count + 1)):
            count += 1
        longest.append(count)
    best: list[Run] | None = None
    for first in range(n if ring else 1):
        runs: list[Run] = []
        done = 0
        while done < n:
            start = (first + done) % n
            runs.append((start, min(longest[start], n - done)))
            done += runs[-1][1]
        if best is None or len(runs) < len(best):
            best = runs
    return best


def lesser_text(found: Sequence[Lesser], sizes: Formatter) -> str:
    """Return a line for each match that no board gives whole; empty where there is none."""
    return "\n".join(_line(one, sizes) for one in found)


def _line(one: Lesser, sizes: Formatter) -> str:
    name = safe(one.match)
    matched = one.corners - len(one.broken)
    if not matched:
        return f"{name}: no board gives even two of its parts in one blank, so no corner runs on"
    told = [
        f"{safe(', '.join(run.parts))} ({sizes.size(run.length, run.width)}, {run.best})"
        for run in one.runs
        if len(run.parts) > 1
    ]
    alone = [safe(run.parts[0]) for run in one.runs if len(run.parts) == 1]
    told += [f"{', '.join(alone)} alone"] if alone else []
    broken = ", ".join(f"{safe(a)} to {safe(b)}" for a, b in one.broken)
    return (
        f"{name}: no board gives all of it; next best, {matched} of {one.corners} corners: "
        f"{'; '.join(told)}. Broken: {broken}"
    )


def lesser_entry(one: Lesser) -> dict[str, object]:
    """Return the next best of a match as plain data, lengths in millimetres."""
    return {
        "match": one.match,
        "corners": one.corners,
        "matched": one.corners - len(one.broken),
        "broken": [list(pair) for pair in one.broken],
        "runs": [
            {
                "parts": list(run.parts),
                "length": mm_of(run.length),
                "width": mm_of(run.width),
                "longest": run.best,
            }
            for run in one.runs
        ],
    }

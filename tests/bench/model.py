"""The same job for OR-Tools' CP-SAT: a model that only says that nothing may overlap.

So it may find layouts that no saw can cut; where it is better, that may be why. It runs in a
process of its own, since OR-Tools and highspy each bring a HiGHS and do not get on in one:
``python -m tests.bench.model`` reads a job as JSON and writes a price.
"""

import json
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from importlib.util import find_spec
from typing import Any

from tests.bench.plates import Plate
from tests.bench.rivals import Packing

Rect = tuple[int, int, int, int]
"""x1, y1, x2, y2."""

GRACE = 60
"""Seconds beyond those of the search for building the model and taking it down."""


@dataclass(frozen=True, slots=True)
class Bin:
    """A plate that may be used once: its kind, size, price, and what must be kept clear."""

    kind: int
    length: int
    width: int
    price: int
    blocked: tuple[Rect, ...] = ()


def offered(plates: Sequence[Plate], best: Packing, rectangles: int) -> list[Bin]:
    """Return the bins that a packing no dearer than ``best`` may use."""
    return [
        Bin(k, plate.length, plate.width, plate.price)
        for k, plate in enumerate(plates)
        for _ in range(min(rectangles, best.price // plate.price))
    ]


def missing() -> str | None:
    """Return why there can be no CP-SAT here, or None."""
    if find_spec("ortools") is None:
        return "OR-Tools is not installed; it comes with the extra bench"
    return None


def cp_sat(
    bins: Sequence[Bin],
    sizes: Sequence[tuple[int, int]],
    *,
    turn: bool = False,
    kerf: int = 0,
    seconds: float,
    workers: int,
    start: Packing | None = None,
) -> int | None:
    """Return the price of the bins that CP-SAT packs everything into, None where it finds nothing.

    Rectangles stay a kerf apart, and out of what is blocked. ``start`` is given as a hint, its bins
    matched to ``bins`` of the same kind in order.
    """
    question = {
        "bins": [asdict(box) for box in bins],
        "sizes": sizes,
        "turn": turn,
        "kerf": kerf,
        "seconds": seconds,
        "workers": workers,
        "start": None if start is None else asdict(start),
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.model"],
        input=json.dumps(question),
        capture_output=True,
        text=True,
        check=False,
        timeout=seconds + GRACE,
    )
    if done.returncode:
        raise RuntimeError(f"CP-SAT failed: {done.stderr.strip().splitlines()[-1]}")
    price: int | None = json.loads(done.stdout)
    return price


def _answer(question: dict[str, Any]) -> int | None:
    start = question["start"]
    return _solved(
        [Bin(**box) for box in question["bins"]],
        question["sizes"],
        turn=question["turn"],
        kerf=question["kerf"],
        seconds=question["seconds"],
        workers=question["workers"],
        start=None if start is None else Packing(**start),
    )


def _solved(
    bins: Sequence[Bin],
    sizes: Sequence[tuple[int, int]],
    *,
    turn: bool,
    kerf: int,
    seconds: float,
    workers: int,
    start: Packing | None,
) -> int | None:
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    used = [model.new_bool_var("") for _ in bins]
    home = [[model.new_bool_var("") for _ in bins] for _ in sizes]
    lies = [model.new_bool_var("") if turn and w != h else 0 for w, h in sizes]
    at = [
        (
            model.new_int_var(0, max(b.length for b in bins), ""),
            model.new_int_var(0, max(b.width for b in bins), ""),
        )
        for _ in sizes
    ]
    ends = [_end(model, *size, *at[i], lies[i], bins) for i, size in enumerate(sizes)]
    for i, (length, width) in enumerate(sizes):
        model.add_exactly_one(home[i])
        for b, box in enumerate(bins):
            model.add_implication(home[i][b], used[b])
            if not _fits(length, width, box, turn):
                model.add(home[i][b] == 0)
    for b, box in enumerate(bins):
        shapes: list[tuple[Any, Any]] = []
        grown: list[tuple[Any, Any]] = []
        for i, (length, width) in enumerate(sizes):
            if not _fits(length, width, box, turn):
                continue
            along, across = ends[i]
            model.add(along[1] <= box.length).only_enforce_if(home[i][b])
            model.add(across[1] <= box.width).only_enforce_if(home[i][b])
            if box.blocked:
                shapes.append(_boxed(model, ends[i], 0, home[i][b]))
            grown.append(_boxed(model, ends[i], kerf, home[i][b]))
        for x1, y1, x2, y2 in box.blocked:
            shapes.append(
                (
                    model.new_fixed_size_interval_var(x1, x2 - x1, ""),
                    model.new_fixed_size_interval_var(y1, y2 - y1, ""),
                )
            )
        for pairs in (shapes, grown):
            if pairs:
                model.add_no_overlap_2d([x for x, _ in pairs], [y for _, y in pairs])
        room = (box.length + kerf) * (box.width + kerf)
        filled = sum(
            (length + kerf) * (width + kerf) * home[i][b] for i, (length, width) in enumerate(sizes)
        )
        model.add(filled <= room * used[b])
        if b and bins[b - 1] == box:
            model.add_implication(used[b], used[b - 1])
    model.minimize(sum(box.price * used[b] for b, box in enumerate(bins)))
    if start is not None:
        _hint(model, start, bins, used, home, at, lies)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    price: float = solver.objective_value
    return round(price)


def _fits(length: int, width: int, box: Bin, turn: bool) -> bool:
    if length <= box.length and width <= box.width:
        return True
    return turn and width <= box.length and length <= box.width


def _end(
    model: Any, length: int, width: int, x: Any, y: Any, lies: Any, bins: Sequence[Bin]
) -> tuple[tuple[Any, Any, Any], tuple[Any, Any, Any]]:
    """Return start, end and size of a rectangle along and across; each has one variable at most."""
    if isinstance(lies, int):
        return (x, x + length, length), (y, y + width, width)
    along = length + (width - length) * lies
    across = width + (length - width) * lies
    far_x = model.new_int_var(0, max(box.length for box in bins), "")
    far_y = model.new_int_var(0, max(box.width for box in bins), "")
    model.add(far_x == x + along)
    model.add(far_y == y + across)
    return (x, far_x, along), (y, far_y, across)


def _boxed(
    model: Any, span: tuple[tuple[Any, Any, Any], tuple[Any, Any, Any]], kerf: int, here: Any
) -> tuple[Any, Any]:
    """Return the intervals of a rectangle, grown by a kerf, that are there where ``here`` is."""
    (x, far_x, along), (y, far_y, across) = span
    return (
        model.new_optional_interval_var(x, along + kerf, far_x + kerf, here, ""),
        model.new_optional_interval_var(y, across + kerf, far_y + kerf, here, ""),
    )


def _hint(
    model: Any,
    start: Packing,
    bins: Sequence[Bin],
    used: Sequence[Any],
    home: Sequence[Sequence[Any]],
    at: Sequence[tuple[Any, Any]],
    lies: Sequence[Any],
) -> None:
    free = list(range(len(bins)))
    chosen = []
    for kind in start.bins:
        b = next(b for b in free if bins[b].kind == kind)
        free.remove(b)
        chosen.append(b)
    for b in range(len(bins)):
        model.add_hint(used[b], b in chosen)
    for i, (place, x, y, turned) in enumerate(start.places):
        for b in range(len(bins)):
            model.add_hint(home[i][b], b == chosen[place])
        model.add_hint(at[i][0], x)
        model.add_hint(at[i][1], y)
        if not isinstance(lies[i], int):
            model.add_hint(lies[i], turned)


if __name__ == "__main__":
    print(json.dumps(_answer(json.load(sys.stdin))))

"""Other means to the same end, for comparison: rectpack's packers, and a CP-SAT model.

rectpack keeps to straight cuts from edge to edge but knows no bounds. The CP-SAT model only says
that nothing may overlap, so it may find layouts that no saw can cut; where it is better, that may
be why.
"""

import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from tests.bench.plates import Item, Plate

Rect = tuple[int, int, int, int]
"""x1, y1, x2, y2."""


@dataclass(frozen=True, slots=True)
class Bin:
    """A plate that may be used once: its kind, size, price, and what must be kept clear."""

    kind: int
    length: int
    width: int
    price: int
    blocked: tuple[Rect, ...] = ()


@dataclass(frozen=True, slots=True)
class Packing:
    """What it costs and where things lie: (bin, x, y, turned) for each rectangle."""

    price: int
    places: tuple[tuple[int, int, int, bool], ...]
    bins: tuple[int, ...]
    """The kind of plate of each bin."""


def singles(items: Sequence[Item]) -> list[tuple[int, int]]:
    """Return the sizes of all rectangles, one by one."""
    return [(item.length, item.width) for item in items for _ in range(item.copies)]


def rectpack_best(
    plates: Sequence[Plate], items: Sequence[Item], *, turn: bool, seconds: float
) -> Packing | None:
    """Return the cheapest packing by any of rectpack's guillotine packers, orders and bin choices.

    Plates of several kinds are offered all together, cheapest area first, and each kind alone.
    Stops when all were tried or the time is up, on one core, which is all that rectpack uses.
    """
    until = time.monotonic() + seconds
    sizes = singles(items)
    best: Packing | None = None
    for kinds, method in product(_offers(plates), _methods()):
        if time.monotonic() > until:
            break
        found = _packed(plates, kinds, sizes, method, turn=turn)
        if found is not None and (best is None or found.price < best.price):
            best = found
    return best


def _offers(plates: Sequence[Plate]) -> list[tuple[int, ...]]:
    order = sorted(
        range(len(plates)), key=lambda k: plates[k].price / (plates[k].length * plates[k].width)
    )
    return [tuple(order), *((k,) for k in order if len(order) > 1)]


def _methods() -> Iterable[tuple[Any, Any, Any]]:
    import rectpack
    from rectpack import guillotine

    names = [f"Guillotine{rule}{split}" for rule in _RULES for split in _SPLITS]
    packers = [getattr(guillotine, name) for name in names]
    orders = [getattr(rectpack, f"SORT_{name}") for name in _ORDERS]
    choices = [rectpack.PackingBin.BFF, rectpack.PackingBin.BBF, rectpack.PackingBin.Global]
    # The order changes fastest, so that little time still sees every order.
    return product(choices, packers, orders)


_RULES = ("Bssf", "Blsf", "Baf")
_SPLITS = ("Sas", "Las", "Slas", "Llas", "Maxas", "Minas")
_ORDERS = ("AREA", "PERI", "DIFF", "SSIDE", "LSIDE", "RATIO", "NONE")


def _packed(
    plates: Sequence[Plate],
    kinds: Sequence[int],
    sizes: Sequence[tuple[int, int]],
    method: tuple[Any, Any, Any],
    *,
    turn: bool,
) -> Packing | None:
    import rectpack

    bin_algo, pack_algo, order = method
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=bin_algo,
        pack_algo=pack_algo,
        sort_algo=order,
        rotation=turn,
    )
    for k in kinds:
        packer.add_bin(plates[k].length, plates[k].width, count=len(sizes), bid=k)
    for i, (length, width) in enumerate(sizes):
        packer.add_rect(length, width, rid=i)
    packer.pack()
    places: list[tuple[int, int, int, bool]] = [(-1, 0, 0, False)] * len(sizes)
    for b, x, y, length, width, i in packer.rect_list():
        places[i] = (b, x, y, (length, width) != sizes[i])
    if any(place[0] < 0 for place in places):
        return None
    bins = tuple(packer[b].bid for b in range(len(packer)))
    return Packing(sum(plates[k].price for k in bins), tuple(places), bins)


def offered(plates: Sequence[Plate], best: Packing, rectangles: int) -> list[Bin]:
    """Return the bins that a packing no dearer than ``best`` may use."""
    return [
        Bin(k, plate.length, plate.width, plate.price)
        for k, plate in enumerate(plates)
        for _ in range(min(rectangles, best.price // plate.price))
    ]


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
            x, y = at[i]
            along = length + (width - length) * lies[i]
            across = width + (length - width) * lies[i]
            model.add(x + along <= box.length).only_enforce_if(home[i][b])
            model.add(y + across <= box.width).only_enforce_if(home[i][b])
            if box.blocked:
                shapes.append(_interval(model, at[i], (along, across), home[i][b]))
            grown.append(_interval(model, at[i], (along + kerf, across + kerf), home[i][b]))
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


def _interval(
    model: Any, at: tuple[Any, Any], size: tuple[Any, Any], here: Any
) -> tuple[Any, Any]:
    (x, y), (along, across) = at, size
    return (
        model.new_optional_interval_var(x, along, x + along, here, ""),
        model.new_optional_interval_var(y, across, y + across, here, ""),
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

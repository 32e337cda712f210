"""rectpack's guillotine packers, for comparison. They keep to straight cuts but know no bounds."""

import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from tests.bench.plates import Item, Plate


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

"""Which stock a part may come from, and why the rest is ruled out, flaws apart."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from inventory.stock import Board, Sheet, Stock
from nester.blanks import Needed, Refusal, needed, refusal
from nester.blanks.eligible import plain
from nester.model import Part, Shop


@dataclass(frozen=True, slots=True)
class Candidate:
    """One way of laying a part on one stock item; ``refusal`` is None where it may be had."""

    stock: Stock
    way: Needed
    refusal: Refusal | None


def candidates(part: Part, stock: Sequence[Stock], shop: Shop) -> list[Candidate]:
    """Return every way of laying ``part`` on every stock item."""
    return [
        Candidate(item, way, refusal(part, item, shop, way))
        for item in stock
        for way in needed(part, item, shop)
    ]


class Suited:
    """Finds the stock that suits a part but for its size: material, thickness flat, sawing, ids.

    Warp takes nothing from a blank of no size, so what does not suit gives no blank at all. Parts
    that ask for the same are looked up once, so that long part lists take no longer.
    """

    def __init__(self, stock: Sequence[Stock], shop: Shop) -> None:
        self.stock = sorted(stock, key=lambda item: (-item.length * item.width, item.id))
        self.shop = shop
        self._found: dict[Hashable, tuple[Stock, ...]] = {}

    def to(self, part: Part) -> tuple[Stock, ...]:
        """Return the stock that suits ``part``, the largest first."""
        asked = (part.materials, part.thickness, part.plane_off, part.sawn)
        key = (*asked, part.from_stock, part.not_from)
        if key not in self._found:
            self._found[key] = tuple(
                item for item in self.stock if refusal(part, item, self.shop, _NO_SIZE) is None
            )
        return self._found[key]


_NO_SIZE = Needed(0, 0, False, 0, 0, 0)


def of_material(part: Part, stock: Sequence[Stock]) -> list[Stock]:
    """Return the stock of a material that the part names."""
    wanted = {plain(name) for name in part.materials}
    return [item for item in stock if plain(item.material) in wanted]


def boards_in(stock: Sequence[Stock]) -> list[Board]:
    """Return the boards."""
    return [item for item in stock if isinstance(item, Board)]


def sheets_in(stock: Sequence[Stock]) -> list[Sheet]:
    """Return the sheets."""
    return [item for item in stock if isinstance(item, Sheet)]

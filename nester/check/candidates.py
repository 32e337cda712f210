"""Which stock a part may come from, flaws apart."""

from collections.abc import Hashable, Sequence

from inventory.stock import Board, Sheet, Stock
from nester.blanks import Needed, refusal
from nester.blanks.eligible import plain
from nester.model import Part, Shop


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

"""Whether a blank is of the right stock, lies the right way round and is large enough."""

from collections.abc import Iterator

from inventory.length import MM
from nester.verify.blank import Blank
from nester.verify.fault import Fault
from nester.verify.number import mm
from nester.verify.records import Shop

_SHEET_PLAY = MM // 2


def check_material(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """The stock is of a material that the part names; capitals and spacing do not matter."""
    wanted = {_plain(name) for name in blank.part.materials}
    if _plain(blank.stock.material) not in wanted:
        message = f"must be of {' or '.join(blank.part.materials)}"
        yield Fault("material", message, blank.place, blank.stock.material)


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def check_source(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """The stock is one that the part may come from, sawn as the part asks."""
    part, stock = blank.part, blank.stock
    if part.only_from and stock.id not in part.only_from:
        message = f"may come only from {', '.join(part.only_from)}"
        yield Fault("from", message, blank.place, stock.id)
    if stock.id in part.not_from:
        yield Fault("not-from", "may not come from this stock", blank.place, stock.id)
    if part.sawn and stock.sawn != part.sawn:
        message = f"must be {part.sawn} sawn"
        yield Fault("sawn", message, blank.place, stock.sawn or "not said")


def check_sheet_thickness(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """A part from a sheet is as thick as the sheet measures, or as it is called, within 0.5 mm."""
    stock, thickness = blank.stock, blank.part.thickness
    if stock.board:
        return
    if min(abs(thickness - stock.thickness), abs(thickness - stock.nominal)) > _SHEET_PLAY:
        message = f"the sheet measures {mm(stock.thickness)} and is called {mm(stock.nominal)}"
        yield Fault("sheet-thickness", message, blank.place, mm(thickness))


def check_grain(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """The grain runs along the part the way it asks.

    On a board the grain runs along the length, and a part whose grain may run any way lies along
    too.
    """
    turned = blank.use.turned
    asked = blank.part.grain
    if blank.stock.board:
        wrong = turned != (asked == "width")
    elif asked == "any" or blank.stock.grain == "none":
        wrong = False
    else:
        wrong = turned != (asked != blank.stock.grain)
    if wrong:
        found = "turned" if turned else "not turned"
        yield Fault("grain", f'the part\'s grain runs along "{asked}"', blank.place, found)


def check_size(shop: Shop, blank: Blank) -> Iterator[Fault]:
    """The rectangle is at least the needed size, the way the blank lies."""
    node = blank.node
    if node.length < blank.need_x:
        message = f"must be at least {mm(blank.need_x)} along the stock"
        yield Fault("size", message, blank.place, mm(node.length))
    if node.width < blank.need_y:
        message = f"must be at least {mm(blank.need_y)} across the stock"
        yield Fault("size", message, blank.place, mm(node.width))

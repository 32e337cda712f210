"""The document's ``stock``: boards and sheets, complete, each with the hash of its state."""

from collections.abc import Mapping, Sequence
from typing import Any

from nester.verify.fault import Fault, shown
from nester.verify.fields import Fields
from nester.verify.read_shop import SURFACES
from nester.verify.records import Flaw, Point, Stock
from nester.verify.state import state_hash

FLAW_KINDS = (
    "knot",
    "check",
    "split",
    "shake",
    "wane",
    "pith",
    "bark pocket",
    "sapwood",
    "stain",
    "worm hole",
    "rot",
    "metal",
    "void",
    "other",
)
NEVER_SOUND = frozenset({"wane", "split", "shake", "rot", "metal", "void"})
SAWN = ("flat", "rift", "quarter")
_PER = ("board foot", "square foot", "square metre", "cubic metre", "piece")
_BOTH = ("kind", "id", "length", "width", "thickness", "count", "price", "per", "flaws", "hash")
_BOARD = (
    "species",
    "sold_as",
    "surface",
    "ends",
    "edges",
    "sawn",
    "bow",
    "crook",
    "cup",
    "twist",
)
_SHEET = ("material", "nominal", "grain")
_NOTES = ("lot", "show_face", "hollow_face", "hollow_edge", "moisture", "shelf", "note")


def read_stock(data: Sequence[Any], faults: list[Fault]) -> dict[str, Stock] | None:
    """Return the stock by id, None where something of it cannot be read."""
    found: dict[str, Stock] = {}
    good = True
    for number, entry in enumerate(data, 1):
        item = _item(entry, number, faults)
        if item is None:
            good = False
        elif item.id in found:
            faults.append(Fault("duplicate-id", "two stock items have this id", "stock", item.id))
            good = False
        else:
            found[item.id] = item
    return found if good else None


def _item(entry: Any, number: int, faults: list[Fault]) -> Stock | None:
    """Return one board or sheet."""
    table = entry if isinstance(entry, Mapping) else {}
    name = table.get("id")
    place = f"stock {name}" if isinstance(name, str) and name else f"stock number {number}"
    board = table.get("kind") == "board"
    fields = Fields(entry, place, faults, _BOTH + (_BOARD if board else _SHEET), _NOTES)
    fields.choice("kind", ("board", "sheet"))
    widths = _widths(fields, board)
    thickness = fields.length("thickness", size=True)
    other = fields.maybe_length("sold_as" if board else "nominal")
    flaws = tuple(_flaw(flaw, f"{place}, flaw {i}", faults) for i, flaw in _numbered(fields))
    _notes(fields)
    item = Stock(
        id=fields.text("id", needed=True),
        board=board,
        material=fields.text("species" if board else "material", needed=True),
        length=fields.length("length", size=True),
        width_a=widths[0],
        width_b=widths[1],
        thickness=thickness,
        sold=thickness if other is None else other,
        nominal=0 if board else (thickness if other is None else other),
        rough_ends=board and fields.choice("ends", ("rough", "square")) == "rough",
        rough_edges=board and fields.choice("edges", ("rough", "straight")) == "rough",
        surface=fields.choice("surface", SURFACES) if board else "",
        sawn=fields.choice("sawn", SAWN, null=True) if board else "",
        grain="" if board else fields.choice("grain", ("length", "width", "none")),
        count=fields.whole("count", 0),
        bow=fields.length("bow") if board else 0,
        crook=fields.length("crook") if board else 0,
        cup=fields.length("cup") if board else 0,
        twist=fields.length("twist") if board else 0,
        price=fields.amount("price"),
        per=fields.choice("per", _PER),
        flaws=tuple(flaw for flaw in flaws if flaw is not None),
    )
    if not fields.good or None in flaws:
        return None
    _check_hash(table, place, faults)
    return item


def _numbered(fields: Fields) -> Sequence[tuple[int, Any]]:
    """Return the flaws with their numbers from 1."""
    return list(enumerate(fields.items("flaws"), 1))


def _widths(fields: Fields, board: bool) -> tuple[int, int]:
    """Return the widths at end A and end B."""
    if not board:
        width = fields.length("width", size=True)
        return width, width
    pair = fields.lengths("width", 2)
    if 0 in pair:
        fields.fault("wrong-value", '"width" must be more than 0 at both ends')
    return pair[0], pair[1]


def _notes(fields: Fields) -> None:
    """Look at the keys that no rule asks for: each is null or of its type."""
    for key in ("lot", "shelf", "note"):
        if fields.has(key):
            fields.text(key)
    for key in ("show_face", "hollow_face"):
        fields.choice(key, ("a", "b", ""), null=True)
    fields.choice("hollow_edge", ("near", "far", ""), null=True)
    if fields.has("moisture"):
        fields.amount("moisture")


def _flaw(data: Any, place: str, faults: list[Fault]) -> Flaw | None:
    """Return one flaw."""
    needed = ("kind", "x", "y", "length", "width", "face", "sound", "note")
    fields = Fields(data, place, faults, needed, ("outline",))
    outline = _outline(fields)
    flaw = Flaw(
        kind=fields.choice("kind", FLAW_KINDS),
        x=fields.length("x"),
        y=fields.length("y"),
        length=fields.length("length"),
        width=fields.length("width"),
        face=fields.choice("face", ("a", "b", "both")),
        sound=fields.flag("sound"),
        outline=outline,
    )
    if fields.has("note"):
        fields.text("note")
    if fields.good and flaw.sound and flaw.kind in NEVER_SOUND:
        fields.fault("wrong-value", f"a {flaw.kind} cannot be sound", "true")
    if fields.good and outline is not None:
        xs, ys = [x for x, _ in outline], [y for _, y in outline]
        box = (min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
        if box != (flaw.x, flaw.y, flaw.length, flaw.width):
            fields.fault("outline-box", "x, y, length and width must be the outline's bounding box")
    return flaw if fields.good else None


def _outline(fields: Fields) -> tuple[Point, ...] | None:
    """Return the outline of a flaw, None where it is a rectangle."""
    if not fields.has("outline"):
        return None
    points: list[Point] = []
    for pair in fields.items("outline"):
        if not isinstance(pair, (list, tuple)) or len(pair) != 2:
            fields.fault("wrong-type", '"outline" must be a list of pairs [x, y]', shown(pair))
            return None
        points.append((fields.measure(pair[0], "x"), fields.measure(pair[1], "y")))
    if len(points) < 3:
        fields.fault("wrong-value", '"outline" must have three points or more', str(len(points)))
        return None
    return tuple(points)


def _check_hash(entry: Mapping[str, Any], place: str, faults: list[Fault]) -> None:
    """Hold the entry against the hash of its state."""
    if entry.get("hash") != state_hash(entry):
        faults.append(
            Fault("hash", "the hash is not that of the entry's state", place, shown(entry["hash"]))
        )

"""Plan documents written by hand, in inches, with the fewest words.

Nothing here knows a rule: sizes, cuts and uses are what the caller says. Only sums of rectangles
are worked out (the yield of stock without taper, the value of stock sold by the piece).
"""

import hashlib
import json
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any, TypeAlias

from nester.verify import verify_document

Doc: TypeAlias = dict[str, Any]
Size: TypeAlias = str | int | Decimal | Fraction

SHOP_INCH: Doc = {
    "units": "in",
    "tape": "1/16",
    "grid": "1/16",
    "kerf": {
        "crosscut": "1/8",
        "rip": "1/8",
        "rough_rip": "1/16",
        "sheet": "1/8",
        "resaw": "1/16",
    },
    "blank_extra_length": "1",
    "blank_extra_width": "1/4",
    "plane_off": {"rough": "1/8", "skip planed": "1/16", "S2S": "0", "S4S": "0"},
    "panel_off": "1/16",
    "end_trim": "1",
    "edge_trim": "1/8",
    "sheet_trim": "0",
    "flaw_margin": "1/4",
    "split_margin": "1",
    "metal_clear": "1",
    "offcut_min": ["12", "3"],
    "sheet_offcut_min": ["24", "8"],
    "shortest_milled": "12",
    "shortest_rip": "12",
    "jointer_width": "8",
    "planer_width": "13",
    "rip_capacity": "30",
    "resaw_height": "6",
    "thick_spare": "3/4",
}
_SHOP_OTHERS: Doc = {
    "offcut_credit": Decimal("0.5"),
    "first_cut": "crosscut",
    "stages": 3,
    "sheet_stages": 4,
    "corner_penalty": None,
    "use_cutaways": False,
}


def inches(text: str) -> Fraction:
    """Return "3 1/2" as seven halves; a text that ends in "mm" is taken in millimetres."""
    if text.endswith("mm"):
        return Fraction(text.removesuffix("mm").strip()) * 5 / 127
    return sum((Fraction(word) for word in text.split()), Fraction(0))


def mm(size: Size) -> Decimal:
    """Return a size in millimetres as the document has it: text in inches, numbers as they are."""
    value = inches(size) * Fraction(127, 5) if isinstance(size, str) else Fraction(size)
    units = value * 320
    if units.denominator != 1:
        raise ValueError(f"{size} is no multiple of 1/320 mm")
    return Decimal(int(units)) / Decimal(320)


def _table(values: Any) -> Any:
    if isinstance(values, dict):
        return {key: _table(value) for key, value in values.items()}
    if isinstance(values, list):
        return [_table(value) for value in values]
    return mm(values)


def shop(**changes: Any) -> Doc:
    """Return a shop with the inch defaults; lengths in inches, tables changed key by key."""
    values = copied(SHOP_INCH)
    others = copied(_SHOP_OTHERS)
    for key, value in changes.items():
        if key in others:
            others[key] = value
        elif isinstance(value, dict):
            values[key].update(value)
        else:
            values[key] = value
    units = values.pop("units")
    return {"units": units, **_table(values), **others}


def flaw(
    kind: str,
    x: Size,
    y: Size,
    length: Size,
    width: Size,
    face: str = "both",
    sound: bool = False,
) -> Doc:
    """Return a flaw that is a rectangle."""
    box = {"x": mm(x), "y": mm(y), "length": mm(length), "width": mm(width)}
    return {"kind": kind, **box, "face": face, "sound": sound, "note": ""}


def outlined(kind: str, *points: tuple[Size, Size], face: str = "both", sound: bool = False) -> Doc:
    """Return a flaw that is a polygon."""
    outline = [[mm(x), mm(y)] for x, y in points]
    xs, ys = [p[0] for p in outline], [p[1] for p in outline]
    box = {
        "x": min(xs),
        "y": min(ys),
        "length": max(xs) - min(xs),
        "width": max(ys) - min(ys),
    }
    rest = {"face": face, "sound": sound, "note": "", "outline": outline}
    return {"kind": kind, **box, **rest}


def hashed(entry: Doc) -> Doc:
    """Return a stock entry with its hash."""
    state = {key: value for key, value in entry.items() if key != "hash"}
    return {**state, "hash": hashlib.sha256(_json(state).encode()).hexdigest()}


def _json(value: Any) -> str:
    """Return JSON text with sorted keys, no spaces and plain numbers."""
    match value:
        case dict():
            pairs = (f"{_json(key)}:{_json(value[key])}" for key in sorted(value))
            return "{" + ",".join(pairs) + "}"
        case list():
            return "[" + ",".join(_json(item) for item in value) + "]"
        case None | bool() | str():
            return json.dumps(value, ensure_ascii=False)
    number = Decimal(str(value))
    whole = int(number)
    return str(whole) if number == whole else str(number.normalize())


def board(
    name: str = "M-1",
    length: Size = "60",
    width: Size | tuple[Size, Size] = "6",
    thickness: Size = "1",
    **changes: Any,
) -> Doc:
    """Return a board: square, straight, flat, walnut, $10 the piece, unless said otherwise."""
    pair = width if isinstance(width, tuple) else (width, width)
    entry: Doc = {
        "kind": "board",
        "id": name,
        "species": "walnut",
        "length": mm(length),
        "width": [mm(pair[0]), mm(pair[1])],
        "thickness": mm(thickness),
        "sold_as": mm(thickness),
        "surface": "rough",
        "ends": "square",
        "edges": "straight",
        "sawn": None,
        "count": 1,
        "bow": 0,
        "crook": 0,
        "cup": 0,
        "twist": 0,
        "price": 10,
        "per": "piece",
        "lot": "",
        "show_face": None,
        "hollow_face": None,
        "hollow_edge": None,
        "moisture": None,
        "shelf": "",
        "note": "",
        "flaws": [],
    }
    for key, value in changes.items():
        lengths = {"sold_as", "bow", "crook", "cup", "twist"}
        entry[key] = mm(value) if key in lengths else value
    return hashed(entry)


def sheet(
    name: str = "BP18",
    length: Size = "96",
    width: Size = "48",
    thickness: Size = "18 mm",
    nominal: Size = "3/4",
    **changes: Any,
) -> Doc:
    """Return a sheet of birch plywood, $84 the piece, where nothing else is said."""
    entry: Doc = {
        "kind": "sheet",
        "id": name,
        "material": "birch plywood",
        "length": mm(length),
        "width": mm(width),
        "thickness": mm(thickness),
        "nominal": mm(nominal),
        "grain": "length",
        "count": 1,
        "price": 84,
        "per": "piece",
        "lot": "",
        "show_face": None,
        "shelf": "",
        "note": "",
        "flaws": [],
    }
    return hashed({**entry, **changes})


def part(name: str, length: Size, width: Size, thickness: Size = "3/4", **changes: Any) -> Doc:
    """Return a part of walnut, once, with the defaults of a part list."""
    entry: Doc = {
        "name": name,
        "count": 1,
        "spare": 0,
        "length": mm(length),
        "width": mm(width),
        "thickness": mm(thickness),
        "material": ["walnut"],
        "grain": "length",
        "quality": "clear face",
        "allow": [],
        "from": [],
        "not_from": [],
        "sawn": None,
        "extra_length": 0,
        "extra_width": 0,
        "blank_extra_length": None,
        "blank_extra_width": None,
        "plane_off": None,
        "pulled_flat": False,
        "held": "free",
        "glue_up": None,
        "laminate": None,
        "edging": None,
        "resaw": False,
        "cutaway": [],
        "note": "",
    }
    lengths = {
        "extra_length",
        "extra_width",
        "blank_extra_length",
        "blank_extra_width",
        "plane_off",
    }
    for key, value in changes.items():
        entry[key] = mm(value) if key in lengths else value
    return entry


WASTE: Doc = {"kind": "waste"}
TRIM: Doc = {"kind": "waste", "trim": True}


def blank(name: str, number: int = 1, **flags: bool) -> Doc:
    """Return a blank's use."""
    use = {"kind": "blank", "part": name, "copy": number}
    return {**use, "turned": False, "reversed": False, "flipped": False, **flags}


def offcut(name: str) -> Doc:
    """Return an offcut's use."""
    return {"kind": "offcut", "id": name}


@dataclass(frozen=True)
class Cut:
    """A cut in a tree: its place, and what becomes of the first and the second piece.

    A cut with a ``kerf`` of its own is one in a run: made last, by the saw that is named.
    """

    axis: str
    at: Size
    first: "Tree | None"
    second: "Tree | None"
    kerf: Size | None = None
    saw: str = ""
    run: str = ""


Tree: TypeAlias = Cut | Doc


def x(at: Size, first: Tree | None, second: Tree | None) -> Cut:
    """Return a crosscut."""
    return Cut("x", at, first, second)


def y(at: Size, first: Tree | None, second: Tree | None) -> Cut:
    """Return a rip."""
    return Cut("y", at, first, second)


def layout(
    stock: Doc,
    tree: Tree,
    number: int = 1,
    *,
    of: Doc | None = None,
    first_cut: str | None = "crosscut",
    value: Any = None,
) -> Doc:
    """Return a layout of a stock entry, cut with the kerfs of the shop ``of`` on its grid."""
    is_board = stock["kind"] == "board"
    width = max(stock["width"]) if is_board else stock["width"]
    used = of or shop()
    grid = Fraction(used["grid"])
    kerfs = {saw: mm(ceil(Fraction(kerf) / grid) * grid) for saw, kerf in used["kerf"].items()}
    if not is_board:
        saws = {"x": "sheet", "y": "sheet"}
    elif stock["surface"] in ("rough", "skip planed"):
        saws = {"x": "crosscut", "y": "rough_rip", "z": "resaw"}
    else:
        saws = {"x": "crosscut", "y": "rip", "z": "resaw"}
    orders = iter(range(1, 10_000))
    last: list[Doc] = []

    def node(plan: Tree, x0: Decimal, y0: Decimal, x1: Decimal, y1: Decimal) -> Doc:
        box: Doc = {"x": x0, "y": y0, "length": x1 - x0, "width": y1 - y0}
        if isinstance(plan, dict):
            use = dict(plan)
            mark = {"run": use.pop("run")} if "run" in use else {}
            return {**box, **mark, "use": use}
        saw = plan.saw or saws[plan.axis]
        at, kerf = mm(plan.at), kerfs[saw] if plan.kerf is None else mm(plan.kerf)
        cut: Doc = {"axis": plan.axis, "at": at, "kerf": kerf, "saw": saw}
        if plan.kerf is None:
            cut["order"] = next(orders)
        else:
            last.append(cut)
        pieces = []
        if plan.run:
            box["run"] = plan.run
        if plan.axis == "z":
            both = [piece for piece in (plan.first, plan.second) if piece is not None]
            return {**box, "cut": cut, "pieces": [node(p, x0, y0, x1, y1) for p in both]}
        if plan.first is not None:
            ends = (at, y1) if plan.axis == "x" else (x1, at)
            pieces.append(node(plan.first, x0, y0, *ends))
        if plan.second is not None:
            starts = (at + kerf, y0) if plan.axis == "x" else (x0, at + kerf)
            pieces.append(node(plan.second, *starts, x1, y1))
        return {**box, "cut": cut, "pieces": pieces}

    zero = Decimal(0)
    whole = node(tree, zero, zero, stock["length"], width)
    for cut in last:
        cut["order"] = next(orders)
    return {
        "stock": stock["id"],
        "copy": number,
        "kind": stock["kind"],
        "length": stock["length"],
        "width": width,
        "thickness": stock["thickness"],
        "value": stock["price"] if value is None else value,
        "first_cut": first_cut,
        "tree": whole,
    }


def document(
    stock: list[Doc],
    parts: list[Doc],
    layouts: list[Doc],
    *,
    of: Doc | None = None,
    cost: Any = None,
    missing: list[Doc] | None = None,
    areas: Doc | None = None,
    **others: Any,
) -> Doc:
    """Return a whole document. The cost is the sum of the values where none is given."""
    total = sum(entry["value"] for entry in layouts) if cost is None else cost
    short = bool(missing)
    return {
        "format": "nester-plan 1",
        "version": "0.1.0",
        "made": "2026-11-25T10:00:00Z",
        "units": "in",
        "seed": 0,
        "project": {"name": "Plinth", "sha256": "0" * 64},
        "status": "short" if short else "optimal",
        "cost": total,
        "bound": None if short else total,
        "gap": None if short else 0,
        "seconds": Decimal("0.4"),
        "stopped_by": "optimal",
        "shop": of or shop(),
        "stock": stock,
        "parts": parts,
        "match": [],
        "layouts": layouts,
        "panels": [],
        "missing": missing or [],
        "matches": [],
        "penalties": [],
        "yield": areas or yields(layouts),
        **others,
    }


def yields(layouts: list[Doc]) -> Doc:
    """Return the yield of layouts of stock without taper: sums of rectangles, of leaves by half."""
    sums = dict.fromkeys(("stock", "parts", "offcuts", "kerf", "waste"), Decimal(0))
    names = {"blank": "parts", "strip": "parts", "offcut": "offcuts", "waste": "waste"}
    for entry in layouts:
        sums["stock"] += entry["length"] * entry["width"]
        resawn = [node for node in nodes(entry["tree"]) if node.get("cut", {}).get("axis") == "z"]
        halved = {id(leaf) for node in resawn for leaf in nodes(node)}
        for node in nodes(entry["tree"]):
            if "use" in node:
                area = node["length"] * node["width"] / (2 if id(node) in halved else 1)
                sums[names[node["use"]["kind"]]] += area
    used = sums["parts"] + sums["offcuts"] + sums["waste"]
    return {**sums, "kerf": sums["stock"] - used}


def nodes(tree: Doc) -> list[Doc]:
    """Return all nodes of a tree, each before its pieces."""
    found = [tree]
    for node in found:
        found.extend(node.get("pieces", ()))
    return found


def copied(value: Any) -> Any:
    """Return a copy of a document, or of a part of it: several times quicker than a deep copy."""
    if isinstance(value, dict):
        return {key: copied(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [copied(inner) for inner in value]
    return value


def codes(doc: Any) -> set[str]:
    """Return the codes of all faults of a document."""
    return {fault.code for fault in verify_document(doc)}


def simple(
    *,
    stock: Doc | None = None,
    of: Doc | None = None,
    tree: Tree | None = None,
    first_cut: str = "crosscut",
    **changes: Any,
) -> Doc:
    """Return the plinth front from one board, something of its shop, stock or part changed.

    Unless said otherwise: 60 x 6 x 1 in, square and straight; the part 38 x 3 1/2 x 3/4, so its
    blank 39 x 3 3/4 at end A and the near edge; the rest is waste.
    """
    entry = stock or board()
    used = of or shop()
    cuts = tree or x("39", y("3 3/4", blank("front"), WASTE), WASTE)
    size = (changes.pop("length", "38"), changes.pop("width", "3 1/2"))
    piece = part("front", *size, changes.pop("thickness", "3/4"), **changes)
    laid = layout(entry, cuts, of=used, first_cut=first_cut)
    return document([entry], [piece], [laid], of=used)

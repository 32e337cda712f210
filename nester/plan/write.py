"""From a plan to its JSON document.

Lengths are written as millimetres. A whole number of 1/320 mm has at most six decimals, few enough
for the shortest text of the nearest float to be the exact value.
"""

import hashlib
import json
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from inventory.length import MM, Length
from inventory.stock import Board, Flaw, Sheet, Stock
from nester.layout import BlankUse, Layout, Node, OffcutUse, StripUse, Use, WasteUse
from nester.model import Arch, Cutaway, Match, Part, Shop
from nester.plan.records import FORMAT, Plan, Yield


def plan_json(plan: Plan) -> str:
    """Return the document as text, keys in a fixed order, one trailing newline."""
    return json.dumps(plan_document(plan), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def plan_document(plan: Plan) -> dict[str, Any]:
    """Return the document as plain dictionaries, lists, numbers and text."""
    return {
        "format": FORMAT,
        "version": plan.version,
        "made": plan.made,
        "units": plan.units.value,
        "seed": plan.seed,
        "project": {"name": plan.project, "sha256": plan.project_sha256},
        "status": plan.status.value,
        "cost": number(plan.cost, 3),
        "bound": None if plan.bound is None else number(plan.bound, 3),
        "gap": None if plan.gap is None else number(plan.gap, 6),
        "seconds": round(plan.seconds, 3),
        "stopped_by": plan.stopped_by,
        "shop": shop_entry(plan.shop),
        "stock": [stock_entry(item) for item in plan.stock],
        "parts": [part_entry(part) for part in plan.parts],
        "match": [match_entry(match) for match in plan.matches],
        "layouts": [layout_entry(layout) for layout in plan.layouts],
        "panels": [
            {
                "id": panel.id,
                "parts": [[name, copy] for name, copy in panel.parts],
                "match": panel.match,
                "strips": panel.strips,
                "length": mm(panel.length),
                "width": mm(panel.width),
                "tree": node_entry(panel.tree),
            }
            for panel in plan.panels
        ],
        "missing": [{"part": m.part, "count": m.count, "reason": m.reason} for m in plan.missing],
        "matches": [
            {
                "name": m.name,
                "corners": m.corners,
                "matched": m.matched,
                "broken": [list(pair) for pair in m.broken],
                "stock": list(m.stock),
            }
            for m in plan.match_results
        ],
        "penalties": [
            {"match": p.match, "why": p.why, "cost": number(p.cost, 3)} for p in plan.penalties
        ],
        "yield": yield_entry(plan.yields),
    }


def mm(length: Length) -> int | float:
    """Return a length as the JSON number of millimetres, exactly."""
    whole, rest = divmod(length, MM)
    return whole if rest == 0 else length / MM


def number(value: Fraction, places: int) -> int | float:
    """Return ``value`` rounded to ``places`` decimals, whole numbers as such."""
    rounded = round(value, places)
    return int(rounded) if rounded.denominator == 1 else float(rounded)


def exact(value: Fraction) -> int | float:
    """Return a number read from a decimal, as a JSON number."""
    return int(value) if value.denominator == 1 else float(value)


def yield_entry(areas: Yield) -> dict[str, int | float]:
    """Return the areas in square millimetres."""

    def square(area: int) -> int | float:
        return number(Fraction(area, MM * MM), 3)

    return {
        "stock": square(areas.stock),
        "parts": square(areas.parts),
        "offcuts": square(areas.offcuts),
        "kerf": square(areas.kerf),
        "waste": square(areas.waste),
    }


def shop_entry(shop: Shop) -> dict[str, Any]:
    """Return every shop value under its key in the project file."""
    return {
        "units": shop.system.value,
        "tape": mm(shop.tape),
        "grid": mm(shop.grid),
        "kerf": {
            "crosscut": mm(shop.kerf.crosscut),
            "rip": mm(shop.kerf.rip),
            "rough_rip": mm(shop.kerf.rough_rip),
            "sheet": mm(shop.kerf.sheet),
            "resaw": mm(shop.kerf.resaw),
        },
        "blank_extra_length": mm(shop.blank_extra_length),
        "blank_extra_width": mm(shop.blank_extra_width),
        "plane_off": {
            "rough": mm(shop.plane_off.rough),
            "skip planed": mm(shop.plane_off.skip_planed),
            "S2S": mm(shop.plane_off.s2s),
            "S4S": mm(shop.plane_off.s4s),
        },
        "panel_off": mm(shop.panel_off),
        "end_trim": mm(shop.end_trim),
        "edge_trim": mm(shop.edge_trim),
        "sheet_trim": mm(shop.sheet_trim),
        "flaw_margin": mm(shop.flaw_margin),
        "split_margin": mm(shop.split_margin),
        "metal_clear": mm(shop.metal_clear),
        "offcut_min": [mm(v) for v in shop.offcut_min],
        "sheet_offcut_min": [mm(v) for v in shop.sheet_offcut_min],
        "offcut_credit": exact(shop.offcut_credit),
        "shortest_milled": mm(shop.shortest_milled),
        "shortest_rip": mm(shop.shortest_rip),
        "jointer_width": mm(shop.jointer_width),
        "planer_width": mm(shop.planer_width),
        "rip_capacity": mm(shop.rip_capacity),
        "resaw_height": mm(shop.resaw_height),
        "thick_spare": mm(shop.thick_spare),
        "first_cut": shop.first_cut.value,
        "stages": shop.stages,
        "sheet_stages": shop.sheet_stages,
        "corner_penalty": None if shop.corner_penalty is None else exact(shop.corner_penalty),
        "use_cutaways": shop.use_cutaways,
    }


def stock_entry(item: Stock) -> dict[str, Any]:
    """Return a stock item, complete, with a hash of its state."""
    entry = board_entry(item) if isinstance(item, Board) else sheet_entry(item)
    entry["flaws"] = [flaw_entry(flaw) for flaw in item.flaws]
    entry["hash"] = state_hash(entry)
    return entry


def board_entry(board: Board) -> dict[str, Any]:
    """Return a board without its flaws."""
    return {
        "kind": "board",
        "id": board.id,
        "species": board.species,
        "length": mm(board.length),
        "width": [mm(board.width_a), mm(board.width_b)],
        "thickness": mm(board.thickness),
        "sold_as": mm(board.sold_as),
        "surface": board.surface.value,
        "ends": board.ends.value,
        "edges": board.edges.value,
        "sawn": board.sawn.value if board.sawn else None,
        "count": board.count,
        "bow": mm(board.bow),
        "crook": mm(board.crook),
        "cup": mm(board.cup),
        "twist": mm(board.twist),
        "price": exact(board.price),
        "per": board.per.value,
        "lot": board.lot or None,
        "show_face": board.show_face.value if board.show_face else None,
        "hollow_face": board.hollow_face.value if board.hollow_face else None,
        "hollow_edge": board.hollow_edge or None,
        "moisture": None if board.moisture is None else exact(board.moisture),
        "shelf": board.shelf or None,
        "note": board.note or None,
    }


def sheet_entry(sheet: Sheet) -> dict[str, Any]:
    """Return a sheet without its flaws."""
    return {
        "kind": "sheet",
        "id": sheet.id,
        "material": sheet.material,
        "length": mm(sheet.length),
        "width": mm(sheet.width),
        "thickness": mm(sheet.thickness),
        "nominal": mm(sheet.nominal),
        "grain": sheet.grain.value,
        "count": sheet.count,
        "price": exact(sheet.price),
        "per": sheet.per.value,
        "lot": sheet.lot or None,
        "show_face": sheet.show_face.value if sheet.show_face else None,
        "shelf": sheet.shelf or None,
        "note": sheet.note or None,
    }


def flaw_entry(flaw: Flaw) -> dict[str, Any]:
    """Return a flaw with its bounding rectangle and, where it has one, its outline."""
    entry: dict[str, Any] = {
        "kind": flaw.kind.value,
        "x": mm(flaw.x),
        "y": mm(flaw.y),
        "length": mm(flaw.length),
        "width": mm(flaw.width),
        "face": flaw.face.value,
        "sound": flaw.sound,
        "note": flaw.note,
    }
    if flaw.outline is not None:
        entry["outline"] = [[mm(x), mm(y)] for x, y in flaw.outline]
    return entry


def state_hash(entry: Mapping[str, Any]) -> str:
    """Return the SHA-256 of a stock entry without its hash.

    Hashed is the entry's JSON, keys sorted, no blanks, numbers plain and without trailing zeros, so
    that two programs that read the same numbers find the same hash.
    """
    body = canonical({key: value for key, value in entry.items() if key != "hash"})
    return hashlib.sha256(body.encode("utf-8", "surrogatepass")).hexdigest()


def canonical(value: Any) -> str:
    """Return a JSON value as the one text that is hashed."""
    if isinstance(value, Mapping):
        pairs = (f"{canonical(k)}:{canonical(v)}" for k, v in sorted(value.items()))
        return "{" + ",".join(pairs) + "}"
    if isinstance(value, list | tuple):
        return "[" + ",".join(canonical(v) for v in value) + "]"
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    text = format(Decimal(str(value)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def part_entry(part: Part) -> dict[str, Any]:
    """Return a part, every key of the project file filled in."""
    glue = part.glue_up
    ply = part.laminate
    edging = part.edging
    return {
        "name": part.name,
        "count": part.count,
        "spare": part.spare,
        "length": mm(part.length),
        "width": mm(part.width),
        "thickness": mm(part.thickness),
        "material": list(part.materials),
        "grain": part.grain.value,
        "quality": part.quality.value,
        "allow": sorted(kind.value for kind in part.allow),
        "from": list(part.from_stock),
        "not_from": list(part.not_from),
        "sawn": part.sawn.value if part.sawn else None,
        "extra_length": mm(part.extra_length),
        "extra_width": mm(part.extra_width),
        "blank_extra_length": maybe(part.blank_extra_length),
        "blank_extra_width": maybe(part.blank_extra_width),
        "plane_off": maybe(part.plane_off),
        "pulled_flat": part.pulled_flat,
        "held": part.held.value,
        "glue_up": None
        if glue is None
        else {
            "strips": [mm(glue.narrowest), mm(glue.widest)],
            "per_strip": mm(glue.per_strip),
            "max_strips": glue.max_strips,
        },
        "laminate": None if ply is None else {"plies": ply.plies, "per_face": mm(ply.per_face)},
        "edging": None
        if edging is None
        else {
            "thickness": mm(edging.thickness),
            "edges": list(edging.edges),
            "over": mm(edging.over),
        },
        "resaw": part.resaw,
        "cutaway": [cutaway_entry(c) for c in part.cutaways],
        "note": part.note,
    }


def maybe(length: Length | None) -> int | float | None:
    """Return a length in millimetres, or None where the shop's value holds."""
    return None if length is None else mm(length)


def cutaway_entry(cutaway: Cutaway) -> dict[str, Any]:
    """Return a cutaway as it stands in the project file."""
    if isinstance(cutaway, Arch):
        return {
            "arch": {
                "edge": cutaway.edge,
                "start": mm(cutaway.start),
                "span": mm(cutaway.span),
                "rise": mm(cutaway.rise),
            }
        }
    return {"outline": [[mm(x), mm(y)] for x, y in cutaway.points]}


def match_entry(match: Match) -> dict[str, Any]:
    """Return a match, every key of the project file filled in."""
    return {
        "name": match.name,
        "how": match.how.value,
        "parts": list(match.parts),
        "miter": exact(match.miter),
        "joint_trim": mm(match.joint_trim),
        "required": match.required,
        "sets": match.sets,
    }


def layout_entry(layout: Layout) -> dict[str, Any]:
    """Return one layout."""
    return {
        "stock": layout.stock,
        "copy": layout.copy,
        "kind": layout.kind,
        "length": mm(layout.length),
        "width": mm(layout.width),
        "thickness": mm(layout.thickness),
        "value": number(Fraction(layout.value), 3),
        "first_cut": layout.first_cut.value,
        "tree": node_entry(layout.tree),
    }


def node_entry(node: Node) -> dict[str, Any]:
    """Return a rectangle and all that is cut from it."""
    entry: dict[str, Any] = {
        "x": mm(node.x),
        "y": mm(node.y),
        "length": mm(node.length),
        "width": mm(node.width),
    }
    if node.gang:
        entry["gang"] = True
    if node.run:
        entry["run"] = node.run
    if node.cut is not None:
        entry["cut"] = {
            "axis": node.cut.axis.value,
            "at": mm(node.cut.at),
            "kerf": mm(node.cut.kerf),
            "saw": node.cut.saw.value,
            "order": node.cut.order,
        }
        entry["pieces"] = [node_entry(piece) for piece in node.pieces]
    elif node.use is not None:
        entry["use"] = use_entry(node.use)
    return entry


def use_entry(use: Use) -> dict[str, Any]:
    """Return what a piece is used for."""
    if isinstance(use, BlankUse):
        return {
            "kind": "blank",
            "part": use.part,
            "copy": use.copy,
            "turned": use.turned,
            "reversed": use.reversed,
            "flipped": use.flipped,
        }
    if isinstance(use, StripUse):
        return {"kind": "strip", "panel": use.panel, "strip": use.strip}
    if isinstance(use, OffcutUse):
        return {"kind": "offcut", "id": use.id}
    assert isinstance(use, WasteUse)
    return {"kind": "waste", "trim": True} if use.trim else {"kind": "waste"}

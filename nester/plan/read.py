"""From a plan's JSON document back to its records."""

import json
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from inventory.issue import Issue, Source
from inventory.length import MM, Length
from inventory.stock import (
    Board,
    Edges,
    Ends,
    Face,
    Flaw,
    FlawKind,
    Per,
    Sawn,
    Sheet,
    SheetGrain,
    Stock,
    Surface,
)
from nester.layout import (
    Axis,
    BlankUse,
    Cut,
    Layout,
    Node,
    OffcutUse,
    Saw,
    StripUse,
    Use,
    WasteUse,
)
from nester.model import (
    Arch,
    Cutaway,
    Edging,
    FirstCut,
    GlueUp,
    Grain,
    Held,
    How,
    Kerfs,
    Laminate,
    Match,
    Outline,
    Part,
    PlaneOff,
    Quality,
    Shop,
    System,
)
from nester.plan.records import (
    FORMAT,
    MatchResult,
    Missing,
    Panel,
    Penalty,
    Plan,
    Status,
    Yield,
)

Entry = Mapping[str, Any]


def read_plan(path: Path) -> tuple[Plan | None, list[Issue]]:
    """Return the plan in a file, or the reason why there is none."""
    source = Source(str(path))
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None, [Issue("missing-file", "there is no such file", source=source)]
    except IsADirectoryError:
        return None, [Issue("directory", "this is a folder, not a plan", source=source)]
    except UnicodeDecodeError:
        return None, [Issue("not-utf-8", "this is not a plan: not UTF-8 text", source=source)]
    except OSError as error:
        return None, [Issue("unreadable", f"cannot be read: {error.strerror}", source=source)]
    plan, issues = parse_plan(text)
    placed = [Issue(i.code, i.message, i.value, i.accepted, i.subject, source) for i in issues]
    return plan, placed


def parse_plan(text: str) -> tuple[Plan | None, list[Issue]]:
    """Return the plan in ``text``, or the reason why there is none."""
    try:
        document = json.loads(text, parse_float=Decimal)
    except (ValueError, ArithmeticError, RecursionError) as error:
        return None, [Issue("not-json", f"this is not a plan: {error}")]
    found = document.get("format") if isinstance(document, dict) else None
    if found != FORMAT:
        return None, [
            Issue("not-a-plan", "this is not a plan", str(found), f'"format": "{FORMAT}"')
        ]
    try:
        return plan_of(document), []
    except (KeyError, TypeError, ValueError, ArithmeticError, AttributeError) as error:
        return None, [Issue("broken-plan", f"the plan is damaged: {describe(error)}")]


def describe(error: Exception) -> str:
    """Return what is wrong in words a maker can pass on."""
    if isinstance(error, KeyError):
        return f"{error} is missing or unknown"
    return str(error)


def units(value: Any) -> Length:
    """Return a length from millimetres; raises ``ValueError`` between two units."""
    exact = Fraction(value) * MM
    if exact.denominator != 1:
        raise ValueError(f'length "{value}" is no multiple of 0.003125 mm')
    return int(exact)


def maybe_units(value: Any) -> Length | None:
    """Return a length, or None."""
    return None if value is None else units(value)


def plan_of(entry: Entry) -> Plan:
    """Return the plan of a document; raises ``KeyError``, ``TypeError`` or ``ValueError``."""
    return Plan(
        version=entry["version"],
        made=entry["made"],
        units=System(entry["units"]),
        seed=entry["seed"],
        project=entry["project"]["name"],
        project_sha256=entry["project"]["sha256"],
        status=Status(entry["status"]),
        cost=Fraction(entry["cost"]),
        bound=None if entry["bound"] is None else Fraction(entry["bound"]),
        gap=None if entry["gap"] is None else Fraction(entry["gap"]),
        seconds=float(entry["seconds"]),
        stopped_by=entry["stopped_by"],
        shop=shop_of(entry["shop"]),
        stock=tuple(stock_of(e) for e in entry["stock"]),
        parts=tuple(part_of(e) for e in entry["parts"]),
        matches=tuple(match_of(e) for e in entry["match"]),
        layouts=tuple(layout_of(e) for e in entry["layouts"]),
        panels=tuple(
            Panel(
                id=e["id"],
                parts=tuple((name, copy) for name, copy in e["parts"]),
                match=e["match"],
                strips=e["strips"],
                length=units(e["length"]),
                width=units(e["width"]),
                tree=node_of(e["tree"]),
            )
            for e in entry["panels"]
        ),
        missing=tuple(Missing(e["part"], e["count"], e["reason"]) for e in entry["missing"]),
        match_results=tuple(
            MatchResult(
                e["name"],
                e["corners"],
                e["matched"],
                tuple((a, b) for a, b in e["broken"]),
                tuple(e["stock"]),
            )
            for e in entry["matches"]
        ),
        penalties=tuple(
            Penalty(e["match"], e["why"], Fraction(e["cost"])) for e in entry["penalties"]
        ),
        yields=Yield(
            **{
                key: round(Fraction(entry["yield"][key]) * MM * MM)
                for key in ("stock", "parts", "offcuts", "kerf", "waste")
            }
        ),
    )


def shop_of(entry: Entry) -> Shop:
    """Return the shop of a document."""
    kerf, plane = entry["kerf"], entry["plane_off"]
    short, narrow = entry["offcut_min"]
    sheet_short, sheet_narrow = entry["sheet_offcut_min"]
    penalty = entry["corner_penalty"]
    return Shop(
        system=System(entry["units"]),
        tape=units(entry["tape"]),
        grid=units(entry["grid"]),
        kerf=Kerfs(
            crosscut=units(kerf["crosscut"]),
            rip=units(kerf["rip"]),
            rough_rip=units(kerf["rough_rip"]),
            sheet=units(kerf["sheet"]),
            resaw=units(kerf["resaw"]),
        ),
        blank_extra_length=units(entry["blank_extra_length"]),
        blank_extra_width=units(entry["blank_extra_width"]),
        plane_off=PlaneOff(
            rough=units(plane["rough"]),
            skip_planed=units(plane["skip planed"]),
            s2s=units(plane["S2S"]),
            s4s=units(plane["S4S"]),
        ),
        panel_off=units(entry["panel_off"]),
        end_trim=units(entry["end_trim"]),
        edge_trim=units(entry["edge_trim"]),
        sheet_trim=units(entry["sheet_trim"]),
        flaw_margin=units(entry["flaw_margin"]),
        split_margin=units(entry["split_margin"]),
        metal_clear=units(entry["metal_clear"]),
        offcut_min=(units(short), units(narrow)),
        sheet_offcut_min=(units(sheet_short), units(sheet_narrow)),
        offcut_credit=Fraction(entry["offcut_credit"]),
        shortest_milled=units(entry["shortest_milled"]),
        shortest_rip=units(entry["shortest_rip"]),
        jointer_width=units(entry["jointer_width"]),
        planer_width=units(entry["planer_width"]),
        rip_capacity=units(entry["rip_capacity"]),
        resaw_height=units(entry["resaw_height"]),
        thick_spare=units(entry["thick_spare"]),
        first_cut=FirstCut(entry["first_cut"]),
        stages=entry["stages"],
        sheet_stages=entry["sheet_stages"],
        corner_penalty=None if penalty is None else Fraction(penalty),
        use_cutaways=entry["use_cutaways"],
    )


def stock_of(entry: Entry) -> Stock:
    """Return a board or a sheet."""
    flaws = tuple(flaw_of(e) for e in entry["flaws"])
    show = Face(entry["show_face"]) if entry["show_face"] else None
    if entry["kind"] == "sheet":
        return Sheet(
            id=entry["id"],
            material=entry["material"],
            length=units(entry["length"]),
            width=units(entry["width"]),
            thickness=units(entry["thickness"]),
            nominal=units(entry["nominal"]),
            grain=SheetGrain(entry["grain"]),
            count=entry["count"],
            price=Fraction(entry["price"]),
            per=Per(entry["per"]),
            lot=entry["lot"] or "",
            show_face=show,
            shelf=entry["shelf"] or "",
            note=entry["note"] or "",
            flaws=flaws,
        )
    if entry["kind"] != "board":
        raise ValueError(f'"{entry["kind"]}" is neither a board nor a sheet')
    width_a, width_b = entry["width"]
    moisture = entry["moisture"]
    return Board(
        id=entry["id"],
        species=entry["species"],
        length=units(entry["length"]),
        width_a=units(width_a),
        width_b=units(width_b),
        thickness=units(entry["thickness"]),
        sold_as=units(entry["sold_as"]),
        surface=Surface(entry["surface"]),
        ends=Ends(entry["ends"]),
        edges=Edges(entry["edges"]),
        sawn=Sawn(entry["sawn"]) if entry["sawn"] else None,
        count=entry["count"],
        bow=units(entry["bow"]),
        crook=units(entry["crook"]),
        cup=units(entry["cup"]),
        twist=units(entry["twist"]),
        price=Fraction(entry["price"]),
        per=Per(entry["per"]),
        lot=entry["lot"] or "",
        show_face=show,
        hollow_face=Face(entry["hollow_face"]) if entry["hollow_face"] else None,
        hollow_edge=entry["hollow_edge"] or "",
        moisture=None if moisture is None else Fraction(moisture),
        shelf=entry["shelf"] or "",
        note=entry["note"] or "",
        flaws=flaws,
    )


def flaw_of(entry: Entry) -> Flaw:
    """Return a flaw."""
    outline = entry.get("outline")
    return Flaw(
        kind=FlawKind(entry["kind"]),
        x=units(entry["x"]),
        y=units(entry["y"]),
        length=units(entry["length"]),
        width=units(entry["width"]),
        face=Face(entry["face"]),
        sound=entry["sound"],
        outline=None if outline is None else tuple((units(x), units(y)) for x, y in outline),
        note=entry["note"],
    )


def part_of(entry: Entry) -> Part:
    """Return a part."""
    glue, ply, edging = entry["glue_up"], entry["laminate"], entry["edging"]
    return Part(
        name=entry["name"],
        length=units(entry["length"]),
        width=units(entry["width"]),
        thickness=units(entry["thickness"]),
        materials=tuple(entry["material"]),
        count=entry["count"],
        spare=entry["spare"],
        grain=Grain(entry["grain"]),
        quality=Quality(entry["quality"]),
        allow=frozenset(FlawKind(kind) for kind in entry["allow"]),
        from_stock=tuple(entry["from"]),
        not_from=tuple(entry["not_from"]),
        sawn=Sawn(entry["sawn"]) if entry["sawn"] else None,
        extra_length=units(entry["extra_length"]),
        extra_width=units(entry["extra_width"]),
        blank_extra_length=maybe_units(entry["blank_extra_length"]),
        blank_extra_width=maybe_units(entry["blank_extra_width"]),
        plane_off=maybe_units(entry["plane_off"]),
        pulled_flat=entry["pulled_flat"],
        held=Held(entry["held"]),
        glue_up=None
        if glue is None
        else GlueUp(
            units(glue["strips"][0]),
            units(glue["strips"][1]),
            units(glue["per_strip"]),
            glue["max_strips"],
        ),
        laminate=None if ply is None else Laminate(ply["plies"], units(ply["per_face"])),
        edging=None
        if edging is None
        else Edging(units(edging["thickness"]), tuple(edging["edges"]), units(edging["over"])),
        resaw=entry["resaw"],
        cutaways=tuple(cutaway_of(e) for e in entry["cutaway"]),
        note=entry["note"],
    )


def cutaway_of(entry: Entry) -> Cutaway:
    """Return an arch or an outline."""
    if "arch" in entry:
        arch = entry["arch"]
        return Arch(arch["edge"], units(arch["start"]), units(arch["span"]), units(arch["rise"]))
    return Outline(tuple((units(x), units(y)) for x, y in entry["outline"]))


def match_of(entry: Entry) -> Match:
    """Return a match."""
    return Match(
        name=entry["name"],
        how=How(entry["how"]),
        parts=tuple(entry["parts"]),
        miter=Fraction(entry["miter"]),
        joint_trim=units(entry["joint_trim"]),
        required=entry["required"],
        sets=entry["sets"],
    )


def layout_of(entry: Entry) -> Layout:
    """Return a layout."""
    return Layout(
        stock=entry["stock"],
        copy=entry["copy"],
        kind=entry["kind"],
        length=units(entry["length"]),
        width=units(entry["width"]),
        thickness=units(entry["thickness"]),
        value=str(entry["value"]),
        tree=node_of(entry["tree"]),
        first_cut=FirstCut(entry.get("first_cut") or "crosscut"),
    )


def node_of(entry: Entry) -> Node:
    """Return a rectangle and all that is cut from it."""
    cut, use = entry.get("cut"), entry.get("use")
    return Node(
        x=units(entry["x"]),
        y=units(entry["y"]),
        length=units(entry["length"]),
        width=units(entry["width"]),
        cut=None
        if cut is None
        else Cut(
            Axis(cut["axis"]), units(cut["at"]), units(cut["kerf"]), Saw(cut["saw"]), cut["order"]
        ),
        pieces=tuple(node_of(piece) for piece in entry.get("pieces", ())),
        use=None if use is None else use_of(use),
        gang=entry.get("gang", False),
        run=entry.get("run", ""),
    )


def use_of(entry: Entry) -> Use:
    """Return what a piece is used for; raises ``ValueError`` for an unknown kind."""
    kind = entry["kind"]
    if kind == "blank":
        return BlankUse(
            entry["part"], entry["copy"], entry["turned"], entry["reversed"], entry["flipped"]
        )
    if kind == "strip":
        return StripUse(entry["panel"], entry["strip"])
    if kind == "offcut":
        return OffcutUse(entry["id"])
    if kind == "waste":
        return WasteUse(entry.get("trim", False))
    raise ValueError(f'unknown use "{kind}"')

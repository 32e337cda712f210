"""The whole document, key by key."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from nester.verify.fault import Fault, shown
from nester.verify.fields import Fields
from nester.verify.read_matches import read_matches, read_panel, read_penalty, read_result
from nester.verify.read_parts import read_parts
from nester.verify.read_shop import read_shop
from nester.verify.read_stock import read_stock
from nester.verify.read_tree import read_tree
from nester.verify.records import Layout, Missing, Plan

FORMAT = "nester-plan 1"
STATUSES = ("optimal", "within gap", "feasible", "short")
YIELDS = ("stock", "parts", "offcuts", "kerf", "waste")
_KEYS = (
    "format",
    "version",
    "made",
    "units",
    "seed",
    "project",
    "status",
    "cost",
    "bound",
    "gap",
    "seconds",
    "stopped_by",
    "shop",
    "stock",
    "parts",
    "match",
    "layouts",
    "panels",
    "missing",
    "matches",
    "penalties",
    "yield",
)
_LAYOUT = (
    "stock",
    "copy",
    "kind",
    "length",
    "width",
    "thickness",
    "value",
    "first_cut",
    "tree",
)


def read_plan(document: Any, faults: list[Fault]) -> Plan | None:
    """Return the plan; None where its shop, stock or parts cannot be read.

    A document of another format gives that one fault alone.
    """
    name = document.get("format") if isinstance(document, Mapping) else None
    if name != FORMAT:
        message = f'not a plan document: "format" must be "{FORMAT}"'
        found = shown(name) if isinstance(document, Mapping) else shown(document)
        faults.append(Fault("format", message, value=found))
        return None
    before = len(faults)
    fields = Fields(document, "plan", faults, _KEYS)
    _header(fields, faults)
    shop = read_shop(fields.raw("shop"), faults)
    stock = read_stock(fields.items("stock"), faults)
    parts = read_parts(fields.items("parts"), faults)
    matches = read_matches(fields.items("match"), faults)
    panels = [
        read_panel(entry, number, faults) for number, entry in enumerate(fields.items("panels"), 1)
    ]
    results = [
        read_result(entry, number, faults)
        for number, entry in enumerate(fields.items("matches"), 1)
    ]
    penalties = [
        read_penalty(entry, number, faults)
        for number, entry in enumerate(fields.items("penalties"), 1)
    ]
    layouts = [
        _layout(entry, number, faults) for number, entry in enumerate(fields.items("layouts"), 1)
    ]
    missing = [
        _missing(entry, number, faults) for number, entry in enumerate(fields.items("missing"), 1)
    ]
    yields = _yields(fields.raw("yield"), faults)
    status = fields.choice("status", STATUSES)
    cost, bound, gap = fields.amount("cost"), fields.number("bound"), fields.number("gap")
    if shop is None or stock is None or parts is None or matches is None:
        return None
    lists = (layouts, panels, results, penalties, missing)
    return Plan(
        status=status,
        cost=cost,
        bound=bound,
        gap=gap,
        shop=shop,
        stock=stock,
        parts=parts,
        matches=matches,
        layouts=tuple(layout for layout in layouts if layout is not None),
        panels=tuple(panel for panel in panels if panel is not None),
        results=tuple(result for result in results if result is not None),
        penalties=tuple(penalty for penalty in penalties if penalty is not None),
        missing=tuple(entry for entry in missing if entry is not None),
        yields=yields,
        whole=fields.good
        and not any(None in entries for entries in lists)
        and not any(fault.code == "not-known-yet" for fault in faults[before:]),
    )


def _header(fields: Fields, faults: list[Fault]) -> None:
    """Look at the keys that say where the plan comes from."""
    fields.text("version", needed=True)
    fields.text("made", needed=True)
    fields.choice("units", ("in", "mm"))
    fields.whole("seed", 0)
    fields.amount("seconds")
    fields.text("stopped_by", needed=True)
    project = Fields(fields.raw("project"), "project", faults, ("name", "sha256"))
    project.text("name")
    project.text("sha256")


def _layout(data: Any, number: int, faults: list[Fault]) -> Layout | None:
    """Return one layout."""
    table = data if isinstance(data, Mapping) else {}
    named = isinstance(table.get("stock"), str)
    place = f"{table['stock']} layout {number}" if named else f"layout {number}"
    fields = Fields(data, place, faults, _LAYOUT, ("note",))
    tree = read_tree(table["tree"], place, faults) if "tree" in table else None
    layout = Layout(
        stock=fields.text("stock", needed=True),
        copy=fields.whole("copy", 1),
        kind=fields.choice("kind", ("board", "sheet")),
        length=fields.length("length", size=True),
        width=fields.length("width", size=True),
        thickness=fields.length("thickness", size=True),
        value=fields.amount("value"),
        first_cut=fields.choice("first_cut", ("crosscut", "rip", "either"), null=True),
        tree=tree or (),
    )
    if fields.has("note"):
        fields.text("note")
    return layout if fields.good and tree is not None else None


def _missing(data: Any, number: int, faults: list[Fault]) -> Missing | None:
    """Return one entry of the missing parts."""
    fields = Fields(data, f"missing, entry {number}", faults, ("part", "count", "reason"))
    fields.text("reason", needed=True)
    missing = Missing(fields.text("part", needed=True), fields.whole("count", 1))
    return missing if fields.good else None


def _yields(data: Any, faults: list[Fault]) -> dict[str, Fraction]:
    """Return the areas of the yield [mm²]."""
    fields = Fields(data, "yield", faults, YIELDS)
    return {key: fields.amount(key) for key in YIELDS}

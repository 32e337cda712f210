"""Mutations of what a document says of itself: its form, its sums, its status, its hashes."""

import copy
from decimal import Decimal
from random import Random

from tests.nester.verify.mutation_tools import (
    UNIT,
    Mutation,
    Site,
    breaking,
    cuts,
    is_trim,
    leaves,
    one_of,
    restate,
    sites,
)
from tests.nester.verify.plans import WASTE, Doc, nodes, offcut

MUTATIONS: list[Mutation] = []
_CENT = Decimal("0.01")
_SPARED = {
    "hollow_edge",
    "hollow_face",
    "id",
    "kind",
    "lot",
    "moisture",
    "note",
    "shelf",
    "show_face",
}


@breaking(MUTATIONS, "cost")
def other_cost(doc: Doc, rng: Random) -> bool:
    doc["cost"] += _CENT * rng.randint(1, 500)
    return True


@breaking(MUTATIONS, "cost")
def lower_cost(doc: Doc, rng: Random) -> bool:
    if doc["cost"] < _CENT:
        return False
    doc["cost"] -= _CENT
    return True


@breaking(MUTATIONS, "cost")
def other_credit(doc: Doc, rng: Random) -> bool:
    if not any(_worth(site) for site in leaves(doc, "offcut")):
        return False
    credit = doc["shop"]["offcut_credit"]
    doc["shop"]["offcut_credit"] = credit - Decimal("0.25") if credit > 0.5 else credit + _CENT * 25
    return True


@breaking(MUTATIONS, "cost")
def offcut_thrown_away(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in leaves(doc, "offcut") if _worth(s)])
    if site is None or not doc["shop"]["offcut_credit"]:
        return False
    site.node["use"] = dict(WASTE)
    return True


@breaking(MUTATIONS, "cost")
def rotten_offcut(doc: Doc, rng: Random) -> bool:
    """Let half of an offcut be rotten: it is worth half as much."""
    site = one_of(rng, [s for s in leaves(doc, "offcut") if _worth(s)])
    if site is None or not doc["shop"]["offcut_credit"]:
        return False
    box = {key: site.node[key] for key in ("x", "y", "length", "width")}
    box["length"] = Decimal(int(box["length"] / 2))
    rot = {"kind": "rot", **box, "face": "a", "sound": False, "note": ""}
    restate(doc, site.stock, flaws=[*site.stock["flaws"], rot])
    return True


def _worth(site: Site) -> bool:
    """Whether an offcut surely is worth more than a few cents."""
    entry = site.stock
    if entry["kind"] == "board" and entry["width"][0] != entry["width"][1]:
        return False
    area = Decimal(entry["length"]) * site.layout["width"]
    share = site.node["length"] * site.node["width"] / area
    return not entry["flaws"] and site.layout["value"] * share > Decimal("0.2")


@breaking(MUTATIONS, "offcut-size")
def waste_kept(doc: Doc, rng: Random) -> bool:
    """Keep a piece of waste that is too small for the rack."""
    small = [s for s in leaves(doc, "waste") if not is_trim(s.node) and _too_small(doc, s)]
    site = one_of(rng, small)
    if site is None:
        return False
    site.node["use"] = offcut("a sliver")
    return True


def _too_small(doc: Doc, site: Site) -> bool:
    key = "offcut_min" if site.board else "sheet_offcut_min"
    least = doc["shop"][key]
    size = (site.node["length"], site.node["width"])
    ways = [size] if site.board else [size, size[::-1]]
    return not any(long >= least[0] and wide >= least[1] for long, wide in ways)


@breaking(MUTATIONS, "offcut-size")
def greater_least_offcut(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, leaves(doc, "offcut"))
    if site is None:
        return False
    if site.board:
        key = rng.choice(["length", "width"])
        doc["shop"]["offcut_min"][key == "width"] = site.node[key] + UNIT
    else:
        longest = max(site.node["length"], site.node["width"])
        doc["shop"]["sheet_offcut_min"][0] = longest + UNIT
    return True


@breaking(MUTATIONS, "fill")
def oversize_offcut(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in leaves(doc, "offcut") if s.parent is not None])
    if site is None:
        return False
    site.node[rng.choice(["length", "width"])] += doc["shop"]["grid"]
    return True


@breaking(MUTATIONS, "offcut-id")
def offcut_of_known_id(doc: Doc, rng: Random) -> bool:
    kept = leaves(doc, "offcut")
    if not kept:
        return False
    site = rng.choice(kept)
    others = [s.use["id"] for s in kept if s.node is not site.node]
    site.use["id"] = rng.choice(others + [entry["id"] for entry in doc["stock"]])
    return True


@breaking(MUTATIONS, "value")
def other_value(doc: Doc, rng: Random) -> bool:
    rng.choice(doc["layouts"])["value"] += _CENT * rng.randint(1, 100)
    return True


@breaking(MUTATIONS, "value")
def dearer_stock(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in sites(doc) if s.layout["value"] > 1])
    if site is None:
        return False
    restate(doc, site.stock, price=site.stock["price"] * 2)
    return True


@breaking(MUTATIONS, "bound")
def bound_above_cost(doc: Doc, rng: Random) -> bool:
    if doc["bound"] is None:
        return False
    doc["bound"] = doc["cost"] + Decimal("0.001")
    return True


@breaking(MUTATIONS, "bound")
def no_bound(doc: Doc, rng: Random) -> bool:
    if doc["status"] == "short":
        return False
    doc["bound"] = None
    return True


@breaking(MUTATIONS, "gap")
def other_gap(doc: Doc, rng: Random) -> bool:
    if doc["gap"] is None or doc["cost"] < 1:
        return False
    doc["gap"] += _CENT
    return True


@breaking(MUTATIONS, "gap")
def bound_without_its_gap(doc: Doc, rng: Random) -> bool:
    if doc["bound"] is None or doc["cost"] < 1:
        return False
    doc["bound"] = Decimal(doc["bound"]) - Decimal(doc["cost"]) / 4
    return True


@breaking(MUTATIONS, "status")
def optimal_with_a_gap(doc: Doc, rng: Random) -> bool:
    if doc["bound"] is None or not doc["cost"]:
        return False
    doc.update(status="optimal", bound=doc["cost"] / 2, gap=Decimal("0.5"))
    return True


@breaking(MUTATIONS, "short")
def short_of_nothing(doc: Doc, rng: Random) -> bool:
    if doc["missing"]:
        return False
    doc.update(status="short", bound=None, gap=None)
    return True


@breaking(MUTATIONS, "short")
def missing_but_not_short(doc: Doc, rng: Random) -> bool:
    if not doc["missing"]:
        name = doc["parts"][0]["name"]
        doc["missing"] = [{"part": name, "count": 1, "reason": "the saw broke"}]
    doc["status"] = rng.choice(["optimal", "within gap", "feasible"])
    return True


@breaking(MUTATIONS, "short")
def short_with_a_bound(doc: Doc, rng: Random) -> bool:
    if doc["status"] != "short":
        return False
    doc["bound"] = doc["cost"]
    return True


@breaking(MUTATIONS, "yield")
def other_yield(doc: Doc, rng: Random) -> bool:
    doc["yield"][rng.choice(["stock", "parts", "offcuts", "kerf", "waste"])] += 2
    return True


@breaking(MUTATIONS, "hash")
def hash_of_another_state(doc: Doc, rng: Random) -> bool:
    entry = rng.choice(doc["stock"])
    entry["hash"] = entry["hash"][::-1] + "0"
    return True


@breaking(MUTATIONS, "hash")
def state_changed_silently(doc: Doc, rng: Random) -> bool:
    entry = rng.choice(doc["stock"])
    key = rng.choice(["note", "thickness", "count", "price", "flaws"])
    if key == "note":
        entry["note"] = f"{entry['note'] or ''}?"
    elif key == "flaws":
        box = {"x": 0, "y": 0, "length": UNIT, "width": UNIT}
        stain = {"kind": "stain", **box, "face": "b", "sound": True, "note": ""}
        entry["flaws"] = [*entry["flaws"], stain]
    else:
        entry[key] += 1
    return True


@breaking(MUTATIONS, "length-unit")
def length_between_units(doc: Doc, rng: Random) -> bool:
    node = rng.choice([site.node for site in sites(doc)])
    node[rng.choice(["x", "y", "length", "width"])] += Decimal("0.001")
    return True


@breaking(MUTATIONS, "missing-key")
def key_lost(doc: Doc, rng: Random) -> bool:
    table = rng.choice([doc["shop"], doc["parts"][0], doc["stock"][0], doc["layouts"][0]])
    del table[rng.choice([key for key in table if key not in _SPARED])]
    return True


@breaking(MUTATIONS, "unknown-key")
def key_added(doc: Doc, rng: Random) -> bool:
    table = rng.choice([doc, doc["shop"], doc["parts"][0], doc["layouts"][0]["tree"]])
    table["kref"] = 1
    return True


@breaking(MUTATIONS, "wrong-type")
def text_for_a_length(doc: Doc, rng: Random) -> bool:
    node = rng.choice([site.node for site in sites(doc)])
    node[rng.choice(["x", "y", "length", "width"])] = rng.choice(["3", None, True, [1]])
    return True


@breaking(MUTATIONS, "wrong-value")
def negative_length(doc: Doc, rng: Random) -> bool:
    table = rng.choice([rng.choice(cuts(doc)).cut if cuts(doc) else doc["shop"], doc["shop"]])
    table["at" if "at" in table else "grid"] = -1
    return True


@breaking(MUTATIONS, "wrong-value")
def sound_split(doc: Doc, rng: Random) -> bool:
    entry = rng.choice(doc["stock"])
    box = {"x": 0, "y": 0, "length": UNIT, "width": UNIT}
    split = {"kind": "split", **box, "face": "b", "sound": True, "note": ""}
    restate(doc, entry, flaws=[*entry["flaws"], split])
    return True


@breaking(MUTATIONS, "format")
def other_format(doc: Doc, rng: Random) -> bool:
    doc["format"] = rng.choice(["nester-plan 2", "", None, 1])
    return True


@breaking(MUTATIONS, "not-known-yet")
def content_not_known(doc: Doc, rng: Random) -> bool:
    part, node = doc["parts"][0], rng.choice(nodes(doc["layouts"][0]["tree"]))
    changes = [
        (node, "gang", True),
        (part, "resaw", True),
        (part, "laminate", {"plies": 2}),
        (part, "edging", {"thickness": 3}),
    ]
    table, key, value = rng.choice(changes)
    table[key] = copy.deepcopy(value)
    return True

"""Plans changed in ways that break no rule: names, order, notes, and what no blank depends on."""

from collections.abc import Iterator
from decimal import Decimal
from random import Random

from tests.nester.verify.mutation_tools import (
    UNIT,
    Change,
    add_flaw,
    blanks,
    every_blank,
    flaw_at,
    is_trim,
    leaves,
    matched_parts,
    one_of,
    part_of,
    restate,
    run_blanks,
    run_cuts,
)
from tests.nester.verify.plans import Doc, copied, hashed, nodes

HARMLESS: list[Change] = []


def _harmless(change: Change) -> Change:
    HARMLESS.append(change)
    return change


def variants(doc: Doc, rng: Random) -> Iterator[tuple[str, Doc]]:
    """Yield a changed copy of ``doc`` for each harmless change that has a place in it."""
    for change in HARMLESS:
        variant = copied(doc)
        if change(variant, rng):
            yield getattr(change, "__name__", "change"), variant


@_harmless
def part_renamed(doc: Doc, rng: Random) -> bool:
    part = rng.choice(doc["parts"])
    old, new = part["name"], '"<b>\u202e/..\\ü'
    part["name"] = new
    for site in every_blank(doc):
        if site.use["part"] == old:
            site.use["part"] = new
    for entry in doc["missing"]:
        if entry["part"] == old:
            entry["part"] = new
    for entry in doc["match"]:
        entry["parts"] = [new if name == old else name for name in entry["parts"]]
    for entry in doc["matches"]:
        entry["broken"] = [[new if n == old else n for n in pair] for pair in entry["broken"]]
    for panel in doc["panels"]:
        panel["parts"] = [[new if name == old else name, n] for name, n in panel["parts"]]
        for node in nodes(panel["tree"]):
            if node.get("use", {}).get("part") == old:
                node["use"]["part"] = new
    return True


@_harmless
def stock_renamed(doc: Doc, rng: Random) -> bool:
    entry = rng.choice(doc["stock"])
    old, new = entry["id"], "W–17 “old”"
    for layout in doc["layouts"]:
        if layout["stock"] == old:
            layout["stock"] = new
    for part in doc["parts"]:
        for key in ("from", "not_from"):
            part[key] = [new if name == old else name for name in part[key]]
    for found in doc["matches"]:
        found["stock"] = [new if name == old else name for name in found["stock"]]
    entry["id"] = new
    restate(doc, entry)
    return True


@_harmless
def lists_shuffled(doc: Doc, rng: Random) -> bool:
    for key in ("stock", "parts", "layouts", "missing", "panels", "matches", "penalties"):
        rng.shuffle(doc[key])
    return True


@_harmless
def keys_shuffled(doc: Doc, rng: Random) -> bool:
    def shuffled(value: object) -> object:
        if isinstance(value, dict):
            keys = list(value)
            rng.shuffle(keys)
            return {key: shuffled(value[key]) for key in keys}
        return [shuffled(item) for item in value] if isinstance(value, list) else value

    fresh = shuffled(doc)
    assert isinstance(fresh, dict)
    doc.clear()
    doc.update(fresh)
    return True


@_harmless
def numbers_written_otherwise(doc: Doc, rng: Random) -> bool:
    """Write every decimal with trailing zeros, and some as floats."""

    def rewritten(value: object) -> object:
        if isinstance(value, dict):
            return {key: rewritten(inner) for key, inner in value.items()}
        if isinstance(value, list):
            return [rewritten(item) for item in value]
        if isinstance(value, Decimal):
            return Decimal(f"{value:f}" + ("00" if "." in f"{value:f}" else ".0"))
        return value

    fresh = rewritten(doc)
    assert isinstance(fresh, dict)
    doc.update(fresh)
    for layout in doc["layouts"]:
        layout["length"] = float(layout["length"])
    return True


@_harmless
def made_another_day(doc: Doc, rng: Random) -> bool:
    doc.update(made="2027-01-01T00:00:00Z", seconds=Decimal("17.25"), seed=3, version="0.1.1")
    doc["project"]["name"] = "Another name"
    return True


@_harmless
def end_for_end(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    site.use["reversed"] = not site.use["reversed"]
    return True


@_harmless
def other_face_of_sound_part(doc: Doc, rng: Random) -> bool:
    """Turn over a blank whose faces need not differ."""
    same = [s for s in blanks(doc) if part_of(doc, s)["quality"] != "clear face"]
    site = one_of(rng, same + [s for s in blanks(doc) if not s.stock["flaws"]])
    if site is None:
        return False
    site.use["flipped"] = not site.use["flipped"]
    return True


@_harmless
def copies_renumbered(doc: Doc, rng: Random) -> bool:
    """Give the copies of each part that is in no match each other's numbers."""
    for part in doc["parts"]:
        if part["name"] in matched_parts(doc):
            continue
        same = [s for s in blanks(doc) if s.use["part"] == part["name"]]
        numbers = list(range(1, part["count"] + part["spare"] + 1))
        rng.shuffle(numbers)
        for site, number in zip(same, numbers, strict=False):
            site.use["copy"] = number
    return True


@_harmless
def stock_added(doc: Doc, rng: Random) -> bool:
    entry = {**rng.choice(doc["stock"]), "id": "another"}
    doc["stock"].append(hashed(entry))
    return True


@_harmless
def more_copies_of_stock(doc: Doc, rng: Random) -> bool:
    entry = rng.choice(doc["stock"])
    restate(doc, entry, count=entry["count"] + 1)
    return True


@_harmless
def noted(doc: Doc, rng: Random) -> bool:
    entry = rng.choice(doc["stock"])
    restate(doc, entry, note='ask "Ned"\tfirst', shelf="3", moisture=Decimal("8.50"))
    rng.choice(doc["parts"])["note"] = "oil\nfinish"
    return True


@_harmless
def rot_in_waste(doc: Doc, rng: Random) -> bool:
    """Put rot into waste, clear of every blank by more than the margin, and outside all offcuts."""
    margin = doc["shop"]["flaw_margin"]
    found = []
    for site in leaves(doc, "waste"):
        if is_trim(site.node) or site.stock["count"] > 1:
            continue
        (x0, x1), (y0, y1) = site.span("x"), site.span("y")
        x, y = x0 + (x1 - x0) // 2, y0 + (y1 - y0) // 2
        near = [
            other
            for other in every_blank(doc) + leaves(doc, "strip")
            if other.layout is site.layout
            and other.span("x")[0] < x + UNIT + margin
            and other.span("x")[1] > x - margin
            and other.span("y")[0] < y + UNIT + margin
            and other.span("y")[1] > y - margin
        ]
        if not near and x1 - x0 > 2 and y1 - y0 > 2:
            found.append((site, x, y))
    if not found:
        return False
    site, x, y = rng.choice(found)
    add_flaw(doc, site, flaw_at("rot", x, y, UNIT, UNIT))
    return True


@_harmless
def stain_in_offcut(doc: Doc, rng: Random) -> bool:
    """Sound flaws cost an offcut nothing."""
    site = one_of(rng, [s for s in leaves(doc, "offcut") if s.stock["count"] == 1])
    if site is None:
        return False
    stain = flaw_at("stain", site.node["x"], site.node["y"], UNIT, UNIT, sound=True)
    add_flaw(doc, site, stain)
    return True


@_harmless
def later_piece_first(doc: Doc, rng: Random) -> bool:
    """Number the cuts another way that frees each piece before it is cut, those of runs last."""
    in_runs = {id(site.node) for site in run_cuts(doc)}
    for layout in doc["layouts"]:
        waiting = [layout["tree"]]
        number = 0
        while waiting:
            free = [node for node in waiting if id(node) not in in_runs] or waiting
            node = rng.choice(free)
            waiting = [other for other in waiting if other is not node]
            if "cut" in node:
                number += 1
                node["cut"]["order"] = number
                waiting.extend(node["pieces"])
    return True


@_harmless
def looser_shop(doc: Doc, rng: Random) -> bool:
    """Allow more stages, thicker stock and smaller offcuts than the plan needs."""
    doc["shop"].update(stages=None, sheet_stages=9, thick_spare=500, tape=2)
    doc["shop"].update(jointer_width=9000, resaw_height=9000, planer_width=1, rip_capacity=1)
    doc["shop"].update(offcut_min=[1, 1], sheet_offcut_min=[1, 1], metal_clear=0)
    doc["shop"].update(shortest_rip=0, first_cut="either")
    return True


@_harmless
def smaller_parts(doc: Doc, rng: Random) -> bool:
    """Make a part a little smaller than its blank has room for."""
    part = rng.choice(doc["parts"])
    if part["quality"] == "hidden":  # a narrower blank may hold a narrower knot only
        return False
    if part["cutaway"]:  # which must lie within the part
        return False
    part["length"] -= UNIT
    part["width"] -= UNIT
    return True


@_harmless
def panel_renamed(doc: Doc, rng: Random) -> bool:
    if not doc["panels"]:
        return False
    panel = rng.choice(doc["panels"])
    old, panel["id"] = panel["id"], "lid – “oak”"
    for site in leaves(doc, "strip"):
        if site.use["panel"] == old:
            site.use["panel"] = panel["id"]
    return True


@_harmless
def strips_renumbered(doc: Doc, rng: Random) -> bool:
    """Lay the strips of each panel in another order."""
    for panel in doc["panels"]:
        mine = [s for s in leaves(doc, "strip") if s.use["panel"] == panel["id"]]
        numbers = list(range(1, panel["strips"] + 1))
        rng.shuffle(numbers)
        for site, number in zip(mine, numbers, strict=True):
            site.use["strip"] = number
    return bool(doc["panels"])


@_harmless
def penalties_together(doc: Doc, rng: Random) -> bool:
    """Charge the corners of each match in one sum."""
    if not doc["penalties"]:
        return False
    sums: dict[str, Decimal] = {}
    for entry in doc["penalties"]:
        sums[entry["match"]] = sums.get(entry["match"], Decimal(0)) + entry["cost"]
    doc["penalties"] = [
        {"match": name, "why": "corners that do not match", "cost": cost}
        for name, cost in sums.items()
    ]
    return True


@_harmless
def book_over_its_end(doc: Doc, rng: Random) -> bool:
    """Turn one leaf of a book end for end: it opens over an end instead of an edge."""
    books = {entry["name"] for entry in doc["match"] if entry["how"] == "book"}
    site = one_of(rng, [s for s in run_blanks(doc) if s.run in books])
    if site is None or part_of(doc, site)["cutaway"]:
        return False
    site.use["reversed"] = not site.use["reversed"]
    return True


@_harmless
def easier_glue_ups(doc: Doc, rng: Random) -> bool:
    """Allow more strips, of more widths."""
    glued = [part["glue_up"] for part in doc["parts"] if part["glue_up"] is not None]
    for glue_up in glued:
        narrowest, widest = glue_up["strips"]
        glue_up.update(max_strips=99, strips=[narrowest / 2, widest * 2])
    return bool(glued)

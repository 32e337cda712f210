"""Mutations of glued-up panels and their strips, and of cutaways with flaws in them."""

import copy
from random import Random

from tests.nester.verify.mutation_tools import (
    UNIT,
    Mutation,
    Site,
    add_flaw,
    breaking,
    every_blank,
    flaw_at,
    leaves,
    one_of,
    part_of,
    restate,
)
from tests.nester.verify.plans import WASTE, Doc, nodes

MUTATIONS: list[Mutation] = []
_SIZES = {"x": "length", "y": "width"}
_SPOT = 4 * UNIT


def _strip(doc: Doc, rng: Random) -> Site | None:
    return one_of(rng, leaves(doc, "strip"))


def _panel(doc: Doc, rng: Random) -> Doc | None:
    return rng.choice(doc["panels"]) if doc["panels"] else None


def _parts(doc: Doc, panel: Doc) -> list[Doc]:
    """Return the parts of a panel."""
    names = {name for name, _ in panel["parts"]}
    return [part for part in doc["parts"] if part["name"] in names]


def _panel_of(doc: Doc, site: Site) -> Doc:
    """Return the panel of a strip."""
    return next(panel for panel in doc["panels"] if panel["id"] == site.use["panel"])


@breaking(MUTATIONS, "strips")
def strip_thrown_away(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    site.node["use"] = dict(WASTE)
    return True


@breaking(MUTATIONS, "strips")
def strip_numbered_twice(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    site.use["strip"] += rng.choice([-1, 1]) if site.use["strip"] > 1 else 1
    return True


@breaking(MUTATIONS, "strips")
def one_strip_more_than_there_are(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    panel["strips"] += 1
    return True


@breaking(MUTATIONS, "max-strips")
def fewer_strips_allowed(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    rng.choice(_parts(doc, panel))["glue_up"]["max_strips"] = panel["strips"] - 1
    return True


@breaking(MUTATIONS, "panel-width")
def strip_ripped_narrower(doc: Doc, rng: Random) -> bool:
    """Move the rip that frees a strip one step of the grid into it."""
    grid = doc["shop"]["grid"]
    found = [
        s
        for s in leaves(doc, "strip")
        if s.parent is not None
        and s.parent["cut"]["axis"] == "y"
        and len(s.parent["pieces"]) == 2
        and s.parent["pieces"][0] is s.node
        and "use" in s.parent["pieces"][1]
    ]
    site = one_of(rng, found)
    if site is None or site.parent is None:
        return False
    second = site.parent["pieces"][1]
    site.parent["cut"]["at"] -= grid
    site.node["width"] -= grid
    second["y"] -= grid
    second["width"] += grid
    return True


@breaking(MUTATIONS, "panel-width")
def panel_said_to_be_wider(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    panel["width"] += UNIT
    for node in nodes(panel["tree"]):
        node["width"] += UNIT
    return True


@breaking(MUTATIONS, "panel-width")
def more_lost_per_strip(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    for part in _parts(doc, panel):
        part["glue_up"]["per_strip"] += UNIT
    return True


@breaking(MUTATIONS, "strip-width")
def strips_must_be_wider(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    for part in _parts(doc, _panel_of(doc, site)):
        part["glue_up"]["strips"] = [site.node["width"] + UNIT, site.node["width"] + 2 * UNIT]
    return True


@breaking(MUTATIONS, "strip-width")
def strips_must_be_narrower(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    for part in _parts(doc, _panel_of(doc, site)):
        part["glue_up"]["strips"] = [UNIT, site.node["width"] - UNIT]
    return True


@breaking(MUTATIONS, "strip-width")
def narrower_jointer(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    doc["shop"]["jointer_width"] = site.node["width"] - UNIT
    return True


@breaking(MUTATIONS, "strip-length")
def panel_said_to_be_longer(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    _panel_of(doc, site)["length"] = site.node["length"] + UNIT
    return True


@breaking(MUTATIONS, "size")
def part_larger_than_panel(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    part = rng.choice([p for p in _parts(doc, panel) if p["grain"] != "width"])
    key = rng.choice(["length", "width"])
    part[key] = panel[key] + UNIT
    return True


@breaking(MUTATIONS, "panel-id")
def panel_left_out(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    doc["panels"].remove(panel)
    return True


@breaking(MUTATIONS, "panel-id")
def panel_listed_twice(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    doc["panels"].append(copy.deepcopy(panel))
    return True


@breaking(MUTATIONS, "glue-up")
def part_may_not_be_glued(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    rng.choice(_parts(doc, panel))["glue_up"] = None
    return True


@breaking(MUTATIONS, "panel-parts")
def other_copy_in_panel(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    rng.choice(panel["parts"])[1] += 1
    return True


@breaking(MUTATIONS, "panel-parts")
def waste_in_panel(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    rng.choice([node for node in nodes(panel["tree"]) if "use" in node])["use"] = dict(WASTE)
    return True


@breaking(MUTATIONS, "panel-match")
def panel_of_other_match(doc: Doc, rng: Random) -> bool:
    panel = _panel(doc, rng)
    if panel is None:
        return False
    panel["match"] = "no such match" if panel["match"] is None else None
    return True


@breaking(MUTATIONS, "copies")
def panel_part_cut_from_nothing(doc: Doc, rng: Random) -> bool:
    """Cut another copy of a panel's part where one is wanted already."""
    panel = _panel(doc, rng)
    if panel is None:
        return False
    rng.choice(_parts(doc, panel))["count"] += 1
    return True


@breaking(MUTATIONS, "kerf")
def joint_in_panel_without_its_loss(doc: Doc, rng: Random) -> bool:
    grid = doc["shop"]["grid"]
    found = [
        node
        for panel in doc["panels"]
        for node in nodes(panel["tree"])
        if "cut" in node and node["cut"]["kerf"] > grid
    ]
    if not found:
        return False
    node = rng.choice(found)
    more = node["cut"]["kerf"] - grid
    node["cut"]["kerf"] = grid
    axis, second = node["cut"]["axis"], node["pieces"][1]
    second[axis] -= more
    second[_SIZES[axis]] += more
    return True


@breaking(MUTATIONS, "thickness")
def more_planed_off_panels(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    part = rng.choice(_parts(doc, _panel_of(doc, site)))
    doc["shop"]["panel_off"] = site.stock["thickness"] - part["thickness"] + UNIT
    return True


@breaking(MUTATIONS, "material")
def strip_of_other_species(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    restate(doc, site.stock, species="bog oak")
    return True


@breaking(MUTATIONS, "quality")
def rot_in_strip(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    if all("rot" in part["allow"] for part in _parts(doc, _panel_of(doc, site))):
        return False
    (x0, x1), (y0, y1) = site.span("x"), site.span("y")
    x, y = x0 + (x1 - x0) // 2, y0 + (y1 - y0) // 2
    add_flaw(doc, site, flaw_at("rot", x, y, _SPOT, _SPOT, rng.choice(["a", "b"])))
    return True


@breaking(MUTATIONS, "quality")
def both_faces_of_strip_stained(doc: Doc, rng: Random) -> bool:
    site = _strip(doc, rng)
    if site is None:
        return False
    parts = _parts(doc, _panel_of(doc, site))
    if not any(p["quality"] == "clear face" and "stain" not in p["allow"] for p in parts):
        return False
    for i, face in enumerate("ab"):
        x, y = site.span("x")[0] + i * 8 * UNIT, site.span("y")[0]
        add_flaw(doc, site, flaw_at("stain", x, y, _SPOT, _SPOT, face, sound=True))
    return True


def _excused(doc: Doc) -> list[tuple[Site, int]]:
    """Return the blanks with a cutaway and an unsound flaw in them, with the flaw's number.

    In a plan that holds, such a flaw lies in the cutaway, unless the part may hold it anyhow.
    """
    found = []
    for site in every_blank(doc):
        part = part_of(doc, site)
        if not part["cutaway"] or part["quality"] == "hidden":
            continue
        (x0, x1), (y0, y1) = site.span("x"), site.span("y")
        for i, flaw in enumerate(site.stock["flaws"]):
            inside = (
                x0 < flaw["x"] + flaw["length"]
                and flaw["x"] < x1
                and y0 < flaw["y"] + flaw["width"]
                and flaw["y"] < y1
            )
            bad = not flaw["sound"] and flaw["kind"] not in part["allow"]
            if inside and bad and "outline" not in flaw:
                found.append((site, i))
    return found


@breaking(MUTATIONS, "quality")
def cutaway_left_whole(doc: Doc, rng: Random) -> bool:
    """Saw nothing away of a part with a flaw in what was to be sawn away."""
    found = _excused(doc)
    if not found:
        return False
    site, _ = rng.choice(found)
    part_of(doc, site)["cutaway"] = []
    return True


@breaking(MUTATIONS, "quality")
def flaw_moved_out_of_cutaway(doc: Doc, rng: Random) -> bool:
    """Move a flaw from under an arch or out of a corner to the outside of the blank, half in it."""
    found = _excused(doc)
    if not found:
        return False
    site, i = rng.choice(found)
    flaws = list(site.stock["flaws"])
    x1 = site.span("x")[1]
    flaws[i] = {**flaws[i], "x": x1 - UNIT, "length": 2 * UNIT, "width": UNIT}
    restate(doc, site.stock, flaws=flaws)
    return True


@breaking(MUTATIONS, "quality")
def flaw_larger_than_cutaway(doc: Doc, rng: Random) -> bool:
    """Let a flaw in a cutaway reach right across the blank."""
    found = _excused(doc)
    if not found:
        return False
    site, i = rng.choice(found)
    flaws = list(site.stock["flaws"])
    flaws[i] = {**flaws[i], "y": site.node["y"], "width": site.node["width"]}
    restate(doc, site.stock, flaws=flaws)
    return True


@breaking(MUTATIONS, "quality")
def nail_in_cutaway(doc: Doc, rng: Random) -> bool:
    """Metal and voids are never excused."""
    found = _excused(doc)
    if not found:
        return False
    site, i = rng.choice(found)
    flaws = list(site.stock["flaws"])
    flaws[i] = {**flaws[i], "kind": rng.choice(["metal", "void"])}
    restate(doc, site.stock, flaws=flaws)
    return True


@breaking(MUTATIONS, "quality")
def shallower_arch(doc: Doc, rng: Random) -> bool:
    """Let all arches of a part rise by next to nothing, and take no corners off."""
    found = _excused(doc)
    if not found:
        return False
    part = part_of(doc, rng.choice(found)[0])
    part["cutaway"] = [entry for entry in part["cutaway"] if "arch" in entry]
    for entry in part["cutaway"]:
        entry["arch"]["rise"] = UNIT
    return True


@breaking(MUTATIONS, "wrong-value")
def arch_out_of_part(doc: Doc, rng: Random) -> bool:
    found = [
        (part, entry["arch"])
        for part in doc["parts"]
        for entry in part["cutaway"]
        if "arch" in entry
    ]
    if not found:
        return False
    part, arch = rng.choice(found)
    if rng.random() < 0.5:
        arch["start"] = part["length"] - arch["span"] + UNIT
    else:
        arch["rise"] = arch["span"]
    return True

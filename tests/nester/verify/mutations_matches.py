"""Mutations of resawn pairs, and of what a document says of its matches."""

import copy
from random import Random

from tests.nester.verify.mutation_tools import (
    UNIT,
    Mutation,
    Site,
    breaking,
    how_of,
    one_of,
    resaw_cuts,
    run_blanks,
)
from tests.nester.verify.plans import Doc, nodes

MUTATIONS: list[Mutation] = []


@breaking(MUTATIONS, "resaw-height")
def lower_saw(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, resaw_cuts(doc))
    if site is None:
        return False
    doc["shop"]["resaw_height"] = site.node["width"] - UNIT
    return True


@breaking(MUTATIONS, "resaw-faces")
def leaves_exchanged(doc: Doc, rng: Random) -> bool:
    """Take both leaves from the other side of the kerf: their outer faces would show."""
    site = one_of(rng, resaw_cuts(doc))
    if site is None:
        return False
    site.pieces.reverse()
    return True


@breaking(MUTATIONS, "resaw-faces")
def leaf_rolled_over(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, resaw_cuts(doc))
    if site is None:
        return False
    for node in nodes(rng.choice(site.pieces)):
        if "use" in node:
            node["use"]["flipped"] ^= True
    return True


@breaking(MUTATIONS, "resaw-match")
def pair_of_a_sequence(doc: Doc, rng: Random) -> bool:
    names = {site.run for site in run_blanks(doc) if site.resawn}
    found = [entry for entry in doc["match"] if entry["name"] in names]
    if not found:
        return False
    rng.choice(found)["how"] = rng.choice(["sequence", "stack", "same board"])
    return True


@breaking(MUTATIONS, "resaw-pair")
def other_edge_up_in_one_leaf(doc: Doc, rng: Random) -> bool:
    """Turn one leaf of a wrap end for end, its parts too: its other edge would be up."""
    site = one_of(rng, [s for s in resaw_cuts(doc) if _wraps(doc, s)])
    if site is None:
        return False
    blanks = [node for node in nodes(rng.choice(site.pieces)) if "use" in node]
    uses = [node["use"] for node in blanks]
    for node, use in zip(blanks, reversed(uses), strict=True):
        node["use"] = {**use, "reversed": not use["reversed"]}
    return True


@breaking(MUTATIONS, "resaw-pair")
def leaf_of_another_set(doc: Doc, rng: Random) -> bool:
    """Put the same part into both leaves of a pair."""
    site = one_of(rng, resaw_cuts(doc))
    if site is None:
        return False
    first, second = ([node for node in nodes(piece) if "use" in node] for piece in site.pieces)
    for one, two in zip(first, second, strict=False):
        one["use"].update(part=two["use"]["part"], copy=two["use"]["copy"])
    return True


def _wraps(doc: Doc, site: Site) -> bool:
    """Whether the leaves of a resawn piece are of a wrap."""
    names = {node.get("run") for node in nodes(site.node)} - {None}
    return any(how_of(doc, name) == "wrap" for name in names)


@breaking(MUTATIONS, "thickness")
def thinner_leaf(doc: Doc, rng: Random) -> bool:
    """Resaw so close to a face that the leaf is no thicker than its part, not yet planed."""
    site = one_of(rng, [s for s in resaw_cuts(doc) if doc["shop"]["plane_off"]["rough"]])
    if site is None or site.stock["surface"] != "rough":
        return False
    uses = [node["use"] for node in nodes(site.pieces[0]) if "use" in node]
    part = next(entry for entry in doc["parts"] if entry["name"] == uses[0]["part"])
    site.cut["at"] = part["thickness"]
    return True


@breaking(MUTATIONS, "cut-inside")
def resawn_past_the_face(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, resaw_cuts(doc))
    if site is None:
        return False
    site.cut["at"] = rng.choice([0, site.stock["thickness"]])
    return True


@breaking(MUTATIONS, "fill")
def leaf_of_other_size(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, resaw_cuts(doc))
    if site is None:
        return False
    rng.choice(site.pieces)[rng.choice(["length", "width"])] -= UNIT
    return True


@breaking(MUTATIONS, "matched")
def more_corners_than_match(doc: Doc, rng: Random) -> bool:
    if not doc["matches"]:
        return False
    rng.choice(doc["matches"])["matched"] += rng.choice([1, 2])
    return True


@breaking(MUTATIONS, "corners")
def other_number_of_corners(doc: Doc, rng: Random) -> bool:
    if not doc["matches"]:
        return False
    rng.choice(doc["matches"])["corners"] += 1
    return True


@breaking(MUTATIONS, "broken")
def broken_corner_not_named(doc: Doc, rng: Random) -> bool:
    found = [entry for entry in doc["matches"] if entry["broken"]]
    if not found:
        return False
    rng.choice(found)["broken"].pop()
    return True


@breaking(MUTATIONS, "broken")
def sound_corner_called_broken(doc: Doc, rng: Random) -> bool:
    found = [entry for entry in doc["matches"] if entry["matched"]]
    if not found:
        return False
    entry = rng.choice(found)
    parts = next(m["parts"] for m in doc["match"] if m["name"] == entry["name"])
    entry["broken"].append([parts[0], parts[1]])
    return True


@breaking(MUTATIONS, "match-stock")
def stock_of_match_not_named(doc: Doc, rng: Random) -> bool:
    found = [entry for entry in doc["matches"] if entry["stock"]]
    if not found:
        return False
    rng.choice(found)["stock"].pop()
    return True


@breaking(MUTATIONS, "match-result")
def match_not_counted(doc: Doc, rng: Random) -> bool:
    if not doc["matches"]:
        return False
    doc["matches"].pop(rng.randrange(len(doc["matches"])))
    return True


@breaking(MUTATIONS, "match-result")
def match_counted_twice(doc: Doc, rng: Random) -> bool:
    if not doc["matches"]:
        return False
    doc["matches"].append(copy.deepcopy(rng.choice(doc["matches"])))
    return True


@breaking(MUTATIONS, "required")
def lesser_match_required(doc: Doc, rng: Random) -> bool:
    """Ask for the full match where a lesser one was taken."""
    least = {e["name"]: len(e["parts"]) - 1 for e in doc["match"] if e["sets"] == 1}
    found = [
        entry["name"]
        for entry in doc["matches"]
        if entry["stock"] and entry["matched"] < least.get(entry["name"], 0)
    ]
    if not found:
        return False
    name = rng.choice(found)
    next(entry for entry in doc["match"] if entry["name"] == name)["required"] = True
    return True


@breaking(MUTATIONS, "penalty")
def corner_for_nothing(doc: Doc, rng: Random) -> bool:
    if not doc["penalties"]:
        return False
    doc["penalties"].pop(rng.randrange(len(doc["penalties"])))
    return True


@breaking(MUTATIONS, "penalty")
def penalty_without_a_price(doc: Doc, rng: Random) -> bool:
    if not doc["match"]:
        return False
    name = rng.choice(doc["match"])["name"]
    doc["penalties"].append({"match": name, "why": "it does not run on", "cost": 10})
    return True


@breaking(MUTATIONS, "penalty")
def dearer_corners(doc: Doc, rng: Random) -> bool:
    if not any(entry["broken"] for entry in doc["matches"]):
        return False
    doc["shop"]["corner_penalty"] = (doc["shop"]["corner_penalty"] or 0) + 7
    return True


@breaking(MUTATIONS, "match-part")
def match_of_no_part(doc: Doc, rng: Random) -> bool:
    if not doc["match"]:
        return False
    rng.choice(doc["match"])["parts"][0] = "no such part"
    return True


@breaking(MUTATIONS, "match-copies")
def one_set_too_many(doc: Doc, rng: Random) -> bool:
    """Ask a match for a set more than there are copies of its parts."""
    names = {part["name"]: part["count"] for part in doc["parts"]}
    found = [e for e in doc["match"] if e["parts"][0] in names]
    if not found:
        return False
    entry = rng.choice(found)
    entry["sets"] += names[entry["parts"][0]]
    return True

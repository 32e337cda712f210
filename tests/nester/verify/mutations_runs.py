"""Mutations of runs: their order, their orientation, their sizes, their cuts."""

from collections.abc import Iterator
from decimal import Decimal
from random import Random

from tests.nester.verify.mutation_tools import (
    UNIT,
    Mutation,
    Site,
    add_flaw,
    breaking,
    flaw_at,
    how_of,
    one_of,
    part_of,
    restate,
    run_blanks,
    run_cuts,
    sites,
)
from tests.nester.verify.plans import WASTE, Doc, nodes

MUTATIONS: list[Mutation] = []
_SIZES = {"x": "length", "y": "width"}
_SPOT = 4 * UNIT


def _rows(doc: Doc) -> Iterator[list[Site]]:
    """Yield the blanks of each run that is no leaf of a book, in the order they lie."""
    for name in sorted({site.run for site in run_blanks(doc)}):
        if how_of(doc, name) == "book":
            continue
        tops = [s for s in sites(doc) if s.run == name and "cut" in s.node and _is_top(s, name)]
        for top in tops:
            inside = {id(node) for node in nodes(top.node)}
            row = [s for s in run_blanks(doc) if s.run == name and id(s.node) in inside]
            if len(row) > 1:
                yield sorted(row, key=lambda s: (s.node["x"], s.node["y"]))


def _is_top(site: Site, name: str) -> bool:
    """Whether a cut node is the rectangle of a run, not one cut from it or resawn into it."""
    if site.cut["axis"] == "z":
        return False
    return bool(site.node.get("run") == name or (site.parent or {}).get("run") == name) and (
        site.parent is None or site.parent.get("cut", {}).get("axis") == "z" or "run" in site.node
    )


def _row(doc: Doc, rng: Random) -> list[Site]:
    """Return the blanks of one run, nothing where there is none."""
    rows = list(_rows(doc))
    return rng.choice(rows) if rows else []


@breaking(MUTATIONS, "run-order")
def run_order_swapped(doc: Doc, rng: Random) -> bool:
    """Swap two neighbours of a run that are not both of it: no other order is a turn of it."""
    row = _row(doc, rng)
    if not row:
        return False
    i = rng.randrange(len(row) - 1)
    one, two = row[i].node, row[i + 1].node
    one["use"], two["use"] = two["use"], one["use"]
    return True


@breaking(MUTATIONS, "run-order")
def run_turned_by_name_only(doc: Doc, rng: Random) -> bool:
    """Call a whole run turned end for end without turning the order of its parts."""
    row = _row(doc, rng)
    if not row:
        return False
    for site in row:
        site.use["reversed"] = not site.use["reversed"]
    return True


@breaking(MUTATIONS, "run-order")
def part_of_another_set(doc: Doc, rng: Random) -> bool:
    row = _row(doc, rng)
    if not row:
        return False
    rng.choice(row).use["copy"] += 1
    return True


@breaking(MUTATIONS, "run-order")
def part_of_no_match(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, run_blanks(doc))
    if site is None:
        return False
    other = {**part_of(doc, site), "name": "another"}
    doc["parts"].append(other)
    site.use["part"] = "another"
    return True


@breaking(MUTATIONS, "run-sides")
def one_part_end_for_end(doc: Doc, rng: Random) -> bool:
    row = _row(doc, rng)
    if not row:
        return False
    rng.choice(row).use["reversed"] ^= True
    return True


@breaking(MUTATIONS, "run-sides")
def one_edge_down(doc: Doc, rng: Random) -> bool:
    """Roll one part of a run over, so that its other face and its other edge show."""
    row = _row(doc, rng)
    if not row:
        return False
    rng.choice(row).use["flipped"] ^= True
    return True


@breaking(MUTATIONS, "run-match")
def run_of_no_match(doc: Doc, rng: Random) -> bool:
    marked = [node for e in doc["layouts"] for node in nodes(e["tree"]) if "run" in node]
    if not marked:
        return False
    rng.choice(marked)["run"] = "no such match"
    return True


@breaking(MUTATIONS, "run-match")
def run_of_one_board(doc: Doc, rng: Random) -> bool:
    """Say of a match with a run that its parts only come from one board."""
    names = {site.run for site in run_blanks(doc)}
    found = [entry for entry in doc["match"] if entry["name"] in names]
    if not found:
        return False
    rng.choice(found)["how"] = "same board"
    return True


@breaking(MUTATIONS, "run-parts")
def waste_in_run(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, run_blanks(doc))
    if site is None:
        return False
    site.node["use"] = dict(WASTE)
    return True


@breaking(MUTATIONS, "run-parts")
def run_of_one_part(doc: Doc, rng: Random) -> bool:
    """Mark a blank by itself as a run."""
    alone = [s for s in sites(doc) if "use" in s.node and not s.run and not s.resawn]
    names = [e["name"] for e in doc["match"] if e["how"] in ("wrap", "sequence", "stack")]
    site = one_of(rng, [s for s in alone if s.use["kind"] == "blank"])
    if site is None or not names:
        return False
    site.node["run"] = rng.choice(names)
    return True


@breaking(MUTATIONS, "saw")
def run_sawn_otherwise(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, run_cuts(doc))
    if site is None:
        return False
    saws = ("crosscut", "rough_rip", "resaw")
    site.cut["saw"] = rng.choice([saw for saw in saws if saw != site.cut["saw"]])
    return True


@breaking(MUTATIONS, "saw")
def run_mark_lost(doc: Doc, rng: Random) -> bool:
    """Take the mark from a run whose joints are mitered; the rows of a stack would be its own."""
    marked = [s for s in sites(doc) if "run" in s.node and s.cut_saw == "miter"]
    marked = [s for s in marked if (s.parent or {}).get("cut", {}).get("axis") != "z"]
    site = one_of(rng, [s for s in marked if s.parent is None or not _in_run(doc, s.parent)])
    if site is None:
        return False
    del site.node["run"]
    return True


def _in_run(doc: Doc, node: Doc) -> bool:
    return any(s.run for s in sites(doc) if s.node is node)


@breaking(MUTATIONS, "kerf")
def joint_without_its_loss(doc: Doc, rng: Random) -> bool:
    """Saw a joint with a bare step of the grid, the wood given to the part beside it."""
    grid = doc["shop"]["grid"]
    wide = [s for s in run_cuts(doc) if s.cut["kerf"] > grid and "use" in s.pieces[1]]
    site = one_of(rng, wide)
    if site is None:
        return False
    axis, second = site.cut["axis"], site.pieces[1]
    more = site.cut["kerf"] - grid
    site.cut["kerf"] = grid
    second[axis] -= more
    second[_SIZES[axis]] += more
    return True


@breaking(MUTATIONS, "kerf")
def greater_joint_trim(doc: Doc, rng: Random) -> bool:
    """Let more be lost at each joint of a match that has a run of two or more."""
    names = {site.run for site in run_cuts(doc)}
    found = [entry for entry in doc["match"] if entry["name"] in names]
    if not found:
        return False
    rng.choice(found)["joint_trim"] += doc["shop"]["grid"]
    return True


@breaking(MUTATIONS, "kerf")
def steeper_miter(doc: Doc, rng: Random) -> bool:
    """At 80 degrees the kerf counts nearly sixfold."""
    names = {site.run for site in run_cuts(doc)}
    wraps = [e for e in doc["match"] if e["name"] in names and e["how"] == "wrap"]
    if not wraps or doc["shop"]["kerf"]["crosscut"] < doc["shop"]["grid"]:
        return False
    rng.choice(wraps)["miter"] = 80
    return True


@breaking(MUTATIONS, "run-size")
def wider_gap(doc: Doc, rng: Random) -> bool:
    """Move a joint of a run with an inner part by a step of the grid, kerf and all."""
    grid = doc["shop"]["grid"]
    found = []
    for row in _rows(doc):
        inner = {id(site.node) for site in row[1:-1]}
        found += [
            s
            for s in run_cuts(doc)
            if "use" in s.pieces[0] and "use" in s.pieces[1]
            if id(s.pieces[0]) in inner or id(s.pieces[1]) in inner
        ]
    site = one_of(rng, found)
    if site is None:
        return False
    axis, (first, second) = site.cut["axis"], site.pieces
    site.cut["at"] += grid
    first[_SIZES[axis]] += grid
    second[axis] += grid
    second[_SIZES[axis]] -= grid
    return True


@breaking(MUTATIONS, "size")
def longer_part_in_run(doc: Doc, rng: Random) -> bool:
    """Make a part of a run a step longer than the place it has."""
    site = one_of(rng, run_blanks(doc))
    if site is None:
        return False
    size = "width" if site.use["turned"] else "length"
    part_of(doc, site)["length"] = site.node[size] + UNIT
    return True


@breaking(MUTATIONS, "size")
def longer_shortest_run(doc: Doc, rng: Random) -> bool:
    """Let no board piece as short as a run go over the machines."""
    tops = [s for s in sites(doc) if s.board and s.run and s.node.get("run") == s.run]
    site = one_of(rng, [s for s in tops if "cut" in s.node])
    if site is None:
        return False
    doc["shop"]["shortest_milled"] = site.node["length"] + UNIT
    return True


@breaking(MUTATIONS, "run-last")
def run_cut_first(doc: Doc, rng: Random) -> bool:
    """Exchange the numbers of a cut in a run and of a later crosscut or rip outside."""
    found = [
        (one, two)
        for one in run_cuts(doc)
        for two in sites(doc)
        if two.layout is one.layout and not two.run and two.cut_axis in ("x", "y")
    ]
    if not found:
        return False
    one, two = rng.choice(found)
    one.cut["order"], two.cut["order"] = two.cut["order"], one.cut["order"]
    return True


@breaking(MUTATIONS, "thickness")
def bow_over_the_run(doc: Doc, rng: Random) -> bool:
    """Bow a board so that each part of a run would stay thick enough, but not the run."""
    rows = [row for row in _rows(doc) if row[0].board]
    rows = [row for row in rows if row[0].node["x"] != row[1].node["x"]]
    if not rows:
        return False
    row = rng.choice(rows)
    site = row[0]
    along = row[-1].span("x")[1] - site.span("x")[0]
    least = sum((part_of(doc, s)["length"] for s in row), Decimal(0))
    if along <= least:
        return False
    # Over the finished lengths alone nothing would be left.
    ratio = Decimal(site.stock["length"]) / least
    bow = (site.stock["thickness"] * ratio * ratio).quantize(Decimal(1)) + 1
    restate(doc, site.stock, bow=bow)
    return True


@breaking(MUTATIONS, "quality")
def rot_in_run(doc: Doc, rng: Random) -> bool:
    """Put rot into one of the parts of a run or a book, away from any cutaway."""
    site = one_of(rng, [s for s in run_blanks(doc) if not part_of(doc, s)["cutaway"]])
    if site is None or "rot" in part_of(doc, site)["allow"]:
        return False
    (x0, x1), (y0, y1) = site.span("x"), site.span("y")
    x, y = x0 + (x1 - x0) // 2, y0 + (y1 - y0) // 2
    add_flaw(doc, site, flaw_at("rot", x, y, _SPOT, _SPOT, rng.choice(["a", "b"])))
    return True


@breaking(MUTATIONS, "quality")
def stain_in_resawn_leaf(doc: Doc, rng: Random) -> bool:
    """A stain on either face of a board is on the show faces of both its leaves."""
    site = one_of(rng, [s for s in run_blanks(doc) if s.resawn])
    if site is None or not part_of(doc, site)["quality"].startswith("clear"):
        return False
    (x0, x1), (y0, y1) = site.span("x"), site.span("y")
    x, y = x0 + (x1 - x0) // 2, y0 + (y1 - y0) // 2
    face = rng.choice(["a", "b"])
    add_flaw(doc, site, flaw_at("stain", x, y, _SPOT, _SPOT, face, sound=True))
    return True


@breaking(MUTATIONS, "rows")
def row_shifted(doc: Doc, rng: Random) -> bool:
    """Move both joints of one row of a stack along by more than a step of the grid."""
    grid = doc["shop"]["grid"] * 2
    stacks = {entry["name"] for entry in doc["match"] if entry["how"] == "stack"}
    rows = [s for s in sites(doc) if "run" in s.node and (s.parent or {}).get("run") in stacks]
    site = one_of(rng, [s for s in rows if s.cut_axis == "x"])
    if site is None:
        return False
    for node in nodes(site.node):
        if "cut" in node:
            node["cut"]["at"] += grid
        if node["x"] > site.node["x"]:
            node["x"] += grid
            if node["x"] + node["length"] > site.span("x")[1]:
                node["length"] -= grid
        elif node is not site.node:
            node["length"] += grid
    return True


@breaking(MUTATIONS, "run-cut")
def stack_called_a_sequence(doc: Doc, rng: Random) -> bool:
    """Lay the parts of a match the other way than they are cut: end to end, or edge to edge."""
    others = {"stack": "sequence", "sequence": "stack", "wrap": "stack"}
    names = {site.run for site in run_cuts(doc) if not site.resawn}
    found = [entry for entry in doc["match"] if entry["name"] in names and entry["how"] in others]
    if not found:
        return False
    entry = rng.choice(found)
    entry["how"] = others[entry["how"]]
    return True

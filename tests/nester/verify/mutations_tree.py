"""Mutations of cut trees: geometry, saws, order, trims, stages, and which stock is cut."""

import copy
from decimal import Decimal
from fractions import Fraction
from random import Random

from tests.nester.verify.mutation_tools import (
    UNIT,
    Mutation,
    Site,
    add_flaw,
    blanks,
    breaking,
    cuts,
    flaw_at,
    is_trim,
    leaves,
    one_of,
    plain_cuts,
    restate,
    sites,
    span,
    stock_width,
    trim_cuts,
)
from tests.nester.verify.plans import Doc

MUTATIONS: list[Mutation] = []
_SIZES = {"x": "length", "y": "width"}


@breaking(MUTATIONS, "fill")
def shift_cut(doc: Doc, rng: Random) -> bool:
    grid = doc["shop"]["grid"]
    site = one_of(rng, [s for s in cuts(doc) if s.cut["at"] + grid < s.span()[1]])
    if site is None:
        return False
    site.cut["at"] += grid
    return True


@breaking(MUTATIONS, "fill")
def widen_piece(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, cuts(doc))
    if site is None:
        return False
    rng.choice(site.pieces)[_SIZES[site.cut["axis"]]] += doc["shop"]["grid"]
    return True


@breaking(MUTATIONS, "fill")
def narrow_piece_across(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, cuts(doc))
    if site is None:
        return False
    across = "width" if site.cut["axis"] == "x" else "length"
    rng.choice(site.pieces)[across] -= UNIT
    return True


@breaking(MUTATIONS, "fill")
def lose_piece(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in cuts(doc) if len(s.pieces) == 2])
    if site is None:
        return False
    site.pieces.pop(rng.randrange(2))
    return True


@breaking(MUTATIONS, "fill")
def swap_pieces(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in cuts(doc) if len(s.pieces) == 2])
    if site is None:
        return False
    site.pieces.reverse()
    return True


@breaking(MUTATIONS, "cut-inside")
def cut_beside_piece(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, cuts(doc))
    if site is None:
        return False
    site.cut["at"] = site.span()[1]
    return True


@breaking(MUTATIONS, "grid")
def cut_off_grid(doc: Doc, rng: Random) -> bool:
    """Shift a cut between two leaves with its pieces, by less than the grid."""
    between = [s for s in cuts(doc) if sum("use" in p for p in s.pieces) == 2]
    site = one_of(rng, between)
    if site is None or doc["shop"]["grid"] == UNIT:
        return False
    axis = site.cut["axis"]
    first, second = site.pieces
    site.cut["at"] += UNIT
    first[_SIZES[axis]] += UNIT
    second[axis] += UNIT
    second[_SIZES[axis]] -= UNIT
    return second[_SIZES[axis]] > 0  # type: ignore[no-any-return]


@breaking(MUTATIONS, "kerf")
def shrink_kerf(doc: Doc, rng: Random) -> bool:
    """Take less kerf and give it to the second piece where that is a leaf."""
    grid = doc["shop"]["grid"]
    site = one_of(rng, [s for s in cuts(doc) if s.cut["kerf"] >= grid])
    if site is None:
        return False
    site.cut["kerf"] -= grid
    axis, second = site.cut["axis"], site.pieces[-1]
    if len(site.pieces) == 2 and "use" in second:
        second[axis] -= grid
        second[_SIZES[axis]] += grid
    return True


@breaking(MUTATIONS, "kerf")
def coarser_saw(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, cuts(doc))
    if site is None:
        return False
    doc["shop"]["kerf"][site.cut["saw"]] += doc["shop"]["grid"]
    return True


@breaking(MUTATIONS, "saw")
def other_saw(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, cuts(doc))
    if site is None:
        return False
    saws = ["crosscut", "rip", "rough_rip", "sheet"]
    site.cut["saw"] = rng.choice([saw for saw in saws if saw != site.cut["saw"]])
    return True


@breaking(MUTATIONS, "order")
def cut_before_its_piece_is_free(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in cuts(doc) if s.parent is not None])
    if site is None or site.parent is None:
        return False
    above = site.parent["cut"]
    above["order"], site.cut["order"] = site.cut["order"], above["order"]
    return True


@breaking(MUTATIONS, "order")
def same_number_twice(doc: Doc, rng: Random) -> bool:
    many = [s for s in cuts(doc) if s.parent is not None]
    site = one_of(rng, many)
    if site is None:
        return False
    site.cut["order"] = site.layout["tree"]["cut"]["order"]
    return True


@breaking(MUTATIONS, "order")
def number_left_out(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, cuts(doc))
    if site is None:
        return False
    for other in cuts(doc):
        if other.layout is site.layout:
            other.cut["order"] += 1
    return True


@breaking(MUTATIONS, "root")
def larger_root(doc: Doc, rng: Random) -> bool:
    layout = rng.choice(doc["layouts"])
    layout["tree"][rng.choice(["length", "width", "x", "y"])] += doc["shop"]["grid"]
    return True


@breaking(MUTATIONS, "layout-stock")
def layout_of_other_size(doc: Doc, rng: Random) -> bool:
    rng.choice(doc["layouts"])[rng.choice(["length", "width", "thickness"])] += UNIT
    return True


@breaking(MUTATIONS, "layout-stock")
def layout_of_other_kind(doc: Doc, rng: Random) -> bool:
    layout = rng.choice(doc["layouts"])
    layout["kind"] = "sheet" if layout["kind"] == "board" else "board"
    return True


@breaking(MUTATIONS, "unknown-stock")
def stock_that_is_not_there(doc: Doc, rng: Random) -> bool:
    rng.choice(doc["layouts"])["stock"] = "no such board"
    return True


@breaking(MUTATIONS, "unknown-stock")
def stock_entry_lost(doc: Doc, rng: Random) -> bool:
    name = rng.choice(doc["layouts"])["stock"]
    doc["stock"] = [entry for entry in doc["stock"] if entry["id"] != name]
    return True


@breaking(MUTATIONS, "stock-twice")
def cut_up_twice(doc: Doc, rng: Random) -> bool:
    doc["layouts"].append(copy.deepcopy(rng.choice(doc["layouts"])))
    return True


@breaking(MUTATIONS, "stock-count")
def one_more_than_there_are(doc: Doc, rng: Random) -> bool:
    site = rng.choice(list(sites(doc)))
    site.layout["copy"] = site.stock["count"] + 1
    return True


@breaking(MUTATIONS, "stock-count")
def one_was_sold(doc: Doc, rng: Random) -> bool:
    site = rng.choice(list(sites(doc)))
    most = max(e["copy"] for e in doc["layouts"] if e["stock"] == site.stock["id"])
    restate(doc, site.stock, count=most - 1)
    return True


@breaking(MUTATIONS, "trim-place")
def trim_inside(doc: Doc, rng: Random) -> bool:
    """Call waste a trim that does not lie along the stock's edge."""
    inner = [s for s in leaves(doc, "waste") if not is_trim(s.node) and not _at_edge(s)]
    site = one_of(rng, inner)
    if site is None:
        return False
    site.use["trim"] = True
    return True


@breaking(MUTATIONS, "trim-place")
def trim_of_square_end(doc: Doc, rng: Random) -> bool:
    """Call waste a trim at the end of a board whose ends are square."""
    ends = [
        s
        for s in leaves(doc, "waste")
        if s.board
        and s.stock["ends"] == "square"
        and s.parent is not None
        and s.parent["cut"]["axis"] == "x"
        and not is_trim(s.node)
    ]
    site = one_of(rng, ends)
    if site is None:
        return False
    site.use["trim"] = True
    return True


def _at_edge(site: Site) -> bool:
    """Whether a leaf reaches the stock's edge on the side away from the cut that freed it."""
    if site.parent is None:
        return True
    axis = site.parent["cut"]["axis"]
    start, end = span(site.node, axis)
    whole = site.stock["length"] if axis == "x" else stock_width(site.stock)
    is_first = start == span(site.parent, axis)[0]
    return bool(start == 0 if is_first else end == whole)


@breaking(MUTATIONS, "trim-size")
def trim_at_other_place(doc: Doc, rng: Random) -> bool:
    """Shift a trim by a step of the grid; a near edge with two true places is left alone."""
    found = [
        (site, side)
        for axis in "xy"
        for site, side in trim_cuts(doc, axis)
        if axis == "x" or side == 1 or not site.board or not site.stock["crook"]
    ]
    if not found:
        return False
    site, side = rng.choice(found)
    grid = doc["shop"]["grid"]
    site.cut["at"] += grid if side == 0 or site.cut["at"] == site.span()[0] else -grid
    return True


@breaking(MUTATIONS, "trim-size")
def greater_end_trim(doc: Doc, rng: Random) -> bool:
    found = [site for site, _ in trim_cuts(doc, "x") if site.board]
    if not found:
        return False
    shop = doc["shop"]
    shop["end_trim"] = max(shop["end_trim"], shop["kerf"]["crosscut"]) + 2 * shop["grid"]
    return True


@breaking(MUTATIONS, "trim-size")
def greater_crook(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s, side in trim_cuts(doc, "y") if s.board and side == 0])
    if site is None:
        return False
    restate(doc, site.stock, crook=site.stock["crook"] + site.stock["length"])
    return True


@breaking(MUTATIONS, "end-trim")
def end_not_trimmed(doc: Doc, rng: Random) -> bool:
    found = [(s, side) for s, side in trim_cuts(doc, "x") if s.board]
    if not found:
        return False
    site, side = rng.choice(found)
    del site.pieces[side]["use"]["trim"]
    return True


@breaking(MUTATIONS, "end-trim")
def square_end_is_rough(doc: Doc, rng: Random) -> bool:
    ends = [
        s
        for s in leaves(doc, "blank") + leaves(doc, "offcut")
        if s.board and s.stock["ends"] == "square" and s.node["x"] == 0
    ]
    site = one_of(rng, ends)
    if site is None or not doc["shop"]["end_trim"]:
        return False
    restate(doc, site.stock, ends="rough")
    return True


@breaking(MUTATIONS, "straighten")
def near_edge_not_trimmed(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s, side in trim_cuts(doc, "y") if s.board and side == 0])
    if site is None:
        return False
    del site.pieces[0]["use"]["trim"]
    return True


@breaking(MUTATIONS, "straighten")
def straight_edge_is_rough(doc: Doc, rng: Random) -> bool:
    straight = [s for s in blanks(doc, board=True) if s.stock["edges"] == "straight"]
    site = one_of(rng, [s for s in straight if not s.stock["crook"]])
    if site is None or not doc["shop"]["edge_trim"]:
        return False
    restate(doc, site.stock, edges="rough")
    return True


@breaking(MUTATIONS, "straighten")
def straight_edge_is_crooked(doc: Doc, rng: Random) -> bool:
    straight = [s for s in blanks(doc, board=True) if s.stock["edges"] == "straight"]
    site = one_of(rng, [s for s in straight if not s.stock["crook"]])
    if site is None:
        return False
    restate(doc, site.stock, crook=UNIT)
    return True


@breaking(MUTATIONS, "far-edge")
def board_tapers(doc: Doc, rng: Random) -> bool:
    """Make one end of a board narrow, the bounding box kept, so that a blank runs past the edge."""
    found = []
    for site in blanks(doc, board=True):
        a, b = site.stock["width"]
        (x0, x1), (_, y1) = span(site.node, "x"), span(site.node, "y")
        for ends, at in (((UNIT, b), x0), ((a, UNIT), x1)):
            if max(ends) == max(a, b):
                width = _width(ends, at, site.stock["length"])
                if width < Fraction(y1):
                    found.append((site, ends))
    if not found:
        return False
    site, ends = rng.choice(found)
    restate(doc, site.stock, width=list(ends))
    return True


def _width(ends: tuple[Decimal, Decimal], at: Decimal, length: Decimal) -> Fraction:
    """Return the width of a taper at a place along it."""
    a, b = Fraction(ends[0]), Fraction(ends[1])
    return a + (b - a) * Fraction(at) / Fraction(length)


@breaking(MUTATIONS, "far-edge")
def greater_edge_trim(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in blanks(doc, board=True) if s.stock["edges"] == "rough"])
    if site is None:
        return False
    doc["shop"]["edge_trim"] = stock_width(site.stock)
    return True


@breaking(MUTATIONS, "sheet-trim")
def greater_sheet_trim(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc, board=False) + [s for s in leaves(doc, "offcut") if not s.board])
    if site is None:
        return False
    (x0, x1), (y0, y1) = site.span("x"), site.span("y")
    room = min(x0, y0, site.stock["length"] - x1, site.stock["width"] - y1)
    doc["shop"]["sheet_trim"] = room + UNIT
    return True


@breaking(MUTATIONS, "shortest-rip")
def longer_shortest_rip(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in plain_cuts(doc) if s.board and s.cut["axis"] == "y"])
    if site is None:
        return False
    doc["shop"]["shortest_rip"] = site.node["length"] + UNIT
    return True


@breaking(MUTATIONS, "stages")
def fewer_stages(doc: Doc, rng: Random) -> bool:
    """Allow one stage less than a blank surely takes, counting only cuts that are no trims."""
    site = one_of(rng, [s for s in blanks(doc) if _least_stages(doc, s) > 1])
    if site is None:
        return False
    doc["shop"]["stages" if site.board else "sheet_stages"] = _least_stages(doc, site) - 1
    return True


def _least_stages(doc: Doc, site: Site) -> int:
    """Return how many stages a blank takes at the least."""
    above = {id(p): s.node for s in cuts(doc) if s.layout is site.layout for p in s.pieces}
    plain = {id(s.node) for s in plain_cuts(doc)}
    path = []
    node = above.get(id(site.node))
    while node is not None:
        if id(node) in plain:
            path.append(node["cut"]["axis"])
        node = above.get(id(node))
    if site.board:
        path += {"crosscut": ["x"], "rip": ["y"]}.get(site.layout["first_cut"], [])
    return sum(1 for i, axis in enumerate(path) if i == 0 or axis != path[i - 1])


@breaking(MUTATIONS, "first-cut")
def other_first_cut(doc: Doc, rng: Random) -> bool:
    others = {"crosscut": "rip", "rip": "crosscut"}
    site = one_of(rng, [s for s in sites(doc) if s.board and s.layout["first_cut"] in others])
    if site is None:
        return False
    other = others[site.layout["first_cut"]]
    if doc["shop"]["first_cut"] == "either":
        doc["shop"]["first_cut"] = other
    else:
        site.layout["first_cut"] = other
    return True


@breaking(MUTATIONS, "metal-clear")
def nail_in_cut(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, cuts(doc))
    if site is None or not doc["shop"]["metal_clear"]:
        return False
    place = {"x": site.node["x"], "y": site.node["y"], site.cut["axis"]: site.cut["at"]}
    add_flaw(doc, site, flaw_at("metal", place["x"], place["y"], UNIT, UNIT))
    return True


@breaking(MUTATIONS, "metal-clear")
def nail_near_cut(doc: Doc, rng: Random) -> bool:
    """Put a nail beside a cut, one unit nearer than is allowed."""
    clear = doc["shop"]["metal_clear"]
    site = one_of(rng, [s for s in cuts(doc) if s.cut["at"] >= clear])
    if site is None or not clear:
        return False
    place = {"x": site.node["x"], "y": site.node["y"]}
    place[site.cut["axis"]] = site.cut["at"] - clear
    add_flaw(doc, site, flaw_at("metal", place["x"], place["y"], UNIT, UNIT))
    return True

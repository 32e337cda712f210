"""Mutations of parts and blanks: material, size, grain, thickness, and which copies there are."""

from decimal import Decimal
from random import Random

from tests.nester.verify.mutation_tools import (
    UNIT,
    Mutation,
    Site,
    blanks,
    breaking,
    one_of,
    part_of,
    restate,
    sites,
    stock_width,
)
from tests.nester.verify.plans import WASTE, Doc, mm

MUTATIONS: list[Mutation] = []


@breaking(MUTATIONS, "material")
def other_species(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    restate(doc, site.stock, **{"species" if site.board else "material": "bog oak"})
    return True


@breaking(MUTATIONS, "material")
def part_of_other_material(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    part_of(doc, site)["material"] = ["pear", "bog oak"]
    return True


@breaking(MUTATIONS, "from")
def only_from_another(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    part_of(doc, site)["from"] = ["no such board"]
    return True


@breaking(MUTATIONS, "not-from")
def never_from_this(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    part_of(doc, site)["not_from"] = ["no such board", site.stock["id"]]
    return True


@breaking(MUTATIONS, "sawn")
def sawn_another_way(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    ways = [way for way in ("flat", "rift", "quarter") if way != site.stock.get("sawn")]
    part_of(doc, site)["sawn"] = rng.choice(ways)
    return True


@breaking(MUTATIONS, "sheet-thickness")
def part_thicker_than_sheet(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc, board=False))
    if site is None:
        return False
    thickest = max(site.stock["thickness"], site.stock["nominal"])
    part_of(doc, site)["thickness"] = thickest + Decimal("0.5") + UNIT
    return True


@breaking(MUTATIONS, "sheet-thickness")
def part_thinner_than_sheet(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc, board=False))
    if site is None:
        return False
    thinnest = min(site.stock["thickness"], site.stock["nominal"])
    part_of(doc, site)["thickness"] = thinnest - Decimal("0.5") - UNIT
    return True


@breaking(MUTATIONS, "grain")
def laid_the_other_way(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in blanks(doc) if s.board or _has_grain(doc, s)])
    if site is None:
        return False
    site.use["turned"] = not site.use["turned"]
    return True


@breaking(MUTATIONS, "grain")
def grain_the_other_way(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in blanks(doc) if s.board or _has_grain(doc, s)])
    if site is None:
        return False
    part = part_of(doc, site)
    part["grain"] = "length" if part["grain"] == "width" else "width"
    return True


@breaking(MUTATIONS, "grain")
def sheet_grain_the_other_way(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, [s for s in blanks(doc, board=False) if _has_grain(doc, s)])
    if site is None:
        return False
    restate(doc, site.stock, grain="width" if site.stock["grain"] == "length" else "length")
    return True


def _has_grain(doc: Doc, site: Site) -> bool:
    """Whether it matters how a blank lies on its sheet."""
    return bool(part_of(doc, site)["grain"] != "any" and site.stock["grain"] != "none")


@breaking(MUTATIONS, "size")
def part_longer_than_blank(doc: Doc, rng: Random) -> bool:
    """Make a part, or its joinery, longer or wider than its rectangle."""
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    part = part_of(doc, site)
    along, across = _room(site)
    key, room = rng.choice([("length", along), ("width", across)])
    if rng.random() < 0.5:
        part[key] = room + UNIT
    else:
        part[f"extra_{key}"] = room - part[key] + UNIT
    return True


@breaking(MUTATIONS, "size")
def greater_allowance(doc: Doc, rng: Random) -> bool:
    """Raise an allowance of a part on a board past its rectangle."""
    planed = [s for s in blanks(doc, board=True) if s.stock["surface"] != "S4S"]
    site = one_of(rng, planed)
    if site is None:
        return False
    part = part_of(doc, site)
    along, across = _room(site)
    key, room = rng.choice([("length", along), ("width", across)])
    extra = room - part[key] - part[f"extra_{key}"] + UNIT
    if part[f"blank_extra_{key}"] is None and rng.random() < 0.5:
        doc["shop"][f"blank_extra_{key}"] = extra
    else:
        part[f"blank_extra_{key}"] = extra
    return True


@breaking(MUTATIONS, "size")
def longer_shortest_milled(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc, board=True))
    if site is None:
        return False
    doc["shop"]["shortest_milled"] = site.node["length"] + UNIT
    return True


@breaking(MUTATIONS, "size")
def swapped_blanks(doc: Doc, rng: Random) -> bool:
    """Swap the uses of two blanks where a part does not fit where it comes to lie."""
    found = [
        (one, two)
        for one in blanks(doc)
        for two in blanks(doc)
        if one.node is not two.node and not _holds(doc, one, two)
    ]
    if not found:
        return False
    one, two = rng.choice(found)
    one.node["use"], two.node["use"] = two.use, one.use
    return True


def _room(site: Site) -> tuple[Decimal, Decimal]:
    """Return a blank's rectangle along and across its part."""
    size = (site.node["length"], site.node["width"])
    return size[::-1] if site.use["turned"] else size


def _holds(doc: Doc, room: Site, other: Site) -> bool:
    """Whether the finished size of the part of ``other`` fits into the rectangle of ``room``."""
    part = part_of(doc, other)
    size = (part["length"], part["width"])
    along, across = size[::-1] if other.use["turned"] else size
    return bool(along <= room.node["length"] and across <= room.node["width"])


@breaking(MUTATIONS, "thickness")
def part_as_thick_as_rough_board(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc, board=True))
    if site is None:
        return False
    part_of(doc, site)["thickness"] = site.stock["thickness"] - _plane_off(doc, site) + UNIT
    return True


@breaking(MUTATIONS, "thickness")
def thinner_board(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc, board=True))
    if site is None:
        return False
    enough = part_of(doc, site)["thickness"] + _plane_off(doc, site)
    restate(doc, site.stock, thickness=enough - UNIT)
    return True


@breaking(MUTATIONS, "thickness")
def warped_board(doc: Doc, rng: Random) -> bool:
    """Warp a board so far that the finished size alone keeps more than its thickness of it."""
    site = one_of(rng, blanks(doc, board=True))
    if site is None:
        return False
    part, length = part_of(doc, site), Decimal(site.stock["length"])
    size = (part["length"], part["width"])
    along, across = size[::-1] if site.use["turned"] else size
    long, wide = length / along, stock_width(site.stock) / across
    # A part that is pulled flat is spared less than its length of bow.
    most = site.stock["thickness"] + length
    kind, share = rng.choice([("bow", long**2), ("cup", wide**2), ("twist", long * wide)])
    restate(doc, site.stock, **{kind: mm(int(most * share) + 1)})
    return True


@breaking(MUTATIONS, "thickness")
def more_planed_off(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc, board=True))
    if site is None:
        return False
    part = part_of(doc, site)
    off = site.stock["thickness"] - part["thickness"] + UNIT
    if part["plane_off"] is None and rng.random() < 0.5:
        doc["shop"]["plane_off"][site.stock["surface"]] = off
    else:
        part["plane_off"] = off
    return True


@breaking(MUTATIONS, "thick-spare")
def less_spare_thickness(doc: Doc, rng: Random) -> bool:
    found = [s for s in blanks(doc, board=True) if _spare(doc, s) > 0]
    site = one_of(rng, found)
    if site is None:
        return False
    doc["shop"]["thick_spare"] = _spare(doc, site) - UNIT
    return True


@breaking(MUTATIONS, "thick-spare")
def much_thicker_board(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc, board=True))
    if site is None:
        return False
    needs = part_of(doc, site)["thickness"] + _plane_off(doc, site)
    restate(doc, site.stock, thickness=needs + doc["shop"]["thick_spare"] + UNIT)
    return True


def _plane_off(doc: Doc, site: Site) -> Decimal:
    own = part_of(doc, site)["plane_off"]
    return Decimal(doc["shop"]["plane_off"][site.stock["surface"]] if own is None else own)


def _spare(doc: Doc, site: Site) -> Decimal:
    thickness = Decimal(site.stock["thickness"] - part_of(doc, site)["thickness"])
    return thickness - _plane_off(doc, site)


@breaking(MUTATIONS, "copies")
def blank_thrown_away(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    site.node["use"] = dict(WASTE)
    return True


@breaking(MUTATIONS, "copies")
def layout_left_out(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    doc["layouts"].remove(site.layout)
    return True


@breaking(MUTATIONS, "copies")
def one_more_wanted(doc: Doc, rng: Random) -> bool:
    rng.choice(doc["parts"])[rng.choice(["count", "spare"])] += 1
    return True


@breaking(MUTATIONS, "copies")
def one_fewer_wanted(doc: Doc, rng: Random) -> bool:
    rng.choice(doc["parts"])["count"] -= 1
    return True


@breaking(MUTATIONS, "copies")
def blank_for_another_part(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    others = [p["name"] for p in doc["parts"] if site and p["name"] != site.use["part"]]
    if site is None or not others:
        return False
    site.use["part"] = rng.choice(others)
    return True


@breaking(MUTATIONS, "copies")
def placed_and_missing(doc: Doc, rng: Random) -> bool:
    name = rng.choice(doc["parts"])["name"]
    doc["missing"].append({"part": name, "count": 1, "reason": "the saw broke"})
    return True


@breaking(MUTATIONS, "copies")
def missing_left_out(doc: Doc, rng: Random) -> bool:
    if not doc["missing"]:
        return False
    doc["missing"].pop(rng.randrange(len(doc["missing"])))
    return True


@breaking(MUTATIONS, "copy-twice")
def same_copy_twice(doc: Doc, rng: Random) -> bool:
    found = [
        (one, two)
        for one in blanks(doc)
        for two in blanks(doc)
        if one.node is not two.node and one.use["part"] == two.use["part"]
    ]
    if not found:
        return False
    one, two = rng.choice(found)
    one.use["copy"] = two.use["copy"]
    return True


@breaking(MUTATIONS, "copy-number")
def copy_past_the_last(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    part = part_of(doc, site)
    site.use["copy"] = part["count"] + part["spare"] + 1
    return True


@breaking(MUTATIONS, "unknown-part")
def blank_for_no_part(doc: Doc, rng: Random) -> bool:
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    site.use["part"] = "no such part"
    return True


@breaking(MUTATIONS, "unknown-part")
def missing_no_part(doc: Doc, rng: Random) -> bool:
    doc["missing"].append({"part": "no such part", "count": 1, "reason": "the saw broke"})
    return True


@breaking(MUTATIONS, "duplicate-name")
def part_listed_twice(doc: Doc, rng: Random) -> bool:
    doc["parts"].append(dict(rng.choice(doc["parts"])))
    return True


@breaking(MUTATIONS, "duplicate-id")
def stock_listed_twice(doc: Doc, rng: Random) -> bool:
    doc["stock"].append(dict(rng.choice(list(sites(doc))).stock))
    return True

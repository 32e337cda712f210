"""Mutations of flaws: put, moved or shown where a blank's quality forbids them."""

from decimal import Decimal
from random import Random

from tests.nester.verify.mutation_tools import (
    UNIT,
    Mutation,
    Site,
    add_flaw,
    blanks,
    breaking,
    flaw_at,
    one_of,
    part_of,
    restate,
)
from tests.nester.verify.plans import Doc

MUTATIONS: list[Mutation] = []
_SPOT = 4 * UNIT


def _middle(site: Site) -> tuple[Decimal, Decimal]:
    """Return a point on the unit inside a blank, about its middle."""
    (x0, x1), (y0, y1) = site.span("x"), site.span("y")
    return x0 + (x1 - x0) // 2, y0 + (y1 - y0) // 2


def _picky(doc: Doc, kind: str, board: bool | None = None) -> list[Site]:
    """Return the blanks whose parts do not allow a kind of flaw."""
    return [s for s in blanks(doc, board) if kind not in part_of(doc, s)["allow"]]


@breaking(MUTATIONS, "quality")
def rot_in_blank(doc: Doc, rng: Random) -> bool:
    kind = rng.choice(["rot", "wane", "shake", "other", "pith", "check"])
    site = one_of(rng, _picky(doc, kind))
    if site is None:
        return False
    x, y = _middle(site)
    face = rng.choice(["a", "b", "both"])
    add_flaw(doc, site, flaw_at(kind, x, y, _SPOT, _SPOT, face))
    return True


@breaking(MUTATIONS, "quality")
def nail_or_hole_in_blank(doc: Doc, rng: Random) -> bool:
    """Metal and voids are in the way even of a part that is said to allow them."""
    site = one_of(rng, blanks(doc))
    if site is None:
        return False
    kind = rng.choice(["metal", "void"])
    part_of(doc, site)["allow"] = ["metal", "void"]
    x, y = _middle(site)
    add_flaw(doc, site, flaw_at(kind, x, y, _SPOT, _SPOT))
    return True


@breaking(MUTATIONS, "quality")
def flaw_in_margin(doc: Doc, rng: Random) -> bool:
    """Put rot beside a blank, one unit within the margin."""
    margin = doc["shop"]["flaw_margin"]
    if not margin:
        return False
    found = []
    for site in _picky(doc, "rot"):
        (x0, x1), (y0, y1) = site.span("x"), site.span("y")
        x, y = _middle(site)
        found.append((site, x1 + margin - UNIT, y))
        found.append((site, x, y1 + margin - UNIT))
        found.append((site, x0 - margin - _SPOT + UNIT, y))
        found.append((site, x, y0 - margin - _SPOT + UNIT))
    found = [(site, x, y) for site, x, y in found if x >= 0 and y >= 0]
    if not found:
        return False
    site, x, y = rng.choice(found)
    add_flaw(doc, site, flaw_at("rot", x, y, _SPOT, _SPOT))
    return True


@breaking(MUTATIONS, "quality")
def split_in_line_with_blank(doc: Doc, rng: Random) -> bool:
    """Put a split beyond a blank along the grain of a board, one unit within its margin."""
    margin = doc["shop"]["split_margin"]
    site = one_of(rng, _picky(doc, "split", board=True))
    if site is None or not margin:
        return False
    _, y = _middle(site)
    x = site.span("x")[1] + margin - UNIT
    add_flaw(doc, site, flaw_at("split", x, y, _SPOT, _SPOT))
    return True


@breaking(MUTATIONS, "quality")
def wane_over_corner(doc: Doc, rng: Random) -> bool:
    """Put a triangle of wane beside a blank, its tip one unit over the blank's end."""
    site = one_of(rng, _picky(doc, "wane"))
    if site is None:
        return False
    _, y = _middle(site)
    tip = site.span("x")[1] - UNIT
    outline = [[tip, y], [tip + 32 * UNIT, y - 16 * UNIT], [tip + 32 * UNIT, y + 16 * UNIT]]
    box = flaw_at("wane", tip, y - 16 * UNIT, 32 * UNIT, 32 * UNIT)
    add_flaw(doc, site, {**box, "outline": outline})
    return True


@breaking(MUTATIONS, "quality")
def stain_on_show_face(doc: Doc, rng: Random) -> bool:
    shown = [s for s in _picky(doc, "stain") if part_of(doc, s)["quality"].startswith("clear")]
    site = one_of(rng, shown)
    if site is None:
        return False
    x, y = _middle(site)
    face = rng.choice(["both", "b" if site.use["flipped"] else "a"])
    add_flaw(doc, site, flaw_at("stain", x, y, _SPOT, _SPOT, face, sound=True))
    return True


@breaking(MUTATIONS, "quality")
def wrong_face_shows(doc: Doc, rng: Random) -> bool:
    """Stain the face that does not show, then turn the blank over."""
    shown = [s for s in _picky(doc, "stain") if part_of(doc, s)["quality"] == "clear face"]
    site = one_of(rng, shown)
    if site is None:
        return False
    x, y = _middle(site)
    hidden = "a" if site.use["flipped"] else "b"
    add_flaw(doc, site, flaw_at("stain", x, y, _SPOT, _SPOT, hidden, sound=True))
    site.use["flipped"] = not site.use["flipped"]
    return True


@breaking(MUTATIONS, "quality")
def stricter_quality(doc: Doc, rng: Random) -> bool:
    """Stain a blank and ask for a clear one."""
    site = one_of(rng, _picky(doc, "stain"))
    if site is None:
        return False
    x, y = _middle(site)
    add_flaw(doc, site, flaw_at("stain", x, y, _SPOT, _SPOT, "a", sound=True))
    part_of(doc, site)["quality"] = "clear"
    return True


@breaking(MUTATIONS, "quality")
def wide_knot_in_hidden_part(doc: Doc, rng: Random) -> bool:
    """Put a knot wider than a third of the rectangle into a part that may hold a small one."""
    site = one_of(rng, _picky(doc, "knot"))
    if site is None:
        return False
    part_of(doc, site)["quality"] = "hidden"
    (_, x1), (y0, _) = site.span("x"), site.span("y")
    room = site.node["length"] if site.use["turned"] else site.node["width"]
    wide = Decimal(int(room / 3) + 1)
    add_flaw(doc, site, flaw_at("knot", x1 - _SPOT, y0, _SPOT, wide))
    return True


@breaking(MUTATIONS, "quality")
def flaw_no_longer_allowed(doc: Doc, rng: Random) -> bool:
    """Put sapwood on both faces, as for a part that allows it, and take the allowance away."""
    site = one_of(rng, [s for s in blanks(doc) if part_of(doc, s)["quality"].startswith("clear")])
    if site is None:
        return False
    part_of(doc, site)["allow"] = []
    x, y = _middle(site)
    add_flaw(doc, site, flaw_at("sapwood", x, y, _SPOT, _SPOT, sound=True))
    return True


@breaking(MUTATIONS, "quality")
def moved_flaw(doc: Doc, rng: Random) -> bool:
    """Move an unsound flaw of the board into a blank that may not hold it."""
    found = []
    for site in blanks(doc):
        part = part_of(doc, site)
        for i, flaw in enumerate(site.stock["flaws"]):
            small = part["quality"] == "hidden" and flaw["kind"] in {
                "knot",
                "bark pocket",
                "worm hole",
            }
            forbidden = not flaw["sound"] and flaw["kind"] not in part["allow"] and not small
            if forbidden and "outline" not in flaw:
                found.append((site, i))
    if not found:
        return False
    site, i = rng.choice(found)
    x, y = _middle(site)
    flaws = list(site.stock["flaws"])
    flaws[i] = {**flaws[i], "x": x, "y": y}
    restate(doc, site.stock, flaws=flaws)
    return True

"""More words for plan documents written by hand: runs, resawn leaves, strips, panels, matches."""

from decimal import Decimal
from typing import Any

from tests.nester.verify.plans import Cut, Doc, Size, Tree, inches, layout, mm, shop


def row(name: str, start: str, loss: str, *items: tuple[str, Tree], saw: str = "miter") -> Tree:
    """Return a run along the stock from ``start``: what each part takes, and what it becomes.

    ``loss`` lies between neighbours; the last part takes the rest of the rectangle.
    """
    return _row("x", name, start, loss, items, saw)


def pile(name: str, start: str, loss: str, *items: tuple[str, Tree], saw: str = "rip") -> Tree:
    """Return a stack across the stock from ``start``, likewise."""
    return _row("y", name, start, loss, items, saw)


def _row(
    axis: str, name: str, start: str, loss: str, items: tuple[tuple[str, Tree], ...], saw: str
) -> Tree:
    places = []
    at = inches(start)
    for size, _ in items[:-1]:
        at += inches(size)
        places.append(at)
        at += inches(loss)
    tree = items[-1][1]
    for place, (_, use) in zip(reversed(places), reversed(items[:-1]), strict=True):
        tree = Cut(axis, mm(f"{place}"), use, tree, kerf=loss, saw=saw)
    if isinstance(tree, dict):
        return {**tree, "run": name}
    return Cut(tree.axis, tree.at, tree.first, tree.second, tree.kerf, tree.saw, run=name)


def z(at: Size, first: Tree, second: Tree, run: str = "") -> Cut:
    """Return a resaw cut: the leaf of face A, the leaf of face B."""
    return Cut("z", at, first, second, run=run)


def strip(panel: str, number: int) -> Doc:
    """Return a strip's use."""
    return {"kind": "strip", "panel": panel, "strip": number}


def glue_up(
    narrowest: Size = "2 1/2", widest: Size = "6", per_strip: Size = "1/8", most: int = 8
) -> Doc:
    """Return how a part may be glued up."""
    return {
        "strips": [mm(narrowest), mm(widest)],
        "per_strip": mm(per_strip),
        "max_strips": most,
    }


def arch(edge: str, start: Size, span: Size, rise: Size) -> Doc:
    """Return an arched cutaway."""
    return {"arch": {"edge": edge, "start": mm(start), "span": mm(span), "rise": mm(rise)}}


def outline(*points: tuple[Size, Size]) -> Doc:
    """Return a cutaway that is a polygon."""
    return {"outline": [[mm(x), mm(y)] for x, y in points]}


def match(name: str, how: str, *parts: str, **changes: Any) -> Doc:
    """Return a match; of a wrap 1/16 in is lost at each joint unless said otherwise."""
    trim = "1/16" if how == "wrap" else "0"
    entry: Doc = {
        "name": name,
        "how": how,
        "parts": list(parts),
        "miter": 45,
        "joint_trim": mm(trim),
        "required": False,
        "sets": 1,
    }
    for key, value in changes.items():
        entry[key] = mm(value) if key == "joint_trim" else value
    return entry


def result(
    name: str, corners: int, matched: int, *broken: tuple[str, str], stock: tuple[str, ...] = ()
) -> Doc:
    """Return what became of a match."""
    return {
        "name": name,
        "corners": corners,
        "matched": matched,
        "broken": [list(pair) for pair in broken],
        "stock": list(stock),
    }


def panel(
    name: str,
    parts: list[tuple[str, int]],
    strips: int,
    length: Size,
    width: Size,
    tree: Tree,
    *,
    match: str | None = None,
    of: Doc | None = None,
) -> Doc:
    """Return a glued-up panel with the cuts made in it."""
    size: Doc = {
        "id": name,
        "kind": "board",
        "length": mm(length),
        "width": [mm(width), mm(width)],
        "thickness": Decimal(25),
        "surface": "S4S",
        "price": 0,
    }
    return {
        "id": name,
        "parts": [[part, copy] for part, copy in parts],
        "match": match,
        "strips": strips,
        "length": mm(length),
        "width": mm(width),
        "tree": layout(size, tree, of=of or shop())["tree"],
    }

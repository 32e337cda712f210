"""What the mutations share: sites to change in any plan document, and their list.

A mutation changes a document in place so that it breaks one named rule for certain, and says
whether it found a place to do so. It may break other rules besides. Sizes are in millimetres as
the document has them.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from random import Random
from typing import TypeAlias

from tests.nester.verify.plans import Doc, hashed, nodes

Change: TypeAlias = Callable[[Doc, Random], bool]
UNIT = Decimal("0.003125")


@dataclass(frozen=True)
class Mutation:
    """A change and the code of the rule that it breaks."""

    rule: str
    change: Change

    @property
    def name(self) -> str:
        """A word for the change in a failing test."""
        return getattr(self.change, "__name__", "change")


def breaking(found: list[Mutation], rule: str) -> Callable[[Change], Change]:
    """Return a decorator that puts a change into the list ``found`` as breaking ``rule``."""

    def register(change: Change) -> Change:
        found.append(Mutation(rule, change))
        return change

    return register


@dataclass(frozen=True)
class Site:
    """A node in a document, with the layout, the stock entry and the node it is a piece of.

    ``run`` is the name of the innermost run that it is cut from or is, ``resawn`` whether it is cut
    from the leaf of a resawn piece.
    """

    layout: Doc
    stock: Doc
    node: Doc
    parent: Doc | None
    run: str = ""
    resawn: bool = False

    @property
    def board(self) -> bool:
        return bool(self.stock["kind"] == "board")

    @property
    def cut(self) -> Doc:
        return self.node["cut"]  # type: ignore[no-any-return]

    @property
    def pieces(self) -> list[Doc]:
        return self.node["pieces"]  # type: ignore[no-any-return]

    @property
    def use(self) -> Doc:
        return self.node["use"]  # type: ignore[no-any-return]

    @property
    def cut_axis(self) -> str:
        """The axis of its cut, "" where it is not cut."""
        return str(self.node.get("cut", {}).get("axis", ""))

    @property
    def cut_saw(self) -> str:
        """The saw of its cut, "" where it is not cut."""
        return str(self.node.get("cut", {}).get("saw", ""))

    def span(self, axis: str | None = None) -> tuple[Decimal, Decimal]:
        """Return where the node starts and ends along ``axis``, its cut's where none is given."""
        return span(self.node, axis or self.cut["axis"])


def span(node: Doc, axis: str) -> tuple[Decimal, Decimal]:
    """Return where a node starts and ends along an axis."""
    size = "length" if axis == "x" else "width"
    start = Decimal(node[axis])
    return start, start + node[size]


def stock_width(stock: Doc) -> Decimal:
    """Return the width of a stock entry's bounding box."""
    return Decimal(max(stock["width"]) if stock["kind"] == "board" else stock["width"])


def sites(doc: Doc) -> Iterator[Site]:
    """Yield all nodes of all layouts."""
    entries = {entry["id"]: entry for entry in doc["stock"]}
    for layout in doc["layouts"]:
        above = {
            id(piece): node for node in nodes(layout["tree"]) for piece in node.get("pieces", ())
        }
        runs: dict[int, str] = {}
        leaves_of: set[int] = set()
        for node in nodes(layout["tree"]):
            parent = above.get(id(node))
            runs[id(node)] = node.get("run") or (runs[id(parent)] if parent is not None else "")
            if parent is not None and (parent["cut"]["axis"] == "z" or id(parent) in leaves_of):
                leaves_of.add(id(node))
            entry = entries[layout["stock"]]
            yield Site(layout, entry, node, parent, runs[id(node)], id(node) in leaves_of)


def cuts(doc: Doc) -> list[Site]:
    """Return the nodes that are cut, in no run and not resawn."""
    return [s for s in sites(doc) if "cut" in s.node and not s.run and s.cut["axis"] != "z"]


def run_cuts(doc: Doc) -> list[Site]:
    """Return the nodes that are cut in a run."""
    return [s for s in sites(doc) if "cut" in s.node and s.run and s.cut["axis"] != "z"]


def resaw_cuts(doc: Doc) -> list[Site]:
    """Return the nodes that are resawn."""
    return [s for s in sites(doc) if "cut" in s.node and s.cut["axis"] == "z"]


def plain_cuts(doc: Doc) -> list[Site]:
    """Return the nodes whose cut is no trim: both pieces are there and neither is called one."""
    return [
        site
        for site in cuts(doc)
        if len(site.pieces) == 2 and not any(is_trim(piece) for piece in site.pieces)
    ]


def trim_cuts(doc: Doc, axis: str) -> list[tuple[Site, int]]:
    """Return the nodes with a trim along ``axis``, with its side: 0 the start, 1 the end."""
    found: list[tuple[Site, int]] = []
    for site in cuts(doc):
        if site.cut["axis"] == axis and len(site.pieces) == 2:
            found.extend((site, i) for i, piece in enumerate(site.pieces) if is_trim(piece))
    return found


def is_trim(node: Doc) -> bool:
    """Whether a node is called a trim."""
    return bool(node.get("use", {}).get("trim"))


def leaves(doc: Doc, kind: str) -> list[Site]:
    """Return the leaves of one kind of use."""
    return [site for site in sites(doc) if "use" in site.node and site.use["kind"] == kind]


def blanks(doc: Doc, board: bool | None = None) -> list[Site]:
    """Return the blanks, on boards or on sheets only where ``board`` says so.

    Those in runs and in leaves are not among them, nor those of parts with cutaways.
    """
    return [
        site
        for site in every_blank(doc)
        if (board is None or site.board == board)
        and not (site.run or site.resawn or part_of(doc, site)["cutaway"])
    ]


def every_blank(doc: Doc) -> list[Site]:
    """Return all blanks that are cut from stock, those in runs and in leaves too."""
    return leaves(doc, "blank")


def run_blanks(doc: Doc) -> list[Site]:
    """Return the blanks in runs, those of a book too."""
    return [site for site in every_blank(doc) if site.run]


def matched_parts(doc: Doc) -> set[str]:
    """Return the names that stand in matches."""
    return {name for entry in doc["match"] for name in entry["parts"]}


def part_of(doc: Doc, site: Site) -> Doc:
    """Return the part that a blank is for."""
    return next(entry for entry in doc["parts"] if entry["name"] == site.use["part"])


def how_of(doc: Doc, name: str) -> str:
    """Return how a match belongs together, "" where there is no such match."""
    return next((str(entry["how"]) for entry in doc["match"] if entry["name"] == name), "")


def restate(doc: Doc, stock: Doc, **changes: object) -> None:
    """Change a stock entry and give it the hash of its new state; its layouts keep step in size."""
    fresh = hashed({**stock, **changes})
    stock.clear()
    stock.update(fresh)
    for layout in doc["layouts"]:
        if layout["stock"] == stock["id"]:
            layout["thickness"] = stock["thickness"]


def add_flaw(doc: Doc, site: Site, flaw: Doc) -> None:
    """Add a flaw to the stock of a site."""
    restate(doc, site.stock, flaws=[*site.stock["flaws"], flaw])


def flaw_at(
    kind: str,
    x: Decimal,
    y: Decimal,
    length: Decimal,
    width: Decimal,
    face: str = "both",
    sound: bool = False,
) -> Doc:
    """Return a flaw that is a rectangle, in millimetres."""
    box = {"x": x, "y": y, "length": length, "width": width}
    return {"kind": kind, **box, "face": face, "sound": sound, "note": ""}


def one_of(rng: Random, found: list[Site]) -> Site | None:
    """Return one of the sites, None where there are none."""
    return rng.choice(found) if found else None

"""A layout's cut tree, read into a flat list in which every node stands before its pieces.

A row of many crosscuts nests as deep as it has cuts, so nothing here calls itself.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from nester.verify.fault import Fault, shown
from nester.verify.fields import Fields
from nester.verify.later import later
from nester.verify.records import Cut, Node, Use

_BOX = ("x", "y", "length", "width")
_SAWS = ("crosscut", "rip", "rough_rip", "sheet", "resaw", "miter")


def read_tree(data: Any, place: str, faults: list[Fault]) -> tuple[Node, ...] | None:
    """Return the nodes of a cut tree, None where something of it cannot be read."""
    nodes: list[Node] = []
    good = True
    waiting: list[tuple[Any, int | None, bool]] = [(data, None, True)]
    while waiting:
        entry, parent, is_first = waiting.pop()
        node = _node(entry, len(nodes), parent, f"{place}, node {len(nodes) + 1}", faults)
        if node is None:
            good = False
            continue
        nodes.append(node)
        if parent is not None:
            above = nodes[parent]
            if is_first:
                nodes[parent] = replace(above, first=node.index)
            else:
                nodes[parent] = replace(above, second=node.index)
        waiting.extend(_pieces(entry, node))
    return tuple(nodes) if good else None


def _node(
    data: Any, index: int, parent: int | None, place: str, faults: list[Fault]
) -> Node | None:
    """Return one node, its pieces not yet known."""
    table = data if isinstance(data, Mapping) else {}
    is_cut = "cut" in table or "pieces" in table
    branch = ("cut", "pieces") if is_cut else ("use",)
    fields = Fields(data, place, faults, _BOX + branch, ("gang", "run"))
    if table.get("gang") not in (None, False, ""):
        fields.good = False
        faults.append(later('"gang"', place, shown(table["gang"])))
    run = fields.text("run") if fields.has("run") else ""
    box = {key: fields.length(key, size=key in {"length", "width"}) for key in _BOX}
    cut = _cut(table["cut"], place, faults) if "cut" in table else None
    use = _use(table["use"], place, faults) if "use" in table else None
    if is_cut:
        if not 1 <= len(fields.items("pieces")) <= 2:
            fields.fault("wrong-value", "a cut must leave one or two pieces")
        if cut is None:
            fields.good = False
        elif cut.axis == "z" and len(fields.items("pieces")) != 2:
            fields.fault("wrong-value", "a resaw cut must leave two leaves")
    elif use is None:
        fields.good = False
    if not fields.good:
        return None
    return Node(index, parent, **box, cut=cut, first=None, second=None, use=use, run=run)


def _pieces(data: Mapping[str, Any], node: Node) -> list[tuple[Any, int, bool]]:
    """Return a node's pieces to be read next, each with whether it is the first piece.

    A single piece is the second one where the kerf begins at the node's own start.
    """
    if node.cut is None:
        return []
    pieces = data["pieces"]
    if len(pieces) == 1:
        start, _ = node.span(node.cut.axis)
        return [(pieces[0], node.index, node.cut.at > start)]
    return [(pieces[1], node.index, False), (pieces[0], node.index, True)]


def _cut(data: Any, place: str, faults: list[Fault]) -> Cut | None:
    """Return one cut."""
    fields = Fields(data, place, faults, ("axis", "at", "kerf", "saw", "order"))
    cut = Cut(
        axis=fields.choice("axis", ("x", "y", "z")),
        at=fields.length("at"),
        kerf=fields.length("kerf"),
        saw=fields.choice("saw", _SAWS),
        order=fields.whole("order", 1),
    )
    return cut if fields.good else None


def _use(data: Any, place: str, faults: list[Fault]) -> Use | None:
    """Return what a leaf becomes."""
    kind = data.get("kind") if isinstance(data, Mapping) else None
    for key in ("ply", "edge"):
        if isinstance(data, Mapping) and key in data:
            faults.append(later(f'"{key}" of a blank', place, shown(data[key])))
            return None
    if kind == "blank":
        keys = ("kind", "part", "copy", "turned", "reversed", "flipped")
        fields = Fields(data, place, faults, keys)
        use = Use(
            "blank",
            part=fields.text("part", needed=True),
            copy=fields.whole("copy", 1),
            turned=fields.flag("turned"),
            reversed=fields.flag("reversed"),
            flipped=fields.flag("flipped"),
        )
    elif kind == "strip":
        fields = Fields(data, place, faults, ("kind", "panel", "strip"))
        use = Use(
            "strip",
            panel=fields.text("panel", needed=True),
            strip=fields.whole("strip", 1),
        )
    elif kind == "offcut":
        fields = Fields(data, place, faults, ("kind", "id"))
        use = Use("offcut", id=fields.text("id", needed=True))
    else:
        fields = Fields(data, place, faults, ("kind",), ("trim",))
        fields.choice("kind", ("waste", "blank", "strip", "offcut"))
        use = Use("waste", trim=fields.flag("trim"))
    return use if fields.good else None

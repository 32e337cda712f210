"""Stages: how often the direction of cutting changes between the whole piece and a blank."""

from collections.abc import Iterator

from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.records import Shop

_FIRST = {"crosscut": "x", "rip": "y"}


def check_first_cut(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """A board's first stage goes the way the shop says; sheets have no such rule."""
    first = laid.layout.first_cut
    if not laid.stock.board:
        return
    if not first or (shop.first_cut != "either" and first != shop.first_cut):
        message = f'the first stage must be "{shop.first_cut}"'
        yield Fault("first-cut", message, laid.layout.place, first or "null")


def check_stages(shop: Shop, laid: Laid) -> Iterator[Fault]:
    """No blank and no strip lies behind more stages than the shop allows."""
    limit = shop.stages if laid.stock.board else shop.sheet_stages
    if limit is None:
        return
    counts = stage_counts(laid)
    for node in laid.leaves("blank", "strip"):
        if counts[node.index] > limit:
            place = laid.layout.leaf_place(node)
            message = f"takes more stages of cutting than {limit}"
            yield Fault("stages", message, place, str(counts[node.index]))


def stage_counts(laid: Laid) -> dict[int, int]:
    """Return for each node, by index, how many stages lie between the whole piece and it.

    Cuts of one direction that follow each other are one stage. Trims, resaw cuts and the cuts in a
    run count for nothing. A board's first stage counts even where it holds no cut.
    """
    first = _FIRST.get(laid.layout.first_cut, "") if laid.stock.board else ""
    reached = {0: (1 if first else 0, first)}
    for node in laid.layout.tree:
        count, axis = reached[node.index]
        cut = node.cut
        passed = node.index in laid.trims or node.index in laid.runs.inside
        if cut is not None and not passed and cut.axis not in (axis, "z"):
            count, axis = count + 1, cut.axis
        for index in (node.first, node.second):
            if index is not None:
                reached[index] = (count, axis)
    return {index: count for index, (count, _) in reached.items()}

"""What the pricers of a rung come to together, over all groups of like stock."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from nester.solve.bound.drawn import Sketch
from nester.solve.bound.ladder import Rung, is_cut
from nester.solve.bound.node import Node
from nester.solve.bound.pricing import Priced, Pricer, best_priced
from nester.solve.proposal import Proposal, Proposing
from nester.solve.rows import Row

Drawing: TypeAlias = Callable[[Sketch], Row | None]
"""Draws a layout as it is sawn; None where that comes to nothing."""


def priced_and_drawn(
    pricers: tuple[Pricer, ...], prices: NDArray[np.int64], least: int, drawing: Drawing | None
) -> Priced | None:
    """Return what ``best_priced`` does for a group, with its layouts drawn where they are to be.

    It is one job, as drawing them all after pricing had kept the other workers waiting.
    """
    priced = best_priced(pricers, prices, least)
    if priced is None or not priced.found:
        return priced
    rows = [drawing(at.sketch) if drawing and at.sketch else None for at in priced.layouts]
    return replace(priced, rows=tuple(rows))


def proposing(rung: Rung, values: Sequence[int]) -> Proposing:
    """Return what proposes the best of each group at prices; ``values`` are what they cost."""

    def proposed(prices: NDArray[np.int64], wanted: NDArray[np.int64]) -> list[Proposal]:
        made = []
        for g, pricers in enumerate(rung.pricers):
            priced = best_priced(pricers, prices, 0, wanted)
            if priced is not None and priced.found:
                cost = values[g] - priced.credit
                made.append(Proposal(g, priced.counts.astype(np.int64), cost))
        return made

    return proposed


def held_back(
    rung: Rung,
    node: Node,
    values: Sequence[int],
    found: Sequence[Priced | None],
    saved: NDArray[np.float64],
) -> float:
    """Return by how much pricings that were cut short hold a node's bound down [ticks].

    They may promise more than a piece of each group has ``saved`` by the master's layouts, and no
    layout was found that does.
    """
    lost = 0.0
    for g, (priced, pricers) in enumerate(zip(found, rung.pricers, strict=True)):
        if priced is not None and not priced.found and is_cut(pricers):
            lost += node.high[g] * max(0.0, priced.value - values[g] - float(saved[g]))
    return lost

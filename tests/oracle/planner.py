"""The best plan of a tiny project over all its stock."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from inventory.length import FOOT, INCH
from inventory.stock import Board, Per
from nester.layout import BlankUse, Layout, Node, OffcutUse
from nester.model import Part, Shop, System
from nester.plan import Missing, Plan, Status, Yield
from tests.oracle.cutting import Sawyer, Sets, sets_of
from tests.oracle.layouts import Tracer
from tests.oracle.rules import Ground, Stock, wood_in


@dataclass(frozen=True)
class Answer:
    """The best there is: copies missing, finished area missing, and what it costs.

    ``layouts``: the stock items cut into, by index, each with the set of blanks that it gives.
    """

    missing: int
    area: int
    cost: float
    layouts: tuple[tuple[int, int], ...] = ()


def best_plan(parts: Sequence[Part], stock: Sequence[Stock], shop: Shop) -> Answer:
    """Return the best plan by trying them all."""
    sets = sets_of(parts)
    cost = np.full(len(sets.counts), np.inf)
    cost[0] = 0.0
    steps: list[tuple[int, NDArray[np.int64]]] = []
    for i, item in enumerate(stock):
        layout = _costs(parts, item, shop, sets)
        for _ in range(item.count):
            cost, given = _one_more(cost, layout, sets)
            steps.append((i, given))
    whole = sets.counts[-1]
    answers = []
    for s, counts in enumerate(sets.counts):
        if cost[s] < np.inf:
            gone = [n - k for n, k in zip(whole, counts, strict=True)]
            area = sum(n * p.length * p.width for n, p in zip(gone, parts, strict=True))
            answers.append((sum(gone), area, float(cost[s]), s))
    missing, area, least, s = min(answers)
    return Answer(missing, area, least, tuple(_chosen(steps, s, sets)))


def _costs(parts: Sequence[Part], item: Stock, shop: Shop, sets: Sets) -> NDArray[np.float64]:
    """Return what a layout of the stock item costs for each set; infinite where it has none."""
    kept = Sawyer(parts, item, shop, sets).best()
    back = float(shop.offcut_credit) * kept / float(outline_area(item))
    costs = np.where(kept >= 0, float(price(item)) * (1 - back), np.inf)
    costs[0] = 0.0  # not cut into
    return costs


def _one_more(
    cost: NDArray[np.float64], layout: NDArray[np.float64], sets: Sets
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    out, given = np.empty_like(cost), np.zeros(len(cost), np.int64)
    for s in range(len(cost)):
        ways = sets.splits[sets.first[s] : sets.first[s + 1]]
        sums = cost[ways[:, 0]] + layout[ways[:, 1]]
        best = int(sums.argmin())
        out[s], given[s] = sums[best], ways[best, 1]
    return out, given


def _chosen(
    steps: list[tuple[int, NDArray[np.int64]]], s: int, sets: Sets
) -> Iterator[tuple[int, int]]:
    for i, given in reversed(steps):
        one = int(given[s])
        if one:
            yield i, one
            left = (a - b for a, b in zip(sets.counts[s], sets.counts[one], strict=True))
            s = sets.counts.index(tuple(left))


def outline_area(item: Stock) -> Fraction:
    """Return the area of the wood [1/320 mm squared]."""
    if isinstance(item, Board):
        return Fraction(item.length * (item.width_a + item.width_b), 2)
    return Fraction(item.length * item.width)


def price(item: Stock) -> Fraction:
    """Return what one copy is worth; only by the piece and by the board foot."""
    if item.per is Per.PIECE:
        return item.price
    if item.per is not Per.BOARD_FOOT or not isinstance(item, Board):
        raise NotImplementedError(item.per)
    thick = max(item.sold_as, INCH)
    return item.price * outline_area(item) * thick / (FOOT * FOOT * INCH)


def written(answer: Answer, parts: Sequence[Part], stock: Sequence[Stock], shop: Shop) -> Plan:
    """Return the plan behind an answer."""
    sets = sets_of(parts)
    copies: dict[str, int] = {}
    used: Counter[int] = Counter()
    layouts: list[Layout] = []
    sums = dict.fromkeys(("stock", "parts", "offcuts", "waste"), Fraction(0))
    for i, s in answer.layouts:
        used[i] += 1
        tracer = Tracer(Sawyer(parts, stock[i], shop, sets), parts, copies)
        layouts.append(tracer.layout(s, used[i], str(price(stock[i]))))
        sums["stock"] += outline_area(stock[i])
        for leaf in _leaves(layouts[-1].tree):
            sums[_kind(leaf)] += _area(leaf, tracer.here)
    whole = {name: round(value) for name, value in sums.items()}
    kerf = whole["stock"] - whole["parts"] - whole["offcuts"] - whole["waste"]
    cost = Fraction(answer.cost).limit_denominator(10**9)
    short = answer.missing > 0
    return Plan(
        version="0",
        made="2026-11-25T10:00:00Z",
        units=System.INCH,
        seed=0,
        project="tried every way",
        project_sha256="",
        status=Status.SHORT if short else Status.OPTIMAL,
        cost=cost,
        bound=None if short else cost,
        gap=None if short else Fraction(0),
        seconds=0.0,
        stopped_by="optimal",
        shop=shop,
        stock=tuple(stock),
        parts=tuple(parts),
        matches=(),
        layouts=tuple(layouts),
        missing=tuple(
            Missing(p.name, p.count + p.spare - copies.get(p.name, 0), "no room")
            for p in parts
            if copies.get(p.name, 0) < p.count + p.spare
        ),
        yields=Yield(kerf=kerf, **whole),
    )


def _leaves(node: Node) -> Iterator[Node]:
    if node.cut is None:
        yield node
    for piece in node.pieces:
        yield from _leaves(piece)


def _kind(leaf: Node) -> str:
    if isinstance(leaf.use, BlankUse):
        return "parts"
    return "offcuts" if isinstance(leaf.use, OffcutUse) else "waste"


def _area(leaf: Node, here: Ground) -> Fraction:
    return wood_in(here, leaf.x, leaf.x + leaf.length, leaf.y, leaf.y + leaf.width)

"""The cheapest way to make a match, at given prices of blanks."""

from collections.abc import Callable

from nester.problem.choice import Arc, Choice

Price = Callable[[Arc], int]
"""The price of the blank of an arc [ticks]."""


def cheapest_way(choice: Choice, price: Price, corner: int) -> tuple[int, tuple[int, ...]] | None:
    """Return the least price of one set and the arcs that make it, None where there is no way.

    Every broken corner costs ``corner`` besides. The arcs come in order of the parts.
    """
    n = choice.slots
    costs = [price(arc) + corner * arc.broken for arc in choice.arcs]
    best: tuple[int, tuple[int, ...]] | None = None
    by_start: list[list[int]] = [[] for _ in range(n)]
    for a, arc in enumerate(choice.arcs):
        by_start[arc.start].append(a)
    # Only arcs that pass from the last part to the first make it matter where the count begins.
    firsts = {0} | {arc.start for arc in choice.arcs if arc.start + arc.count > n}
    for first in sorted(firsts):
        found = _from(choice.arcs, costs, by_start, first, n)
        if found is not None and (best is None or found[0] < best[0]):
            best = found
    if best is None:
        return None
    return best[0] - corner * choice.free, best[1]


def _from(
    arcs: tuple[Arc, ...], costs: list[int], by_start: list[list[int]], first: int, n: int
) -> tuple[int, tuple[int, ...]] | None:
    table: list[tuple[int, int] | None] = [None] * (n + 1)  # cost, last arc
    table[0] = (0, -1)
    for at in range(n):
        here = table[at]
        if here is None:
            continue
        for a in by_start[(first + at) % n]:
            end = at + arcs[a].count
            if end > n:
                continue
            cost = here[0] + costs[a]
            old = table[end]
            if old is None or cost < old[0]:
                table[end] = (cost, a)
    last = table[n]
    if last is None:
        return None
    chain, at = [], n
    while at > 0:
        entry = table[at]
        assert entry is not None
        chain.append(entry[1])
        at -= arcs[entry[1]].count
    return last[0], tuple(reversed(chain))

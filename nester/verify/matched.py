"""Corners: which really run on in the layouts, against what the document says of each match."""

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from typing import TypeAlias

from nester.verify.deal import Dealt, Position, deal
from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.number import decimal
from nester.verify.records import Plan, Result
from nester.verify.resaw import pairs, set_of

Copy: TypeAlias = tuple[str, int]
"""A stock id and the number of a copy."""
_ROUNDING = Fraction(6, 10_000)


def joined(plan: Plan, laids: list[Laid]) -> dict[tuple[str, int], set[int]]:
    """Return, by match and set, the corners that run on, the first corner of a set 0.

    In a run those between its parts; in a resawn pair of a wrap all, of a book its one; in a
    "same board" those between neighbours from one copy of one stock item.
    """
    found: dict[tuple[str, int], set[int]] = {}
    for laid in laids:
        for run in laid.runs.tops.values():
            stretch = run.stretch()
            if stretch is None or run.dealt is None or run.how == "book":
                continue
            corners = found.setdefault((run.name, stretch.set), set())
            size = run.dealt.size
            corners.update((stretch.start + k) % size for k in range(stretch.count - 1))
        for pair in pairs(laid):
            number = set_of(plan.shop, pair)
            if number is not None and pair.one.dealt is not None:
                corners = found.setdefault((pair.one.name, number), set())
                corners.update(range(pair.one.dealt.corners))
    boards = wood(plan)
    for name, dealt in deal(plan.matches, plan.parts).items():
        if dealt.match.how != "same board":
            continue
        for number, positions in enumerate(dealt.sets):
            sources = [boards.get(position, frozenset()) for position in positions]
            together = {
                corner
                for corner in range(dealt.corners)
                if len(sources[corner]) == 1 and sources[corner] == sources[corner + 1]
            }
            found[name, number] = together
    return found


def wood(plan: Plan) -> dict[Position, frozenset[Copy]]:
    """Return the copies of stock that each copy of a part is cut from, or its strips are."""
    found: dict[Position, frozenset[Copy]] = {}
    strips: dict[str, set[Copy]] = {}
    for layout in plan.layouts:
        for node in layout.tree:
            use = node.use
            if use is not None and use.kind == "blank":
                found[use.part, use.copy] = frozenset({(layout.stock, layout.copy)})
            elif use is not None and use.kind == "strip":
                strips.setdefault(use.panel, set()).add((layout.stock, layout.copy))
    for panel in plan.panels:
        for position in panel.parts:
            found[position] = frozenset(strips.get(panel.id, ()))
    return found


def check_results(plan: Plan, laids: list[Laid]) -> Iterator[Fault]:
    """The document counts for each match the corners that really run on, and names the others."""
    results = {result.name: result for result in plan.results}
    for name, number in Counter(result.name for result in plan.results).items():
        if number > 1:
            yield Fault("match-result", "two entries have this name", "matches", name)
        if name not in plan.matches:
            yield Fault("match-result", "no match has this name", "matches", name)
    if not plan.whole:
        return
    found = joined(plan, laids)
    boards = wood(plan)
    dealt = deal(plan.matches, plan.parts)
    for name, each in dealt.items():
        if name not in results:
            message = "the match has no entry in the matches"
            yield Fault("match-result", message, f"match {name}")
        else:
            yield from _check_result(each, results[name], found)
            yield from _check_stock(each, results[name], dealt, boards)


def _check_result(
    dealt: Dealt, result: Result, found: dict[tuple[str, int], set[int]]
) -> Iterator[Fault]:
    place = f"match {dealt.match.name}"
    total = dealt.corners * dealt.match.sets
    broken = broken_corners(dealt, found)
    if result.corners != total:
        yield Fault("corners", f"the match has {total} corners", place, str(result.corners))
    if result.matched != total - len(broken):
        message = f"{total - len(broken)} of its corners match in the layouts"
        yield Fault("matched", message, place, str(result.matched))
    if Counter(result.broken) != Counter(broken):
        wanted = "; ".join(f"{one} to {other}" for one, other in broken) or "none"
        said = "; ".join(f"{one} to {other}" for one, other in result.broken) or "none"
        yield Fault("broken", f"the broken corners are: {wanted}", place, said)


def broken_corners(dealt: Dealt, found: dict[tuple[str, int], set[int]]) -> list[tuple[str, str]]:
    """Return the names on both sides of each corner of a match that does not run on."""
    return [
        dealt.names(corner)
        for number in range(dealt.match.sets)
        for corner in range(dealt.corners)
        if corner not in found.get((dealt.match.name, number), set())
    ]


def _check_stock(
    dealt: Dealt,
    result: Result,
    all_dealt: dict[str, Dealt],
    boards: dict[Position, frozenset[Copy]],
) -> Iterator[Fault]:
    """The stock named is all that the parts of the match come from, each once."""
    true = {
        stock
        for positions in dealt.sets
        for position in positions
        for copy in copies_of(position, all_dealt, boards)
        for stock, _ in boards.get(copy, frozenset())
    }
    if sorted(true) != sorted(result.stock):
        wanted = ", ".join(sorted(true)) or "none"
        found = ", ".join(result.stock) or "none"
        message = f"its parts come from: {wanted}"
        yield Fault("match-stock", message, f"match {dealt.match.name}", found)


def copies_of(
    position: Position, dealt: dict[str, Dealt], boards: dict[Position, frozenset[Copy]]
) -> tuple[Position, ...]:
    """Return the copies of parts in a position: one, or all of a row of a stack of sequences."""
    name, number = position
    row = dealt.get(name)
    if position in boards or row is None or not 1 <= number <= row.match.sets:
        return (position,)
    return row.sets[number - 1]


def check_required(plan: Plan, laids: list[Laid]) -> Iterator[Fault]:
    """Each set of a required match is there as its full match, or its parts are missing.

    Of a wrap from one strip the corner between its last and its first part cannot match.
    """
    if not plan.whole:
        return
    found = joined(plan, laids)
    boards = wood(plan)
    dealt = deal(plan.matches, plan.parts)
    for name, each in dealt.items():
        if not each.match.required:
            continue
        least = each.size - 1
        for number, positions in enumerate(each.sets):
            copies = [copy for p in positions for copy in copies_of(p, dealt, boards)]
            cut = [copy for copy in copies if copy in boards]
            matched = len(found.get((name, number), set()))
            if cut and matched < least:
                message = "a required match is not the full one, so its parts must be missing"
                value = f"{matched} of {each.corners} corners"
                yield Fault("required", message, f"match {name}, set {number + 1}", value)


def check_penalties(plan: Plan, laids: list[Laid]) -> Iterator[Fault]:
    """Each broken corner costs what the shop says; nothing where corners have no price."""
    charged: dict[str, Fraction] = {}
    entries: Counter[str] = Counter()
    for penalty in plan.penalties:
        charged[penalty.match] = charged.get(penalty.match, Fraction(0)) + penalty.cost
        entries[penalty.match] += 1
        if penalty.match not in plan.matches:
            yield Fault("penalty", "no match has this name", "penalties", penalty.match)
    if not plan.whole:
        return
    found = joined(plan, laids)
    price = plan.shop.corner_penalty or Fraction(0)
    for name, dealt in deal(plan.matches, plan.parts).items():
        due = price * len(broken_corners(dealt, found))
        said = charged.get(name, Fraction(0))
        if abs(said - due) > _ROUNDING * max(1, entries[name]):
            message = f"the penalties must be {decimal(due, 3)}"
            yield Fault("penalty", message, f"match {name}", decimal(said, 6))

"""The outcome of a plan in short: a line for a person, a record for a program."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from inventory.formatter import money
from inventory.issue import clipped, one_line
from inventory.length import Length
from nester.area import sound_wood_in, wood_area
from nester.layout import Node, OffcutUse
from nester.plan import Plan, Status
from nester.plan.write import number

STOPS = {
    "optimal": "nothing better can exist",
    "gap": "the gap asked for is reached",
    "seconds": "the time given is up",
    "work": "the work given is done",
    "interrupted": "interrupted",
}


@dataclass(frozen=True, slots=True)
class Offcut:
    """A leftover worth keeping; ``worth`` is what the plan credits for it."""

    id: str
    stock: str
    length: Length
    width: Length
    thickness: Length
    worth: Fraction


def headline(plan: Plan) -> str:
    """Return the outcome in two lines: what is planned at which cost, and what is proven of it."""
    wanted = sum(part.copies for part in plan.parts)
    lost = sum(missing.count for missing in plan.missing)
    name = one_line(clipped(plan.project))
    pieces = "piece" if len(plan.layouts) == 1 else "pieces"
    have = f"{wanted - lost:,} of {wanted:,} blanks"
    first = (
        f"{name}: {have} from {len(plan.layouts):,} {pieces} of stock; "
        f"the wood used up is worth {money(plan.cost)}"
    )
    return f"{first}\n{proof(plan)}"


def proof(plan: Plan) -> str:
    """Return what is proven about a plan, and why the search ended."""
    stopped = STOPS.get(plan.stopped_by, plan.stopped_by)
    ended = f"stopped after {plan.seconds:.1f} s: {stopped}"
    if plan.status is Status.SHORT:
        lost = sum(missing.count for missing in plan.missing)
        blanks = "blank has" if lost == 1 else "blanks have"
        return f"{lost:,} {blanks} no place; {ended}"
    if plan.status is Status.OPTIMAL:
        return f"proven: no plan on this grid costs less; found in {plan.seconds:.1f} s"
    bound = money(plan.bound) if plan.bound is not None else "?"
    gap = float(plan.gap or 0) * 100
    return f"proven: no plan on this grid costs less than {bound} (gap {gap:.1f} %); {ended}"


def offcuts_of(plan: Plan) -> list[Offcut]:
    """Return the offcuts, layout by layout."""
    found = []
    for layout in plan.layouts:
        item = plan.stock_by_id(layout.stock)
        for node in _offcut_nodes(layout.tree):
            assert isinstance(node.use, OffcutUse)
            share = Fraction(
                sound_wood_in(item, node.x, node.y, node.length, node.width), wood_area(item)
            )
            worth = Fraction(layout.value) * plan.shop.offcut_credit * share
            found.append(
                Offcut(node.use.id, layout.stock, node.length, node.width, layout.thickness, worth)
            )
    return found


def summary(plan: Plan) -> dict[str, Any]:
    """Return the outcome as plain data; money as in the plan document."""
    return {
        "project": plan.project,
        "status": plan.status.value,
        "cost": number(plan.cost, 3),
        "bound": None if plan.bound is None else number(plan.bound, 3),
        "gap": None if plan.gap is None else number(plan.gap, 6),
        "seconds": round(plan.seconds, 3),
        "stopped_by": plan.stopped_by,
        "blanks": sum(part.copies for part in plan.parts),
        "layouts": len(plan.layouts),
        "stock": [f"{layout.stock}-{layout.copy}" for layout in plan.layouts],
        "offcuts": [offcut.id for offcut in offcuts_of(plan)],
        "panels": [{"id": panel.id, "strips": panel.strips} for panel in plan.panels],
        "matches": [
            {"name": m.name, "corners": m.corners, "matched": m.matched, "stock": list(m.stock)}
            for m in plan.match_results
        ],
        "missing": [{"part": m.part, "count": m.count, "reason": m.reason} for m in plan.missing],
        "yield": round(plan.yields.fraction, 4),
    }


def _offcut_nodes(tree: Node) -> Iterator[Node]:
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        if isinstance(node.use, OffcutUse):
            yield node
        waiting.extend(reversed(node.pieces))

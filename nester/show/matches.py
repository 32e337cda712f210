"""Matches in a plan as text: the corners that run on, those that do not, and what is next best."""

from collections.abc import Iterator
from itertools import pairwise

from inventory.formatter import money
from nester.joints import Joint, Joints, copy_words, joints_of
from nester.matching import Matching
from nester.model import How, Match
from nester.plan import Plan
from nester.problem.matches import taken
from nester.table import safe, table


def matches_text(plan: Plan) -> str:
    """Return how each match came out, with the joints that do not run on; empty without any."""
    lines = [
        [match.name, f"{match.matched} of {match.corners}", ", ".join(match.stock)]
        for match in plan.match_results
    ]
    told = [*_broken(plan), *lot_lines(plan)]
    told += [f"{safe(p.match)}: {money(p.cost)} charged: {p.why}" for p in plan.penalties]
    text = table(["match", "corners", "stock"], lines)
    return "\n".join(filter(None, [text, *told]))


def lot_lines(plan: Plan) -> list[str]:
    """Return which matches, spread over several boards, have them at least from one lot."""
    rows = taken(plan.matches, plan.parts).rows
    home = Matching(plan.layouts, plan.panels).home
    found = []
    for result in plan.match_results:
        copies = [copy for own in rows.get(result.name, ()) for row in own for copy in row]
        places = {place for copy in copies for place in home.get(copy, ())}
        lots = {plan.stock_by_id(stock).lot for stock, _ in places}
        if result.broken and len(places) > 1 and len(lots) == 1 and "" not in lots:
            found.append(
                f'{safe(result.name)}: from {len(places)} boards, all of lot "{safe(lots.pop())}",'
                " which is the next best"
            )
    return found


def _broken(plan: Plan) -> Iterator[str]:
    """Yield a line for each joint that does not run on, under its number on the drawings.

    What has no such number, as parts that should share a board, is named by its copies.
    """
    joints = joints_of(plan)
    rows = taken(plan.matches, plan.parts).rows
    matching = Matching(plan.layouts, plan.panels)
    for match in plan.matches:
        numbered = [joint for joint in _of(match, joints) if not joint.runs_on]
        for joint in numbered:
            odd = " (the odd corner)" if joint.odd else ""
            one, other = (safe(copy_words(copy, plan)) for copy in (joint.first, joint.second))
            yield (
                f"{safe(match.name)}: joint {joint.label}, {one} to {other}, does not run on{odd}"
            )
        if match.how not in (How.SAME_BOARD, How.BOOK):
            continue
        want = "from one board" if match.how is How.SAME_BOARD else "leaves of one blank"
        for own in rows.get(match.name, ()):
            running = matching.running(match, own)
            for k, (first, second) in enumerate(pairwise(own)):
                if k not in running:
                    yield (
                        f"{safe(match.name)}: {safe(copy_words(first[0], plan))} and "
                        f"{safe(copy_words(second[0], plan))} are not {want}"
                    )


def _of(match: Match, joints: Joints) -> list[Joint]:
    found: dict[tuple[int, str, int], Joint] = {}
    for pairs in joints.meets.values():
        for _, joint in pairs:
            if joint.match == match.name:
                found.setdefault(joint.order, joint)
    return [found[key] for key in sorted(found)]

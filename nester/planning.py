"""From a project and stock to a plan: the problem is built, solved, and its layouts made exact."""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from inventory.length import Length
from inventory.stock import Stock
from nester import __version__
from nester.area import wood_area, wood_in
from nester.blanks.eligible import plain
from nester.layout import Axis, BlankUse, Layout, Node, OffcutUse, StripUse, WasteUse
from nester.matching import Matching, penalties
from nester.model import How, Part, Project
from nester.naming import OffcutIds, PartNames
from nester.panels import panel_of
from nester.plan import Missing, Panel, Plan, Status, Yield
from nester.problem import Problem, build
from nester.problem.matches import sequences_of
from nester.readiness import get_plates_ready, get_ready
from nester.reasons.missing import why_missing
from nester.solve.callbacks import Callbacks
from nester.solve.door import solve
from nester.solve.kernels.cache import is_compiled
from nester.solve.result import Result
from nester.solve.stop import Stop
from nester.solve.together import seats, strip_seats
from nester.solve.tree import Carpenter, leaves

PENNY = Fraction(1, 2000)
"""Half the last place that money is written with: closer than this, two sums are one."""


def make_plan(
    project: Project,
    stock: Sequence[Stock],
    *,
    stop: Stop,
    seed: int = 0,
    workers: int = 2,
    callbacks: Callbacks | None = None,
    made: str,
) -> Plan:
    """Return the best plan found until ``stop`` says so.

    ``made`` is the time to write into it (UTC, ISO 8601). The parts and the stock may come in any
    order. Raises ``ValueError`` for a plan that breaks its own rules, which is the program's fault.
    """
    parts = sorted(project.parts, key=lambda part: part.name)
    items = sorted(stock, key=lambda item: item.id)
    problem = build(parts, items, project.shop, project.matches)
    hooks = callbacks or Callbacks()
    if not is_compiled():
        hooks.compiling()
    get_ready()
    if any(not item.board and item.cell_credit == 0 for item in problem.stock):
        get_plates_ready()
    result = solve(problem, stop, seed=seed, workers=workers, callbacks=hooks)
    layouts, panels, cost = _layouts(problem, result, items, project)
    missing = _missing(project.parts, layouts, panels)
    leaves = _leaves(project, items, missing)
    matched = Matching(layouts, panels).results(project)
    charged, price = penalties(matched, project.shop)
    cost += price
    status, bound, gap = _proven(result, problem, cost, bool(missing))
    return Plan(
        version=__version__,
        made=made,
        units=project.units,
        seed=seed,
        project=project.name,
        project_sha256=project.sha256,
        status=status,
        cost=cost,
        bound=bound,
        gap=gap,
        seconds=result.seconds,
        stopped_by=result.stopped_by,
        shop=project.shop,
        stock=_eligible(items, parts),
        parts=project.parts,
        matches=project.matches,
        layouts=tuple(layouts),
        panels=tuple(panels),
        missing=tuple(
            Missing(
                part.name,
                missing[part.name],
                why_missing(
                    part,
                    items,
                    project.shop,
                    layouts,
                    _whole(part, project),
                    leaves.get(part.name),
                ),
            )
            for part in project.parts
            if missing[part.name]
        ),
        match_results=tuple(matched),
        penalties=tuple(charged),
        yields=_yield(layouts, items),
    )


def _eligible(items: Sequence[Stock], parts: Sequence[Part]) -> tuple[Stock, ...]:
    """Return the stock of a material that some part asks for."""
    wanted = {plain(name) for part in parts for name in part.materials}
    return tuple(item for item in items if plain(item.material) in wanted)


def _layouts(
    problem: Problem, result: Result, items: Sequence[Stock], project: Project
) -> tuple[list[Layout], list[Panel], Fraction]:
    by_id = {item.id: item for item in items}
    homes = seats(problem, result.columns).homes
    strips = strip_seats(result.columns, result.panels)
    names = PartNames(problem, result.ways, result.panels, homes, strips)
    ids = OffcutIds(items)
    copies: Counter[str] = Counter()
    layouts, cost = [], Fraction(0)
    for i, column in enumerate(result.columns):
        names.at(i)
        item = problem.stock[column.stock]
        record = by_id[item.id]
        copies[item.id] += 1
        carpenter = Carpenter(item, record, project.shop)
        made, price = carpenter.layout(column.row, copies[item.id], names, ids.maker(item.id))
        layouts.append(made)
        cost += price
    panels = [panel_of(named, problem) for named in names.panels]
    return layouts, panels, cost


def _whole(part: Part, project: Project) -> str | None:
    """Return the name of a required match that a part belongs to."""
    rows = sequences_of(project.matches, project.parts)
    for match in project.matches:
        names = [
            one for name in match.parts for one in (rows[name].parts if name in rows else [name])
        ]
        if match.required and part.name in names:
            return match.name
    return None


def _leaves(
    project: Project, items: Sequence[Stock], missing: Counter[str]
) -> dict[str, tuple[Length, Length]]:
    """Return, for missing parts, the blank from which a thick board may give all their match.

    Flaws are not looked at.
    """
    matches = [
        match
        for match in project.matches
        if match.how in (How.WRAP, How.BOOK) and any(missing[name] for name in match.parts)
    ]
    if not matches:
        return {}
    from nester.check.runs import resawn  # rarely asked for

    found = {row.match: (row.length, row.width) for row in resawn(project, items)}
    return {
        name: found[match.name] for match in matches if match.name in found for name in match.parts
    }


def _missing(
    parts: Sequence[Part], layouts: Sequence[Layout], panels: Sequence[Panel]
) -> Counter[str]:
    """Return how many copies of each part are neither cut nor glued up."""
    had = Counter(
        leaf.use.part
        for tree in (*(layout.tree for layout in layouts), *(panel.tree for panel in panels))
        for leaf in leaves(tree)
        if isinstance(leaf.use, BlankUse)
    )
    return +Counter({part.name: part.copies - had[part.name] for part in parts})


def _proven(
    result: Result, problem: Problem, cost: Fraction, short: bool
) -> tuple[Status, Fraction | None, Fraction | None]:
    if short:
        return Status.SHORT, None, None
    bound = min(cost, Fraction(result.bound) / problem.ticks)
    if cost - bound <= PENNY:
        return Status.OPTIMAL, cost, Fraction(0)
    # Written money is rounded; a bound may only be rounded down.
    bound = Fraction(int(bound * 1000), 1000)
    gap = (cost - bound) / cost
    if result.stopped_by in ("gap", "optimal"):
        return Status.WITHIN_GAP, bound, gap
    return Status.FEASIBLE, bound, gap


def _yield(layouts: Sequence[Layout], items: Sequence[Stock]) -> Yield:
    by_id = {item.id: item for item in items}
    sums = {
        "stock": Fraction(0),
        "parts": Fraction(0),
        "offcuts": Fraction(0),
        "waste": Fraction(0),
    }
    for layout in layouts:
        item = by_id[layout.stock]
        sums["stock"] += wood_area(item)
        for leaf, share in _shares(layout.tree, Fraction(1)):
            area = wood_in(item, leaf.x, leaf.y, leaf.length, leaf.width)
            sums[_kind(leaf)] += area * share
    whole = {name: round(value) for name, value in sums.items()}
    kerf = whole["stock"] - whole["parts"] - whole["offcuts"] - whole["waste"]
    return Yield(kerf=kerf, **whole)


def _shares(node: Node, share: Fraction) -> Iterator[tuple[Node, Fraction]]:
    """Yield the pieces that are cut no further, with the part of the thickness that they have."""
    if node.cut is None:
        yield node, share
    resawn = node.cut is not None and node.cut.axis is Axis.Z
    for piece in node.pieces:
        yield from _shares(piece, share / 2 if resawn else share)


def _kind(leaf: Node) -> str:
    if isinstance(leaf.use, BlankUse | StripUse):
        return "parts"
    if isinstance(leaf.use, OffcutUse):
        return "offcuts"
    assert isinstance(leaf.use, WasteUse)
    return "waste"

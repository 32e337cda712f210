"""Cautions: what goes to the saw all the same, but wants a second look or another way of working.

The limits are those of the shop where it has one. Two are school and safety rules: hands stay 3 in
(75 mm) from the cutter, and wood thinner than 1/4 in (6 mm) does not go through a planer by itself.
Both are common practice, as taught; a machine's own manual and the law of the place come first.
"""

from collections import Counter
from collections.abc import Callable, Sequence

from inventory.formatter import Formatter
from inventory.issue import Issue, Severity
from inventory.length import INCH, MM, Length
from inventory.lumber_tables import size_cautions
from inventory.parse import is_quarters
from inventory.stock import Stock
from nester.blanks.eligible import plain
from nester.check.blank_table import BlankRow
from nester.check.cutaways import loose_in_cutaways
from nester.check.impossible import listed
from nester.model import How, Project, Shop, System

NARROW_RIP = {System.INCH: 3 * INCH, System.METRIC: 75 * MM}
"""Ripping to less than this brings a hand nearer to the blade than it should come."""

THIN_PLANING = {System.INCH: INCH // 4, System.METRIC: 6 * MM}
"""Thinner wood may break up or lift in a planer."""

DEFER = (
    "These are cautions of the trade, not instructions. The manuals of your machines, the rules of "
    "your place of work and a licensed practitioner come before anything said here."
)
"""Printed under every list of cautions."""

Test = Callable[[BlankRow, Shop], bool]


def cautions(
    project: Project, rows: Sequence[BlankRow], stock: Sequence[Stock], sizes: Formatter
) -> list[Issue]:
    """Return the cautions about a project: of its parts, of its stock, of its saw work."""
    issues = _thickness_by_name(project)
    issues += _stock_of(project, stock)
    issues += loose_in_cutaways(project, stock)
    issues += _machines(project, rows, sizes)
    return issues


def _thickness_by_name(project: Project) -> list[Issue]:
    message = (
        "the thickness is the name of rough stock, and is taken for the finished size; "
        "measure it and write what you finish to"
    )
    return [
        Issue(
            "thickness-by-name",
            message,
            part.thickness_as_written,
            "a finished thickness such as 3/4",
            part.name,
            part.source,
            Severity.CAUTION,
        )
        for part in project.parts
        if is_quarters(part.thickness_as_written)
    ]


def _stock_of(project: Project, stock: Sequence[Stock]) -> list[Issue]:
    """Return the cautions about stock that the project asks for: sizes that belie their name."""
    wanted = {plain(name) for part in project.parts for name in part.materials}
    return [
        issue for item in stock if plain(item.material) in wanted for issue in size_cautions(item)
    ]


def _machines(project: Project, rows: Sequence[BlankRow], sizes: Formatter) -> list[Issue]:
    """Return one caution for each way in which parts do not suit a machine, all its parts named."""
    shop = project.shop
    in_runs = _in_runs(project)
    limits: list[tuple[str, str, Length, Test]] = [
        (
            "short-milling",
            "shorter than {0}, so each is milled alone in a blank {0} long and cut to length after",
            shop.shortest_milled,
            lambda row, shop: (
                row.board is not None and row.board.padded and row.part.name not in in_runs
            ),
        ),
        (
            "short-rip",
            "ripped from a piece shorter than {0}: rip before crosscutting, or saw by hand",
            shop.shortest_rip,
            lambda row, shop: row.board is not None and row.board.length < shop.shortest_rip,
        ),
        (
            "narrow-rip",
            "ripped narrower than {0}: keep hands {0} from the blade, use a push stick, rip from a "
            "wider piece on the waste side",
            NARROW_RIP[shop.system],
            lambda row, shop: _width(row) < NARROW_RIP[shop.system],
        ),
        (
            "wide-for-jointer",
            "wider than the jointer ({0}): flatten by hand, on a sled in the planer, or in strips",
            shop.jointer_width,
            lambda row, shop: _board_width(row) > shop.jointer_width > 0,
        ),
        (
            "wide-for-planer",
            "wider than the planer ({0}): thickness by hand, or in strips glued after",
            shop.planer_width,
            lambda row, shop: _board_width(row) > shop.planer_width > 0,
        ),
        (
            "wide-for-saw",
            "wider than the saw rips ({0}): cut with a track or panel saw",
            shop.rip_capacity,
            lambda row, shop: _width(row) > shop.rip_capacity > 0,
        ),
        (
            "thin-planing",
            "thinner than {0}: plane on a carrier board, or resaw and clean up by hand",
            THIN_PLANING[shop.system],
            lambda row, shop: (
                row.board is not None and row.part.thickness < THIN_PLANING[shop.system]
            ),
        ),
    ]
    return [
        _about(project, code, text.format(sizes.with_unit(limit)), found)
        for code, text, limit, test in limits
        if (found := [row.part.name for row in rows if test(row, shop)])
    ]


def _in_runs(project: Project) -> set[str]:
    """Return the parts of which every copy belongs to a run, and so is milled with its neighbours.

    A copy that must be cut by itself after all has the longer blank in the plan.
    """
    used: Counter[str] = Counter()
    for match in project.matches:
        if match.how in (How.WRAP, How.SEQUENCE):
            used.update({name: count * match.sets for name, count in Counter(match.parts).items()})
    return {part.name for part in project.parts if 0 < part.copies <= used[part.name]}


def _about(project: Project, code: str, text: str, names: Sequence[str]) -> Issue:
    message = f"{listed(names)}: {text}"
    return Issue(code, message, source=project.source, severity=Severity.CAUTION)


def _board_width(row: BlankRow) -> Length:
    return row.board.width if row.board is not None else 0


def _width(row: BlankRow) -> Length:
    """Return the least distance from the fence at which a part's blank can be ripped."""
    widths = [row.board.width] if row.board is not None else []
    if row.sheet is not None:
        widths.append(min(row.sheet))
    return min(widths, default=0)

"""What matches and glue-ups ask of single boards, before planning: long runs, wide strips.

Which blank is which size, and whether a piece of stock may give it, is asked of the same rules that
the planner goes by; flaws apart.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from inventory.length import Length
from inventory.stock import Board, Stock
from nester.blanks import end_trim, far_loss, near_loss
from nester.blanks.eligible import plain
from nester.check.composites import RESAWN, RunRow
from nester.model import Grain, How, Match, Part, Project, Shop
from nester.problem.kinds import Kind, Leaves, Line
from nester.problem.lists import Ground
from nester.problem.matches import sequences_of
from nester.problem.shapes import Row, turns


def run_table(project: Project, stock: Sequence[Stock]) -> list[RunRow]:
    """Return the blanks that the project's matches need in one piece.

    A match has a row for its run or stack. A wrap has another for two leaves resawn from one thick
    blank, where some board may give that. Parts that only share a board need no such blank.
    """
    parts = {part.name: part for part in project.parts}
    sequences = sequences_of(project.matches, project.parts)
    found = []
    for match in project.matches:
        known = rows_of(match, parts, sequences)
        if match.how is How.SAME_BOARD or known is None:
            continue
        if match.how is not How.BOOK:
            row = _best(match, _words(match), [line_of(match, known)], stock, project.shop)
            found += [row] if row is not None else []
        pair = _best(match, RESAWN, list(_pairs(match, known)), stock, project.shop)
        if pair is not None and (pair.best is not None or match.how is How.BOOK):
            found.append(pair)
    return found


def resawn(project: Project, stock: Sequence[Stock]) -> list[RunRow]:
    """Return the matches that some board may give as two leaves of one blank, flaws apart."""
    rows = run_table(project, stock)
    return [row for row in rows if row.way == RESAWN and row.best is not None]


def bare(item: Stock, shop: Shop) -> Ground:
    """Return a stock item as blanks are tried on it, without its flaws."""
    return Ground(replace(item, flaws=()), shop, (), (0, 0), 0)


def _words(match: Match) -> str:
    return {How.WRAP: "end to end", How.SEQUENCE: "end to end"}.get(match.how, "edge to edge")


def rows_of(match: Match, parts: dict[str, Part], sequences: dict[str, Match]) -> list[Row] | None:
    """Return the rows of a match in order, which but in a bank are a part each.

    None where a part is not known.
    """
    rows = [_row(match, name, parts, sequences) for name in match.parts]
    known = [row for row in rows if row is not None]
    return known if len(known) == len(rows) else None


def _row(
    match: Match, name: str, parts: dict[str, Part], sequences: dict[str, Match]
) -> Row | None:
    if match.how is How.STACK and name in sequences:
        own = sequences[name]
        if all(part in parts for part in own.parts):
            return Row(tuple(parts[part] for part in own.parts), own)
        return None
    return Row((parts[name],)) if name in parts else None


def line_of(match: Match, rows: Sequence[Row]) -> Line:
    """Return the blank of some rows of a match that follow one another."""
    if match.how is How.STACK:
        return Line(match, tuple(rows))
    return Line(match, (Row(tuple(part for row in rows for part in row.parts), match),))


def _pairs(match: Match, rows: Sequence[Row]) -> Iterator[Leaves]:
    parts = tuple(part for row in rows for part in row.parts)
    n = len(parts)
    if match.how is How.BOOK:
        yield Leaves(match, Row(parts[:1]), Row(parts[1:]), opposite=False)
    elif match.how is How.WRAP:
        for start in range(n):
            order = [*parts[start:], *parts[:start]]
            for count in range(2, n // 2 + 1):
                leaves = Row(tuple(order[:count]), match), Row(tuple(order[count:]), match)
                yield Leaves(match, *leaves, opposite=True)


def _best(
    match: Match, way: str, kinds: Sequence[Kind], stock: Sequence[Stock], shop: Shop
) -> RunRow | None:
    """Return the row of a match that may be had as any of ``kinds``; None where none fits it."""
    giving: list[tuple[tuple[Length, Length], str, Length, Length]] = []
    many = 0
    named = [item for item in stock if _of_wood(item, kinds)]
    for item in named:
        least = _least(kinds, item, shop)
        if least is not None:
            giving.append((_room(item, shop), item.id, *least))
            many += item.count
    if giving:
        room, best, length, width = max(giving)
        return RunRow(match.name, way, length, width, best, None, room, many)
    # What is added to a blank goes by the kind of stock alone.
    alike = {item.surface if isinstance(item, Board) else item.grain: item for item in named}
    sizes = sorted(size for item in alike.values() for size in _sizes(kinds, item, shop))
    if not sizes:
        return None
    room, nearest = max((_room(item, shop), item.id) for item in named)
    return RunRow(match.name, way, *sizes[0], None, nearest, room, 0)


def longest_first(stock: Sequence[Stock], shop: Shop) -> list[Stock]:
    """Return the stock in the order in which the best for a blank is looked for."""
    return sorted(stock, key=lambda item: (_room(item, shop), item.id), reverse=True)


def blank_of(kind: Line, ordered: Sequence[Stock], shop: Shop) -> tuple[Length, Length, str] | None:
    """Return the length and width of a blank, and the first stock item that may give it.

    None where none may. ``ordered`` is the stock, the longest first.
    """
    for item in ordered:
        least = _least([kind], item, shop) if _of_wood(item, [kind]) else None
        if least is not None:
            return *least, item.id
    return None


def _least(kinds: Iterable[Kind], item: Stock, shop: Shop) -> tuple[Length, Length] | None:
    """Return the least length and width of a blank on a stock item; None where it gives none."""
    sizes = [
        (option.length * shop.grid, option.width * shop.grid)
        for kind in kinds
        if _may_do(item, kind)
        for option in kind.options(0, bare(item, shop))
    ]
    return min(sizes, default=None)


def _sizes(kinds: Iterable[Kind], item: Stock, shop: Shop) -> Iterator[tuple[Length, Length]]:
    """Yield the sizes of blanks along and across a stock item, whether it may give them or not."""
    for kind in kinds:
        line = kind
        if isinstance(kind, Leaves):
            if kind.opposite or not isinstance(item, Board):
                continue
            line = Line(kind.match, (kind.second,))
        if not isinstance(line, Line):
            continue
        for turned in turns(line.parts, item, shop):
            shape = line.shape(item, shop, turned)
            size = (shape.across, shape.along) if turned else (shape.along, shape.across)
            yield size[0] * shop.grid, size[1] * shop.grid


def _may_do(item: Stock, kind: Kind) -> bool:
    """Return whether a stock item is large enough for a blank, by its finished parts alone."""
    leaves = 2 if isinstance(kind, Leaves) else 1
    if item.length * item.width * leaves < sum(part.length * part.width for part in kind.parts):
        return False
    if not isinstance(item, Board):
        return True
    if item.thickness < leaves * min(part.thickness for part in kind.parts):
        return False
    ends = kind.match.how is not How.STACK if isinstance(kind, Line) else leaves == 2
    along = all(part.grain is not Grain.WIDTH for part in kind.parts)
    return not (ends and along) or item.length * leaves >= sum(p.length for p in kind.parts)


def _of_wood(item: Stock, kinds: Sequence[Kind]) -> bool:
    parts = [part for kind in kinds[:1] for part in kind.parts]
    return all(plain(item.material) in {plain(name) for name in p.materials} for p in parts)


def _room(item: Stock, shop: Shop) -> tuple[Length, Length]:
    wide = item.width - near_loss(item, shop, item.length) - far_loss(item, shop)
    return item.length - 2 * end_trim(item, shop), max(0, wide)

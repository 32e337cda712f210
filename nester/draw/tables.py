"""Tables of set type, and how they flow in columns round the drawing and the title block."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from nester.draw.marks import Mark, Pen, Style, Text, segment
from nester.draw.page import Box
from nester.draw.type import NOTE, Line, line

PITCH = 3.8
"""Distance of the baselines in a table [mm]."""
HEAD = 4.4
"""Height of a table's title, and of its row of headings [mm]."""
TOP = 2 * HEAD
"""Height over a table's rows [mm]."""
GAP = 2.6
"""White between the columns of a table [mm]."""
APART = 6.0
"""White between tables side by side [mm]."""

ON = ", continued"


RULE = Style("rule", Pen.FINE)


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of set type under a title and headings, the columns measured [mm].

    ``right`` says which columns end flush.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Line, ...], ...]
    right: frozenset[int]
    widths: tuple[float, ...]
    width: float

    def part(self, start: int, end: int) -> "Table":
        """Return some of the rows; what follows a first part says that it goes on."""
        title = self.title if start == 0 else f"{self.title.removesuffix(ON)}{ON}"
        return replace(self, title=title, rows=self.rows[start:end])


def made(title: str, heads: Sequence[str], rows: Sequence[Sequence[Line]], *right: int) -> Table:
    """Return a table with its columns measured; ``right`` are the columns that end flush."""
    cells = [[line(head, NOTE) for head in heads], *rows]
    widths = tuple(max(cell.width for cell in column) for column in zip(*cells, strict=True))
    inner = sum(widths) + GAP * (len(widths) - 1)
    titled = line(title + ON, NOTE, True).width
    kept = tuple(tuple(row) for row in rows)
    return Table(title, tuple(heads), kept, frozenset(right), widths, max(inner, titled))


@dataclass(frozen=True, slots=True)
class Placed:
    """Some rows of a table at a place on the page."""

    table: Table
    x: float
    y: float

    def marks(self) -> list[Mark]:
        """Return title, headings, a rule and the rows."""
        base = self.y + 3.0
        marks: list[Mark] = [Text(line(self.table.title, NOTE, True), self.x, base, role="title")]
        starts = [self.x]
        for width in self.table.widths[:-1]:
            starts.append(starts[-1] + width + GAP)
        base += HEAD - 0.4
        marks += self.cells([line(head, NOTE) for head in self.table.heads], starts, base)
        rule = base + 1.1
        end = starts[-1] + self.table.widths[-1]
        marks.append(segment((self.x, rule), (end, rule), RULE))
        base += 0.4
        for row in self.table.rows:
            base += PITCH
            marks += self.cells(row, starts, base)
        return marks

    def cells(self, row: Sequence[Line], starts: Sequence[float], base: float) -> list[Text]:
        """Return one row's cells on a baseline."""
        found = []
        for i, (cell, start, width) in enumerate(zip(row, starts, self.table.widths, strict=True)):
            if cell.runs and cell.text:
                x = start + width - cell.width if i in self.table.right else start
                found.append(Text(cell, x, base, role="cell"))
        return found


@dataclass(frozen=True, slots=True)
class Space:
    """Where tables may stand: under the drawing, and right of it where that leaves room.

    ``top`` is where they begin under the drawing, ``beside`` the x from which they may begin at the
    top of the live area; columns over the title block end at ``block``, the others at ``foot``.
    """

    live: Box
    top: float
    beside: float
    block: Box
    foot: float

    def column(self, x: float, width: float) -> tuple[float, float]:
        """Return where a column of a width begins and ends, downward."""
        top = self.live.top if x >= self.beside else self.top
        bottom = self.block.top - 2.0 if x + width > self.block.left - 2.0 else self.foot
        return top, bottom


def flow(tables: Sequence[Table], space: Space) -> tuple[list[Placed], list[Table]]:
    """Place tables in columns from the left.

    Returns what was placed and what is left over, in order.
    """
    placed: list[Placed] = []
    x, width = space.live.left, 0.0
    y = space.column(x, 0.0)[0]
    waiting = list(tables)
    while waiting:
        table = waiting[0]
        across = max(width, table.width)
        fitting = rows_fitting(table, x, y, across, space)
        if fitting == 0:
            if width:
                x += width + APART
            elif x < space.beside:
                x = space.beside
            else:
                break
            y, width = space.column(x, 0.0)[0], 0.0
            continue
        placed.append(Placed(table.part(0, fitting), x, y))
        width = across
        y += TOP + fitting * PITCH + 3.4
        if fitting == len(table.rows):
            waiting.pop(0)
        else:
            waiting[0] = table.part(fitting, len(table.rows))
    return placed, waiting


def rows_fitting(table: Table, x: float, y: float, across: float, space: Space) -> int:
    """Return how many rows fit in a column at ``x`` from ``y`` down; 0 for too few to begin."""
    if x + across > space.live.right + 1e-9:
        return 0
    bottom = space.column(x, across)[1]
    count = min(int((bottom - y - TOP - 1.2) / PITCH), len(table.rows))
    if count == len(table.rows) - 1 and count > 2:
        count -= 1  # no row stands alone in the next column
    return count if count >= min(2, len(table.rows)) else 0

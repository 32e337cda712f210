"""Tables and how they flow."""

import pytest

from nester.draw.compose import in_some_order, rises
from nester.draw.page import Box
from nester.draw.tables import APART, PITCH, TOP, Space, flow, made
from nester.draw.type import NOTE, line

LIVE = Box(10.0, 10.0, 287.0, 200.0)
BLOCK = Box(191.0, 156.0, 287.0, 200.0)


def table(count, title="Cuts", words="a cell of some length"):
    """Return a table of two columns."""
    rows = [(line(str(i), NOTE), line(words, NOTE)) for i in range(count)]
    return made(title, ("no", "what"), rows, 0)


def bottom(placed):
    """Return how far down a placed table reaches."""
    return placed.y + TOP + len(placed.table.rows) * PITCH


def test_a_short_table_stays_whole():
    """Three rows stand in one column at the upper left of the space."""
    space = Space(LIVE, 120.0, 287.0, BLOCK, 180.0)
    placed, left = flow([table(3)], space)
    assert left == []
    assert [(p.x, p.y, len(p.table.rows)) for p in placed] == [(10.0, 120.0, 3)]


def test_a_long_table_goes_on_in_the_next_column():
    """Rows are all there, in order, no column reaches under the foot or into the title block."""
    space = Space(LIVE, 120.0, 287.0, BLOCK, 180.0)
    placed, left = flow([table(40), table(5, "Pieces")], space)
    assert left == []
    rows = [row[0].text for p in placed if p.table.title.startswith("Cuts") for row in p.table.rows]
    assert rows == [str(i) for i in range(40)]
    assert placed[1].table.title == "Cuts, continued"
    for part in placed:
        right = part.x + part.table.width
        assert bottom(part) <= (154.0 if right > BLOCK.left - 2 else 180.0)
        assert right <= LIVE.right
    boxes = [Box(p.x, p.y, p.x + p.table.width, bottom(p)) for p in placed]
    for i, first in enumerate(boxes):
        assert not any(first.overlaps(second) for second in boxes[i + 1 :])


def test_columns_right_of_a_narrow_drawing_begin_at_the_top():
    """What does not fit under the drawing stands beside it."""
    space = Space(LIVE, 150.0, 180.0, BLOCK, 180.0)
    placed, left = flow([table(30)], space)
    assert left == []
    beside = [p for p in placed if p.x >= 180.0]
    assert beside
    assert all(p.y == LIVE.top for p in beside)


def test_no_row_is_left_alone():
    """A table that would leave one row for the next column leaves two."""
    room = TOP + 5 * PITCH + 1.3
    space = Space(LIVE, 180.0 - room, 287.0, BLOCK, 180.0)
    placed, _ = flow([table(6)], space)
    assert [len(p.table.rows) for p in placed] == [4, 2]


def test_what_does_not_fit_is_handed_back():
    """Rows beyond the space are left over, none lost, none twice."""
    space = Space(LIVE, 150.0, 287.0, BLOCK, 180.0)
    placed, left = flow([table(200)], space)
    shown = sum(len(p.table.rows) for p in placed)
    assert shown + sum(len(t.rows) for t in left) == 200
    assert left[0].rows[0][0].text == str(shown)


def test_a_table_is_as_wide_as_its_longest_cells():
    """Columns are measured; a flush column ends where its heading or longest cell does."""
    one = table(12)
    widest = max(line("11", NOTE).width, line("no", NOTE).width)
    assert one.widths[0] == pytest.approx(widest)
    (placed,), _ = flow([one], Space(LIVE, 20.0, 287.0, BLOCK, 180.0))
    cells = [m for m in placed.marks() if getattr(m, "role", "") == "cell"]
    firsts = [c for c in cells if c.line.text.isdigit()]
    assert {round(c.x + c.line.width, 6) for c in firsts} == {round(10.0 + widest, 6)}
    assert APART > 0


def test_no_list_goes_on_higher_up_where_another_order_does():
    """Beside the drawing columns begin at the top; a list that goes on there is read upside down.

    Of lists of 20 and 8 rows over a column of 13 the long one, placed first, would go on beside.
    """
    space = Space(LIVE, 120.0, 100.0, BLOCK, 120.0 + TOP + 13.5 * PITCH)
    long, short = table(20), table(8, "Pieces")
    first, left = flow([long, short], space)
    assert left == []
    assert rises(first) == 1
    placed = in_some_order([long, short], space)
    assert placed is not None
    assert rises(placed) == 0
    assert sum(len(p.table.rows) for p in placed) == 28

"""A cut in words and measures, the same on the sheet and in the terminal."""

import json
from decimal import Decimal

import pytest

from inventory.formatter import Formatter
from nester.draw.cutting import taken_apart
from nester.draw.lists import Detail, cut_table
from nester.draw.names import Wording
from nester.layout import Axis, Cut, Node, Saw
from nester.plan import Plan, parse_plan
from nester.sawing import saw_line, saw_lines
from nester.show import cut_rows
from tests.nester.draw.wood import TRIM, blank, inches, layout_of, rip, small_board, walnut
from tests.nester.verify import valid


def plan_of(doc: dict) -> Plan:
    """Return the plan of a document made by hand."""

    def number(value: Decimal) -> int | float:
        return int(value) if value == int(value) else float(value)

    plan, issues = parse_plan(json.dumps(doc, default=number))
    assert plan is not None, [issue.line() for issue in issues]
    return plan


def test_the_line_lies_on_the_side_that_is_kept():
    """After a kept piece the line is where it ends; after waste, where the kerf ends."""
    _, layout, _ = walnut()
    lines = {saw.cut.order: saw for saw in saw_lines(layout)}
    # 7/8 of trim and 1/8 of kerf: the line is drawn at 1 in, the saw runs nearer to end A.
    assert (lines[1].line, lines[1].side, lines[1].trim) == (inches(1), "end A", True)
    # Then 41 in that are kept: the line at 42, the saw beyond it.
    assert (lines[2].line, lines[2].side, lines[2].trim) == (inches(42), "end B", False)
    # 1/8 kerf, 4 1/2 waste, 1/8 kerf: the line at 46 3/4.
    waste = next(s for s in lines.values() if s.line == inches("46 3/4"))
    assert waste.side == "end A"


def test_the_stop_is_measured_on_the_piece_in_hand():
    """The section from 1 in to the end, cut at 42 in, is stopped at 41 in."""
    _, layout, _ = walnut()
    assert [saw.stop for saw in saw_lines(layout)[:2]] == [inches(1), inches(41)]


def test_a_trim_that_is_all_kerf_has_its_line_at_the_kerf_s_end():
    """Where the first piece is missing the kerf begins at the border, and the line is beyond it."""
    board, _, _ = small_board()
    (saw,) = saw_lines(layout_of(board, rip((0, TRIM), (None, blank("leg")))))
    assert (saw.line, saw.side, saw.trim) == (inches("1/16"), "near edge", True)


def test_a_last_rip_that_leaves_only_kerf_is_no_trim():
    """A blank of 5 15/16 from a board of 6, with a kerf of 1/16: nothing else is left."""
    board, _, parts = small_board()
    layout = layout_of(board, rip((inches("5 15/16"), blank("leg")), (None, TRIM)))
    (saw,) = saw_lines(layout)
    assert (saw.line, saw.side, saw.trim) == (inches("5 15/16"), "far edge", False)
    assert saw.rest_is_kerf
    found = cut_rows(layout, {part.name: part for part in parts}, Formatter.of("in"))
    assert [(row.cut, row.gives, row.size) for row in found] == [
        ("1", "leg", "60 × 5 15/16"),
        ("", "the rest is kerf", ""),
    ]


def test_a_resaw_is_measured_from_face_a():
    """Through the thickness: the stop is the distance from face A, wherever the piece lies."""
    half = Node(inches(5), inches(2), inches(20), inches(4), use=blank("leaf"))
    cut = Cut(Axis.Z, inches("1/2"), inches("1/16"), Saw.RESAW, 3)
    saw = saw_line(Node(inches(5), inches(2), inches(20), inches(4), cut, (half, half)))
    assert saw is not None
    assert (saw.line, saw.stop, saw.measured, saw.side) == (
        inches("1/2"),
        inches("1/2"),
        "from face A",
        "face B",
    )


@pytest.mark.parametrize("name", ["rough", "taper", "sheets", "flawed", "metric", "plinth"])
def test_terminal_and_drawing_give_the_same_measures(name):
    """Cut by cut: the saw, the line, where it is measured from, and the stop."""
    plan = plan_of(getattr(valid, name)())
    parts = {part.name: part for part in plan.parts}
    sizes = Formatter.of(plan.units.value)
    for layout in plan.layouts:
        words = Wording(sizes, plan.stock_by_id(layout.stock), parts)
        drawn = cut_table(taken_apart(layout), words, Detail.FULL)
        sheet = []
        for row in drawn.rows:
            order, saw, line, measured, stop = (
                cell.text.replace("⁄", "/").replace("″", "") for cell in row
            )
            place = f"{line.removeprefix('at ')} {measured}"
            sheet.append((order, saw.removesuffix(", trim"), place, stop))
        shown = [
            (row.cut, row.saw, row.line, row.stop)
            for row in cut_rows(layout, parts, sizes)
            if row.cut
        ]
        assert shown == sheet
        assert shown

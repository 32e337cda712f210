"""How few strips make up a panel, before planning."""

from dataclasses import replace

import pytest

from inventory.length import INCH
from nester.check.glued import glue_table
from nester.check.report import check_project
from nester.check.text import report_document, report_text
from nester.model import GlueUp, How, Match
from tests.nester.check.things import board, inches, part, project

GLUE = GlueUp(inches("2 1/2"), inches(6), INCH // 8, 8)


def lid(width=20, **more):
    """Return a lid of walnut that may be glued up."""
    return part("lid", 36, width, glue_up=replace(GLUE, **more))


def told(made, stock):
    """Return the report in words, with single spaces."""
    return " ".join(report_text(made, check_project(made, stock), "stock.toml").split())


@pytest.mark.parametrize(("wide", "strips"), [(20, 4), ("21 1/2", 4), ("21 5/8", 5), (16, 3)])
def test_a_lid_from_narrow_boards(wide, strips):
    """A 20 in lid from 5 1/2 in boards needs four strips, each 1/8 less once jointed.

    By pencil: three make 3 x 5 3/8 = 16 1/8 in, four 21 1/2.
    """
    (row,) = glue_table(project(lid(wide)), [board("W", 40, "5 1/2", count=9)])
    assert (row.panel, row.length, row.width) == ("lid", inches(37), inches(wide))
    assert (row.widest, row.board, row.strips) == (inches("5 1/2"), "W", strips)
    assert row.made == strips * inches("5 3/8")


def test_a_long_or_wide_board_gives_several_strips():
    """A board of 76 x 11 in gives four strips of 37: two of 6 and, past a kerf of 1/16, two more.

    What is left is 4 15/16. A wider limit is held down by the jointer, 8 in wide.
    """
    (row,) = glue_table(project(lid()), [board("W", 76, 11)])
    assert (row.strips, row.made) == (4, 2 * inches("5 7/8") + 2 * inches("4 13/16"))
    (row,) = glue_table(project(lid(widest=inches(10))), [board("W", 76, 11)])
    assert (row.limits, row.widest) == ((inches("2 1/2"), inches(8)), inches(8))


def test_endless_pieces_of_one_board():
    """A board of which there are a million is counted as often as a panel can need it."""
    (row,) = glue_table(project(lid()), [board("W", 40, 6, count=1_000_000)])
    assert (row.strips, row.widest) == (4, inches(6))


def test_too_few_strips_and_none():
    """Where the strips at hand do not make the width, or none is wide enough, that is told."""
    made = project(lid())
    three = [board("W", 40, "5 1/2", count=3)]
    (row,) = glue_table(made, three)
    assert (row.strips, row.most, row.made) == (None, 3, inches("16 1/8"))
    assert "lid 37 × 20 2 1/2 to 6 5 1/2 on W too few: 3 come to 16 1/8" in told(made, three)
    (row,) = glue_table(made, [board("W", 40, 2, count=30)])
    assert (row.widest, row.strips, row.most) == (None, None, 0)
    (row,) = glue_table(project(lid(max_strips=3)), [board("W", 40, "5 1/2", count=9)])
    assert (row.strips, row.most) == (None, 3)


def test_a_warped_board_gives_narrower_strips():
    """Cup takes with the square of the width: 1 in board, 3/4 + 1/16 off, 1/4 of cup over 8 in.

    By pencil: 3/16 may go, so (w / 8)^2 <= 3/4 and w <= 6.93 in; on the grid 6 7/8.
    """
    flat = project(lid(widest=inches(8)))
    (row,) = glue_table(flat, [board("W", 40, 8, 1, cup="1/4", surface=_s2s(), count=4)])
    assert row.widest == inches("6 7/8")


def _s2s():
    from inventory.stock import Surface

    return Surface.S2S


def test_a_run_from_one_panel():
    """A wrapped case of glued-up parts is one long panel; with a part that is not, it is none."""
    parts = [part(name, long, 14, glue_up=GLUE) for name, long in (("side", 18), ("top", 30))]
    wrap = Match("case", How.WRAP, ("side", "top"), joint_trim=INCH // 16)
    stock = [board("W", 60, 6, count=4)]
    found = glue_table(replace(project(*parts), matches=(wrap,)), stock)
    assert [row.panel for row in found] == ["side", "top", "case"]
    assert (found[-1].length, found[-1].strips) == (inches("49 1/4"), 3)
    parts[1] = replace(parts[1], glue_up=None)
    found = glue_table(replace(project(*parts), matches=(wrap,)), stock)
    assert [row.panel for row in found] == ["side"]


def test_the_report_has_the_strips():
    """The table and the plain data name the panel, the limits and the fewest strips."""
    made = project(lid(), part("rail", 20, 2))
    stock = [board("W", 40, "5 1/2", count=9)]
    report = check_project(made, stock)
    assert "lid 37 × 20 2 1/2 to 6 5 1/2 on W 4" in told(made, stock)
    (entry,) = report_document(made, report)["panels"]
    assert (entry["fewest_strips"], entry["from"], entry["widest_strip"]) == (4, "W", 139.7)
    assert entry["strip_limits"] == [63.5, 152.4]
    without = project(part("rail", 20, 2))
    assert "Strips" not in told(without, stock)

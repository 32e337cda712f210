"""Whole matches against the boards at hand, before planning."""

from dataclasses import replace

import pytest

from inventory.length import INCH
from nester.check.composites import RESAWN
from nester.check.impossible import cannot_work
from nester.check.report import check_project, formatter_of
from nester.check.runs import run_table
from nester.check.text import report_document, report_text
from nester.model import How, Match
from tests.nester.check.things import board, inches, part, project, sheet

CASE = [
    part(name, length, 4, blank_extra_length=0)
    for name, length in (("side", 12), ("top", 30), ("end", 12), ("bottom", 30))
]
WRAP = Match("case", How.WRAP, ("side", "top", "end", "bottom"), joint_trim=INCH // 16)


def matched(parts, *matches):
    """Return a project with matches."""
    return replace(project(*parts), matches=matches)


@pytest.mark.parametrize(("long", "fits"), [("85 1/2", True), ("84 3/4", True), ("84 1/2", False)])
def test_a_wrap_needs_its_parts_and_its_joints(long, fits):
    """Sides 12, 30, 12, 30 need 84 3/4 in: a saw tilted by 45 degrees takes 1/8 / cos 45 = 0.177.

    That and a trim of 1/16 is 0.239, on the grid 1/4, three times (plane geometry, by pencil).
    """
    (row,) = run_table(matched(CASE, WRAP), [board("short", 50, 9), board("W", long, 8)])
    assert (row.match, row.way) == ("case", "end to end")
    assert (row.length, row.width) == (inches("84 3/4"), inches("4 1/4"))
    assert (row.best, row.nearest) == (("W", None) if fits else (None, "W"))
    assert (row.room[0], row.many) == (inches(long), int(fits))


def test_two_leaves_of_a_thick_board_are_another_way():
    """A 44 in board 2 in thick gives 12 + 30 twice over, and no 84 3/4; one of 1 1/2 gives neither.

    By pencil: 42 1/4 long; two leaves of 3/4 with 1/8 planed off each and a kerf of 1/16 are
    1 13/16 thick.
    """
    whole, pair = run_table(matched(CASE, WRAP), [board("W", 44, 6, 2)])
    assert (whole.best, whole.nearest) == (None, "W")
    assert (pair.way, pair.length, pair.best) == (RESAWN, inches("42 1/4"), "W")
    (alone,) = run_table(matched(CASE, WRAP), [board("W", 44, 6, "1 3/4")])
    assert alone.way == "end to end"


def test_a_book_is_always_told():
    """Where no board is thick enough for a book match, the longest of the wood stands there."""
    doors = [part("door", 20, 5, "3/8", count=2)]
    book = Match("doors", How.BOOK, ("door", "door"))
    (row,) = run_table(matched(doors, book), [board("W", 40, 6, "3/4")])
    assert (row.match, row.way, row.best) == ("doors", RESAWN, None)
    (row,) = run_table(matched(doors, book), [board("W", 40, 6, "3/4"), board("X", 30, 6, "1 1/4")])
    assert (row.best, row.length, row.width) == ("X", inches(21), inches("5 1/4"))


def test_a_bank_of_sequences_is_one_blank():
    """Two rows of two fronts, 16 x 4 and 16 x 5: 33 1/8 long, and 9 3/8 with the rip between."""
    fronts = [part("upper", 16, 4, count=2), part("lower", 16, 5, count=2)]
    rows = [Match(n, How.SEQUENCE, (n[:5], n[:5])) for n in ("upper row", "lower row")]
    bank = Match("bank", How.STACK, ("upper row", "lower row"))
    found = run_table(matched(fronts, *rows, bank), [board("W", 40, 10), board("N", 60, 6)])
    assert [(r.match, r.way, r.best) for r in found] == [
        ("upper row", "end to end", "N"),
        ("lower row", "end to end", "N"),
        ("bank", "edge to edge", "W"),
    ]
    assert (found[-1].length, found[-1].width) == (inches("33 1/8"), inches("9 3/8"))


def test_a_sheet_may_give_a_run_and_other_matches_need_none():
    """A sequence of plywood doors is sought on sheets; parts that share a board need no run."""
    doors = [part("door", 30, 18, count=3, materials=("birch plywood",))]
    row = Match("row", How.SEQUENCE, ("door", "door", "door"))
    near = Match("near", How.SAME_BOARD, ("door", "door"))
    (found,) = run_table(matched(doors, row), [sheet("B")])
    assert (found.best, found.length, found.width) == ("B", inches("90 1/4"), inches(18))
    assert run_table(matched(doors, near), [sheet("B")]) == []
    assert run_table(matched(CASE, WRAP), [sheet("B")]) == []


def test_parts_that_only_a_leaf_gives_are_not_impossible():
    """Parts too thin for a thick board are had as two leaves of it, but only where they match."""
    stock = [board("W", 44, 6, 2)]
    thin = [replace(one, thickness=INCH // 2) for one in CASE]
    sizes = formatter_of(project(*thin))
    assert cannot_work(matched(thin, WRAP), stock, sizes) == []
    codes = {issue.code for issue in cannot_work(project(*thin), stock, sizes)}
    assert "cannot-work" in codes


def test_the_report_has_the_blanks_of_matches():
    """The table and the plain data name the match, its blank and the board."""
    made = matched(CASE, WRAP)
    stock = [board("W", 44, 6, 2)]
    report = check_project(made, stock)
    text = report_text(made, report, "stock.toml")
    assert "case   end to end     84 3/4 × 4 1/4  none; the longest is W, 44 × 6" in text
    assert "case   resawn in two  42 1/4 × 4 1/4  W, 44" in text
    assert report.lesser == ()
    assert report_document(made, report)["lesser_runs"] == []
    whole, pair = report_document(made, report)["runs"]
    assert (whole["longest"], whole["longest_of_the_wood"], whole["pieces"]) == (None, "W", 0)
    assert (pair["longest"], pair["length"], pair["pieces"]) == ("W", 1073.15, 1)

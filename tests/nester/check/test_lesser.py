"""The runs that come next where no board gives a whole match."""

from dataclasses import replace
from itertools import pairwise, product

import pytest

from inventory.length import INCH
from nester.check.lesser import fewest_runs, lesser_runs
from nester.check.report import check_project
from nester.check.runs import run_table
from nester.check.text import report_document, report_text
from nester.model import How, Match
from tests.nester.check.things import board, inches, part, project

CASE = [
    part(name, length, 4, blank_extra_length=0)
    for name, length in (("side", 12), ("top", 30), ("end", 12), ("bottom", 30))
]
WRAP = Match("case", How.WRAP, ("side", "top", "end", "bottom"), joint_trim=INCH // 16)


def lesser(parts, match, *stock):
    """Return what comes next for the one match of a project."""
    made = replace(project(*parts), matches=(match,))
    return lesser_runs(made, stock, run_table(made, stock))


@pytest.mark.parametrize(
    ("long", "runs", "broken"),
    [
        # By pencil, 1/4 at each joint: 12 + 30 + 12 is 54 1/2, and 12 + 30 is 42 1/4.
        ("84 1/2", ["side top end", "bottom"], ["end bottom", "bottom side"]),
        ("54 1/2", ["side top end", "bottom"], ["end bottom", "bottom side"]),
        ("54 7/16", ["side top", "end bottom"], ["top end", "bottom side"]),
        ("42 1/4", ["side top", "end bottom"], ["top end", "bottom side"]),
        ("42 3/16", ["side", "top", "end", "bottom"], None),
    ],
)
def test_the_fewest_runs_of_a_case(long, runs, broken):
    """Four sides that fit no board in one: the runs in order, and the corners between them."""
    (found,) = lesser(CASE, WRAP, board("W", long, 8))
    assert [" ".join(run.parts) for run in found.runs] == runs
    assert found.corners == 4
    if broken is not None:
        assert [" ".join(pair) for pair in found.broken] == broken
    assert len(found.broken) == len(runs)
    assert {run.best for run in found.runs} == {"W"}


def test_a_run_may_pass_from_the_last_part_to_the_first():
    """Of sides 10, 33, 10 and 10 from boards of 34 the three short ones go together: c, d and a."""
    box = [
        part(name, length, 4, blank_extra_length=0)
        for name, length in (("a", 10), ("b", 33), ("c", 10), ("d", 10))
    ]
    wrap = replace(WRAP, parts=("a", "b", "c", "d"))
    (found,) = lesser(box, wrap, board("W", 34, 8))
    assert [run.parts for run in found.runs] == [("b",), ("c", "d", "a")]
    assert found.broken == (("b", "c"), ("a", "b"))


def test_nothing_comes_next_where_all_of_it_is_had_or_asked_for():
    """Not where one board or a resawn pair gives the match, nor where only the whole will do."""
    assert lesser(CASE, WRAP, board("W", "84 3/4", 8)) == []
    assert lesser(CASE, WRAP, board("W", 44, 8, 2)) == []
    assert lesser(CASE, replace(WRAP, required=True), board("W", 60, 8)) == []
    # A part that no board gives alone is told as that, and its match has no next best.
    assert lesser(CASE, WRAP, board("W", 29, 8)) == []


def test_rows_of_a_bank_too_high_for_any_board():
    """Three fronts 4 high want 12 1/2 in with their rips; of 9 in two come, and the third alone."""
    fronts = [part("front", 16, 4, count=3)]
    bank = Match("bank", How.STACK, ("front", "front", "front"))
    (found,) = lesser(fronts, bank, board("W", 40, 9))
    assert [len(run.parts) for run in found.runs] == [2, 1]
    assert (found.corners, found.broken) == (2, (("front", "front"),))
    assert (found.runs[0].length, found.runs[0].width) == (inches(17), inches("8 3/8"))


def test_the_fewest_runs_whatever_fits():
    """Against trying every way to break a row or a ring of up to six parts of two lengths."""
    for n, ring, room in product((2, 3, 5, 6), (False, True), (3, 5, 7, 9)):
        for lengths in product((2, 3), repeat=n):

            def fits(run, lengths=lengths, room=room):
                start, count = run
                return sum(lengths[(start + i) % len(lengths)] for i in range(count)) <= room

            found = fewest_runs(n, ring, fits)
            assert found is not None
            assert sum(count for _, count in found) == n
            assert all(fits(run) for run in found)
            assert len(found) == fewest_by_trying(n, ring, fits)


def fewest_by_trying(n, ring, fits):
    """Return the least number of runs over all sets of places where the order is broken."""
    if fits((0, n)):
        return 1
    best = n
    for cuts in product((False, True), repeat=n):
        at = [i for i, cut in enumerate(cuts) if cut]
        if not at or (not ring and at[0] != 0):
            continue
        runs = [(a, b - a) for a, b in pairwise([*at, at[0] + n])]
        if len(runs) > 1 and all(fits(run) for run in runs):
            best = min(best, len(runs))
    return best


def test_the_report_says_what_comes_next():
    """Under the table of whole matches, in one line; in the plain data with all sizes."""
    made = replace(project(*CASE), matches=(WRAP,))
    report = check_project(made, [board("W", 44, 6)])
    text = report_text(made, report, "stock.toml")
    assert (
        "\ncase: no board gives all of it; next best, 2 of 4 corners: side, top (42 1/4 × 4 1/4, "
        "W); end, bottom (42 1/4 × 4 1/4, W). Broken: top to end, bottom to side\n"
    ) in text
    (entry,) = report_document(made, report)["lesser_runs"]
    assert (entry["corners"], entry["matched"]) == (4, 2)
    assert entry["runs"][0] == {
        "parts": ["side", "top"],
        "length": 1073.15,
        "width": 107.95,
        "longest": "W",
    }
    text = report_text(made, check_project(made, [board("W", 60, 6)]), "stock.toml")
    assert "3 of 4 corners" not in text  # three in one blank, and the corners beside the fourth
    assert "side, top, end (54 1/2 × 4 1/4, W); bottom alone. Broken: end to bottom" in text
    text = report_text(made, check_project(made, [board("W", 42, 6)]), "stock.toml")
    assert "case: no board gives even two of its parts in one blank, so no corner runs on" in text

"""Panels glued up from strips whose widths the plan chooses: what just fits, and what does not."""

import pytest

from nester.layout import StripUse
from nester.plan import Plan
from tests.nester.maker import Rounds, board, fits, match, nodes, part, planned, shop

INCH = 8128
LID = part("lid", width="20", glue_up={"strips": ["2 1/2", "6"]})


def widths(plan: Plan) -> list[float]:
    """Return the widths of the strips [in]."""
    return sorted(node.width / INCH for _, node in nodes(plan) if isinstance(node.use, StripUse))


def test_a_wide_lid_takes_four_strips() -> None:
    """A lid of 20 from boards of 5 1/2: three strips give 16 1/8 less the glue lines, four 21 1/2.

    Each strip loses 1/8, so n strips of 5 1/2 make 5 3/8 n: 16 1/8 for three, 21 1/2 for four.
    """
    plan = planned(board(width="5 1/2", count=2), LID, stop=Rounds(10))
    (panel,) = plan.panels
    assert panel.strips == 4 == len(widths(plan))
    assert sum(widths(plan)) - 4 / 8 == panel.width / INCH >= 20
    assert panel.parts == (("lid", 1),)


@pytest.mark.parametrize(("width", "there"), [("5 1/8", True), ("5 1/16", False)])
def test_strips_must_add_up(width: str, there: bool) -> None:
    """Four strips of 5 1/8 less four times 1/8 are 20; with four at most, 5 1/16 is too little."""
    lid = part("lid", width="20", glue_up={"strips": ["2 1/2", "6"], "max_strips": 4})
    assert fits(board(width=width, count=4), lid) is there


@pytest.mark.parametrize(("most", "there"), [("4 1/8", True), ("4 1/16", False)])
def test_no_strip_is_wider_than_the_limit(most: str, there: bool) -> None:
    """Two strips of 4 1/8 make 8; where 4 1/16 is the most, two make 7 7/8."""
    glue = {"strips": ["2 1/2", most], "max_strips": 2}
    lid = part("lid", width="8", glue_up=glue)
    assert fits(board(width="6", count=2), lid) is there


@pytest.mark.parametrize(("jointer", "there"), [("4 1/8", True), ("4", False)])
def test_no_strip_is_wider_than_the_jointer(jointer: str, there: bool) -> None:
    """A strip is jointed, so the machine's width is a limit as well."""
    lid = part("lid", width="8", glue_up={"strips": ["2 1/2", "6"], "max_strips": 2})
    assert fits(board(width="6", count=2), lid, shop(jointer_width=jointer)) is there


@pytest.mark.parametrize(("thickness", "there"), [("13/16", True), ("51/64", False)])
def test_a_panel_is_planed_once_more(thickness: str, there: bool) -> None:
    """On planed boards a panel of 3/4 loses 1/16 more than a part in one piece."""
    assert fits(board(thickness=thickness, count=2), LID) is there
    rail = part("rail", width="5")
    assert fits(board(thickness=thickness, count=2), rail)


def test_a_wide_board_gives_it_in_one_piece() -> None:
    """A part that may be glued up need not be: here the wide board is the cheaper."""
    stock = board("wide", width="21", price=40) + board("narrow", width="5 1/2", count=2)
    plan = planned(stock, LID, stop=Rounds(20))
    assert not plan.panels
    assert {layout.stock for layout in plan.layouts} == {"wide"}
    dear = board("wide", width="21", price=400) + board("narrow", width="5 1/2", count=2)
    plan = planned(dear, LID, stop=Rounds(20))
    assert len(plan.panels) == 1
    assert {layout.stock for layout in plan.layouts} == {"narrow"}


def test_one_strip_is_no_panel() -> None:
    """A strip alone is not glued to anything: 5 of width need a blank of 5 1/4 on planed wood."""
    lid = part("lid", width="5", glue_up={"strips": ["2 1/2", "6"]}, blank_extra_width="1/4")
    plan = planned(board(width="5 1/4", length="20", count=2), lid, stop=Rounds(5))
    assert not plan.panels
    plan = planned(board(width="5 3/16", length="20", count=2), lid, stop=Rounds(5))
    assert [panel.strips for panel in plan.panels] == [2]


def test_a_solid_part_is_told_of_the_way_out() -> None:
    """A part that is wider than every board could be had if it might be glued up."""
    plan = planned(board(width="5 1/2", count=2), part("lid", width="20"))
    (missing,) = plan.missing
    assert "the blank is 20" in missing.reason
    assert "glue_up" in missing.reason


def test_what_is_missing_for_a_panel() -> None:
    """Where a panel cannot be had the reason speaks of its strips."""
    plan = planned(board(width="5 1/2", length="44"), LID, stop=Rounds(3))
    (missing,) = plan.missing
    assert "in strips from 2 1/2" in missing.reason
    plan = planned(board(width="5 1/2", length="19"), LID, stop=Rounds(3))
    assert "narrowest strip" in plan.missing[0].reason


def test_a_run_over_glued_up_parts() -> None:
    """A wrap of glued-up sides is cut from one panel, glued up over its whole length.

    Two ends of 10 and two sides of 20, with three joints of 1/4, are 60 3/4 long.
    """
    glue = {"strips": ["2 1/2", "6"]}
    sides = part("end", length="10", width="10", count=2, thickness="1/2", glue_up=glue)
    sides += part("side", length="20", width="10", count=2, thickness="1/2", glue_up=glue)
    wrap = match(parts=["end", "side", "end", "side"])
    plan = planned(board(length="60 3/4", count=3), sides + wrap, stop=Rounds(15))
    (panel,) = plan.panels
    assert panel.match == "case"
    assert panel.length == 60.75 * INCH
    assert [name for name, _ in panel.parts] == ["end", "side", "end", "side"]
    assert plan.match_results[0].matched == 3
    plan = planned(board(length="60 11/16", count=3), sides + wrap, stop=Rounds(15))
    assert plan.match_results[0].matched < 3


def test_as_few_strips_as_will_do() -> None:
    """Of plans that cost the same the one with the fewest strips is taken."""
    plan = planned(board(width="5 1/2", count=4, price=0), LID, stop=Rounds(10))
    assert len(widths(plan)) == 4


def test_panels_share_boards() -> None:
    """Two shelves of two strips each: three strips of 20 with two kerfs of 1/8 lie on 60 1/4."""
    shelf = part("shelf", width="8", count=2, glue_up={"strips": ["3", "6"], "max_strips": 2})
    one = board("one", width="4 1/8", length="20")
    assert fits(board("three", width="4 1/8", length="60 1/4") + one, shelf)
    assert not fits(board("three", width="4 1/8", length="60 3/16") + one, shelf)


def test_a_panel_comes_from_one_board_where_it_costs_nothing() -> None:
    """Two shelves of two strips each, two strips to a board: each shelf is of one board."""
    shelf = part("shelf", width="8", count=2, glue_up={"strips": ["4 1/8", "4 1/8"]})
    plan = planned(board(width="4 1/8", length="40 1/8", count=2), shelf, stop=Rounds(5))
    boards: dict[str, set[int]] = {}
    for layout, node in nodes(plan):
        if isinstance(node.use, StripUse):
            boards.setdefault(node.use.panel, set()).add(layout.copy)
    assert {name: len(copies) for name, copies in boards.items()} == {"shelf-1": 1, "shelf-2": 1}

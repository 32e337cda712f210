"""A plan in words, from plans made by hand."""

from dataclasses import astuple
from decimal import Decimal
from typing import Any

import pytest

from inventory.formatter import Formatter
from nester.plan import Plan, parse_plan
from nester.show import cut_rows, headline, offcuts_of, plan_text, summary
from tests.nester import maker
from tests.nester.verify import valid
from tests.nester.verify.plans import blank, board, document, layout, part, sheet, x

INCH = Formatter.of("in")
MORE = ("",) * 5
PLINTH = "plinth front"


def plan_of(doc: dict[str, Any]) -> Plan:
    """Return the plan of a document made by hand."""
    import json

    plan, issues = parse_plan(json.dumps(doc, default=_number))
    assert plan is not None, [issue.line() for issue in issues]
    return plan


def _number(value: Decimal) -> int | float:
    return int(value) if value == int(value) else float(value)


def rows(plan: Plan, index: int = 0) -> list[tuple[str, ...]]:
    """Return the cut list of one layout."""
    parts = {part.name: part for part in plan.parts}
    return [astuple(row) for row in cut_rows(plan.layouts[index], parts, INCH)]


def test_cut_list_of_the_plinth() -> None:
    """Each cut once, a line for each piece it gives, the rest named by its next cut."""
    assert rows(plan_of(valid.plinth())) == [
        ("1", "crosscut", "39 from end A", "end B", "39", "to cut 2", "39 × 6"),
        (*MORE, "offcut M-1a", "20 7/8 × 6"),
        ("2", "rough rip", "3 3/4 from near edge", "far edge", "3 3/4", PLINTH, "39 × 3 3/4"),
        (*MORE, "waste", "39 × 2 3/16"),
    ]


def test_trims_are_one_line_each() -> None:
    """A trim says which end or edge it cuts off; a part that it frees is told under it."""
    found = rows(plan_of(valid.rough()))
    # 7/8 of waste and 1/8 of kerf: what is kept begins at 1, and the saw runs nearer to end A.
    assert found[0] == ("1", "crosscut", "1 from end A", "end A", "1", "trim of end A", "")
    assert (*MORE, "rail 2 of 2 (face B shows)", "41 × 3 13/16") in found
    trims = [row[5] for row in found if row[5].startswith("trim")]
    assert trims == [
        "trim of end A",
        "trim of end B",
        "trim of the near edge",
        "trim of the far edge",
        "trim of the near edge",
    ]


def test_every_cut_once_in_order() -> None:
    """The numbers run from 1 without a gap, however the tree branches."""
    for make in (valid.rough, valid.taper, valid.sheets, valid.flawed, valid.metric):
        plan = plan_of(make())
        for index in range(len(plan.layouts)):
            numbers = [int(row[0]) for row in rows(plan, index) if row[0]]
            assert numbers == list(range(1, len(numbers) + 1))


def test_blank_on_a_sheet_has_its_exact_size() -> None:
    """On a sheet the size to cut is the needed one, not that of the grid; on a board the grid's."""
    stock = sheet("S", "60", "30")
    floor = part("floor", "29 31/32", "10 1/32", material=["birch plywood"], grain="any")
    tree = x("10 1/16", blank("floor", turned=True), {"kind": "waste"})
    plan = plan_of(document([stock], [floor], [layout(stock, tree)]))
    # 10 1/32 in is 254.79 mm and 29 31/32 in is 761.21 mm; a tape of sixteenths shows neither.
    assert rows(plan) == [
        (
            "1",
            "crosscut",
            "10 1/16 from end A",
            "end B",
            "10 1/16",
            "floor (turned)",
            "10 1/16 (254.79 mm) × 30 (761.21 mm)",
        ),
        (*MORE, "waste", "49 13/16 × 30"),
    ]


def test_stock_that_is_one_blank_is_not_cut() -> None:
    """A board that is a blank as it is has no cut to list."""
    stock = board("W", "39", "3 3/4")
    plan = plan_of(document([stock], [part("a", "38", "3 1/2")], [layout(stock, blank("a"))]))
    assert rows(plan) == [("", "", "no cut", "", "", "a", "39 × 3 3/4")]


@pytest.mark.parametrize(
    ("make", "first", "second"),
    [
        (
            valid.plinth,
            "Plinth: 1 of 1 blanks from 1 piece of stock; the wood used up is worth 20.65",
            "proven: no plan on this grid costs less; found in 0.4 s",
        ),
        (
            valid.short,
            "Plinth: 2 of 4 blanks from 2 pieces of stock; the wood used up is worth 16.39",
            "2 blanks have no place; stopped after 0.4 s: nothing better can exist",
        ),
    ],
)
def test_headline(make: Any, first: str, second: str) -> None:
    """Two lines: what is planned at which cost, and what is proven of it."""
    assert headline(plan_of(make())).splitlines() == [first, second]


def test_headline_of_a_gap() -> None:
    """A plan that is not proven best says what no plan can beat, and by how much it may be off."""
    doc = valid.plinth()
    doc.update(status="feasible", cost=20, bound=15, gap=Decimal("0.25"), stopped_by="seconds")
    assert headline(plan_of(doc)).splitlines()[1] == (
        "proven: no plan on this grid costs less than 15.00 (gap 25.0 %); "
        "stopped after 0.4 s: the time given is up"
    )


def test_offcuts_and_their_credit() -> None:
    """The offcut of the plinth is 20 7/8 of 60 in of a board of $25, at half its price."""
    (offcut,) = offcuts_of(plan_of(valid.plinth()))
    assert (offcut.id, offcut.stock) == ("M-1a", "M-1")
    assert float(offcut.worth) == pytest.approx(25 * 0.5 * 20.875 / 60)


def test_text_of_a_whole_plan() -> None:
    """Outcome, shares, wood with the yard's tally, cut lists and offcuts, one after the other.

    Source of the tally: a board of 60 x 6 in has (6 x 5) / 12 = 2.5, a surface measure on the half,
    and the first of these goes up (trade practice for the NHLA rule).
    """
    text = plan_text(plan_of(valid.plinth()))
    heads = ["Plinth: ", "Of the wood cut into: ", "wood  ", "1. M-1: walnut", "Offcuts to keep"]
    places = [text.index(head) for head in heads]
    assert places == sorted(places)
    assert "walnut       1  2.50 bd ft     3 bd ft  25.00" in text
    assert "Missing" not in text
    assert "To buy" not in text


def test_text_of_a_short_plan_says_what_to_buy() -> None:
    """Missing parts have their reason, and the wood to buy with about a third more.

    One rail of 41 x 3 3/4 and one top of 101 x 4 1/4: 153.75 and 429.25 cubic inches in 4/4, so
    4.05 board feet, and with 35 % more 5.47 to buy.
    """
    text = plan_text(plan_of(valid.short()))
    assert "1 of rail: no third board is kept" in text
    assert "walnut sold as 4/4: 5.47 bd ft (4.05 bd ft in the blanks" in text
    assert "1. C-1 (piece 1 of 3): walnut, 84 × 5, 1 thick" in text
    assert "2. C-1 (piece 3 of 3)" in text


def test_metric_plan_is_shown_in_millimetres() -> None:
    """A plan in millimetres has no inch in its sizes."""
    text = plan_text(plan_of(valid.metric()))
    assert " m³ " in text
    assert "bd ft" not in text
    assert "yard tally" not in text


def test_wild_names_stay_on_their_line() -> None:
    """A part of 10,000 letters, with a line break and turned text in it, breaks no table."""
    name = "\u202e<script>\n" + "x" * 10_000
    doc = valid.plinth()
    doc["parts"][0]["name"] = name
    doc["project"]["name"] = name
    for node in _nodes(doc["layouts"][0]["tree"]):
        if node.get("use", {}).get("part"):
            node["use"]["part"] = name
    text = plan_text(plan_of(doc))
    assert "\u202e" not in text
    assert max(map(len, text.splitlines())) < 200
    assert len(text.splitlines()) == len(plan_text(plan_of(valid.plinth())).splitlines())


def test_summary_is_plain_data() -> None:
    """The record of the outcome has the plan's own figures."""
    assert summary(plan_of(valid.short())) == {
        "project": "Plinth",
        "status": "short",
        "cost": 16.385,
        "bound": None,
        "gap": None,
        "seconds": 0.4,
        "stopped_by": "optimal",
        "blanks": 4,
        "layouts": 2,
        "stock": ["C-1-1", "C-1-3"],
        "offcuts": ["C-1a", "C-1b"],
        "panels": [],
        "matches": [],
        "missing": [
            {"part": "rail", "count": 1, "reason": "no third board is kept"},
            {"part": "top", "count": 1, "reason": "no board is 101 in long"},
        ],
        "yield": 0.3661,
    }


def _nodes(tree: dict[str, Any]) -> list[dict[str, Any]]:
    found = [tree]
    for node in found:
        found.extend(node.get("pieces", ()))
    return found


def test_a_panel_has_its_strips_and_its_own_cuts() -> None:
    """A lid of 20 from boards of 5 1/2 takes four strips; a run over it is cut from the panel.

    Four strips lose 1/8 each, so the last one ends at their sum less 1/2.
    """
    glue = {"strips": ["2 1/2", "6"]}
    parts = "".join(maker.part(name, length="9", width="20", glue_up=glue) for name in "ab")
    row = maker.match("row", how="sequence", parts=["a", "b"])
    plan = maker.planned(maker.board(width="5 1/2", count=4), parts + row, stop=maker.Rounds(5))
    (panel,) = plan.panels
    text = plan_text(plan).split("\n\nPanel ")[1].split("\n\n")[0]
    lines = text.splitlines()
    assert lines[0].startswith(f"{panel.id}: ")
    assert "glued up from 4 strips" in lines[0]
    strips = [line.split() for line in lines[3:7]]
    assert [strip[0] for strip in strips] == ["1", "2", "3", "4"]
    assert all(strip[1].startswith("M-1-") for strip in strips)
    assert lines[7] == "Cut from the panel, once the glue is dry"
    (cut,) = [line for line in lines if "joint cut" in line]
    assert cut.split()[0] == "1"
    record = summary(plan)
    assert record["panels"] == [{"id": panel.id, "strips": 4}]
    row_of = {"name": "row", "corners": 1, "matched": 1, "stock": ["M-1"]}
    assert record["matches"] == [row_of]


def test_joints_that_do_not_run_on_are_named() -> None:
    """The number is that on the drawings; the corner from last to first is the odd one."""
    sides = "".join(maker.part(name, length="10") for name in "abcd")
    wrap = maker.match(parts=["a", "b", "c", "d"])
    text = plan_text(maker.planned(maker.board(), sides + wrap))
    assert "case: joint 4, d to a, does not run on (the odd corner)" in text
    sides = maker.part("a", length="10", count=2) + maker.part("b", length="10", count=2)
    wrap = maker.match(parts=["a", "b", "a", "b"])
    text = plan_text(maker.planned(maker.board(), sides + wrap))
    assert "case: joint 4, b 2 to a 1, does not run on (the odd corner)" in text
    assert text.count("does not run on") == 1


@pytest.mark.parametrize(("lot", "told"), [("log 2", True), ("", False)])
def test_a_shared_lot_is_the_next_best(lot: str, told: bool) -> None:
    """Rails that do not fit on one board come from two of one lot, and that is said."""
    rails = maker.part(count=4) + maker.match("rails", how="same board", parts=["rail"] * 4)
    plan = maker.planned(maker.board(length="45", width="3 1/2", count=2, lot=lot), rails)
    text = plan_text(plan)
    assert "rails  2 of 3" in text
    assert "rails: rail 2 and rail 3 are not from one board" in text
    assert ('rails: from 2 boards, all of lot "log 2", which is the next best' in text) is told

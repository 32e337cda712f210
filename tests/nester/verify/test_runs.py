"""Runs of wraps, sequences and stacks: pencil cases that just fit and that just do not."""

from decimal import Decimal
from typing import Any

import pytest

from nester.verify import verify_document
from tests.nester.verify.composites import match, pile, result, row
from tests.nester.verify.mutation_tools import UNIT
from tests.nester.verify.plans import (
    WASTE,
    Doc,
    Tree,
    blank,
    board,
    codes,
    document,
    flaw,
    layout,
    mm,
    part,
    sheet,
    shop,
    x,
    y,
)
from tests.nester.verify.valid_composite import SIDES, case, drawers, rails, wrapped

PLAIN = {"blank_extra_length": "0", "shortest_milled": "0"}


def strip(
    length: str,
    need: str | None,
    *items: tuple[str, Tree],
    gap: str = "1/4",
    stock: Doc | None = None,
    of: Doc | None = None,
    parts: list[Doc] | None = None,
    broken: tuple[tuple[str, str], ...] = (("bottom", "left"),),
    **changes: Any,
) -> Doc:
    """Return a case of four sides cut from one board of this length, the run at end A."""
    used = of or shop(**PLAIN)
    one = stock or board("W-1", length, "4", "3/4", surface="S4S")
    run = row("case", "0", gap, *items)
    laid = layout(one, run if need is None else x(need, run, WASTE), of=used)
    matched = 4 - len(broken)
    return document(
        [one],
        parts or case(),
        [laid],
        of=used,
        match=[match("case", "wrap", *SIDES, **changes)],
        matches=[result("case", 4, matched, *broken, stock=("W-1",))],
    )


def sides(*order: str, last: str = "", **flags: bool) -> list[tuple[str, Tree]]:
    """Return the sides of the case in an order from end A, each as long as it must be."""
    sizes = dict(zip(SIDES, ("12", "30", "12", "30"), strict=True))
    return [(sizes[name], blank(name, **flags)) for name in order]


def test_a_case_from_85_and_a_half() -> None:
    """12 + 30 + 12 + 30 and three joints of 1/4 are 84 3/4: a board of 85 1/2 gives them."""
    assert codes(strip("85 1/2", "84 3/4", *sides(*SIDES))) == set()
    assert codes(strip("84 3/4", None, *sides(*SIDES))) == set()


def test_a_case_from_84_and_a_half() -> None:
    """84 1/2 is too short by the last joint: its last side has only 29 3/4."""
    assert codes(strip("84 1/2", None, *sides(*SIDES))) == {"size"}


def test_joints_without_the_trim() -> None:
    """A gap of 3/16 is the kerf of 0.177 alone, and not the sixteenth that is trimmed as well."""
    assert codes(strip("84 9/16", None, *sides(*SIDES), gap="3/16")) == {"kerf", "size"}
    assert codes(strip("84 9/16", None, *sides(*SIDES), gap="3/16", joint_trim="0")) == set()


@pytest.mark.parametrize(
    ("miter", "gap", "need"),
    [("22.5", "1/4", "84 3/4"), ("60", "5/16", "84 15/16"), ("0", "3/16", "84 9/16")],
)
def test_other_miters(miter: str, gap: str, need: str) -> None:
    """An octagon loses 0.135 and the trim, a triangle 1/4 and the trim, a butt joint 1/8."""
    doc = strip(need, None, *sides(*SIDES), gap=gap, miter=Decimal(miter))
    assert codes(doc) == set()
    less = strip(need, None, *sides(*SIDES), gap="1/8", miter=Decimal(miter))
    assert "kerf" in codes(less)


@pytest.mark.parametrize("flipped", [False, True])
def test_turned_end_for_end(flipped: bool) -> None:
    """The whole run may be turned end for end, and rolled over, as one."""
    over = {"reversed": True, "flipped": flipped}
    assert codes(strip("84 3/4", None, *sides(*reversed(SIDES), **over))) == set()
    assert codes(strip("84 3/4", None, *sides(*SIDES, flipped=flipped))) == set()


def test_a_whole_wrap_starts_with_its_first_part() -> None:
    """Begun with another part its odd corner would be another one than was asked for."""
    order = ("top", "right", "bottom", "left")
    doc = strip("84 3/4", None, *sides(*order), broken=(("left", "top"),))
    assert "run-order" in codes(doc)


def test_allowances_once_for_the_run() -> None:
    """Half of the largest allowance at each outer end: with 1 1/2, 12 3/4 and 30 3/4."""
    parts = case(blank_extra_length="1")
    parts[2] = part("right", "12", "4", blank_extra_length="1 1/2")
    ends = [("12 3/4", blank("left")), *sides("top", "right"), ("30 3/4", blank("bottom"))]
    doc = strip("86 1/4", None, *ends, parts=parts)
    assert codes(doc) == set()
    short = [("12 11/16", blank("left")), *ends[1:]]
    assert codes(strip("86 3/16", None, *short, parts=parts)) == {"size"}
    inner = [ends[0], ("30 1/16", blank("top")), *ends[2:]]
    assert codes(strip("86 5/16", None, *inner, parts=parts)) == {"run-size"}


def test_more_than_needed_lies_outside() -> None:
    """The end parts may be longer than they need, on their outer side."""
    ends = [("14", blank("left")), *sides("top", "right", "bottom")]
    assert codes(strip("87", None, *ends)) == set()


def test_the_widest_part_sets_the_width() -> None:
    """A side of 4 and three of 3 are a run of 4; no board of 3 7/8 gives it."""
    parts = case("3")
    parts[1]["width"] = mm("4")
    doc = strip("84 3/4", None, *sides(*SIDES), parts=parts)
    assert codes(doc) == set()
    narrow = board("W-1", "84 3/4", "3 7/8", "3/4", surface="S4S")
    assert codes(strip("84 3/4", None, *sides(*SIDES), parts=parts, stock=narrow)) == {"size"}


def test_warp_is_over_the_run() -> None:
    """On twice its length a run keeps a quarter of the bow: 1 in of it leaves 3/4 of 1 in."""
    for bow, good in ((mm("1"), True), (mm("1") + UNIT, False)):
        stock = board("W-1", "169 1/2", "4", "1", surface="S4S", bow=bow)
        doc = strip("169 1/2", "84 3/4", *sides(*SIDES), stock=stock)
        assert codes(doc) == (set() if good else {"thickness"})


def test_pulled_flat_only_where_all_are() -> None:
    """One part that is not pulled flat lets the whole run be milled flat."""
    stock = board("W-1", "84 3/4", "4", "1", surface="S4S", bow="3/8")
    for flat, good in ((True, True), (False, False)):
        parts = case(pulled_flat=True)
        parts[0]["pulled_flat"] = flat
        doc = strip("84 3/4", None, *sides(*SIDES), stock=stock, parts=parts)
        assert codes(doc) == (set() if good else {"thickness"})


def test_the_most_planed_off_counts_for_all() -> None:
    """The run is planed as one, by the most that any of its parts asks for."""
    stock = board("W-1", "84 3/4", "4", "1", surface="S4S")
    for off, good in (("1/4", True), ("17/64", False)):
        parts = case()
        parts[3] = part("bottom", "30", "4", plane_off=off)
        doc = strip("84 3/4", None, *sides(*SIDES), stock=stock, parts=parts)
        assert codes(doc) == (set() if good else {"thickness"})


def test_no_stages_within_a_run() -> None:
    """The joints of a run are no stage: three stages are enough for one in the third."""
    stock = board("W-1", "96", "12", "1")
    for stages, good in ((3, True), (2, False)):
        used = shop(blank_extra_length="0", blank_extra_width="0", stages=stages)
        run = row("case", "0", "1/4", *sides(*SIDES))
        tree = x("90", y("4", x("84 3/4", run, WASTE), WASTE), WASTE)
        doc = document(
            [stock],
            case(),
            [layout(stock, tree, of=used)],
            of=used,
            match=[match("case", "wrap", *SIDES)],
            matches=[result("case", 4, 3, ("bottom", "left"), stock=("W-1",))],
        )
        assert codes(doc) == (set() if good else {"stages"})


def test_flaws_by_each_part() -> None:
    """A knot lies where a hidden side is; what lies in a joint is sawn away, margins apart."""
    spot = flaw("knot", "20", "1", "1", "1")
    for hidden, good in (("top", True), ("left", False)):
        parts = case()
        parts[SIDES.index(hidden)]["quality"] = "hidden"
        stock = board("W-1", "84 3/4", "4", "3/4", surface="S4S", flaws=[spot])
        doc = strip("84 3/4", None, *sides(*SIDES), parts=parts, stock=stock)
        assert codes(doc) == (set() if good else {"quality"})
    for at, good in (("12 1/16", True), ("11 31/32", False)):
        stain = flaw("stain", at, "1", "1/16", "1", sound=True)
        stock = board("W-1", "84 3/4", "4", "3/4", surface="S4S", flaws=[stain])
        doc = strip("84 3/4", None, *sides(*SIDES), stock=stock)
        assert codes(doc) == (set() if good else {"quality"})


def test_a_run_is_straightened_as_one() -> None:
    """Rough edges are trimmed over the whole run, whose crook is greater than its parts'."""
    used = shop(blank_extra_length="0")
    stock = board("W-1", "84 3/4", "8", "1", edges="rough", crook="1/4", ends="square")
    run = row("case", "0", "1/4", *sides(*SIDES))
    # 1/8 and the whole crook of 1/4: 3/8. A side of 30 would lose 0.125 + 0.031, so 3/16.
    for trim, code in (("5/16", None), ("1/8", "trim-size")):
        tree = y(trim, {"kind": "waste", "trim": True}, y("5", run, WASTE))
        laid = layout(stock, tree, of=used, first_cut="crosscut")
        doc = document(
            [stock],
            case(),
            [laid],
            of=used,
            match=[match("case", "wrap", *SIDES)],
            matches=[result("case", 4, 3, ("bottom", "left"), stock=("W-1",))],
        )
        assert codes(doc) == (set() if code is None else {code})


def test_a_short_run() -> None:
    """Two parts of 4 are a run of 8 1/4: not long enough for the jointer, but 12 is."""
    parts = [
        part("a", "4", "2", blank_extra_length="0"),
        part("b", "4", "2", blank_extra_length="0"),
    ]
    stock = board("W-1", "40", "2 1/4")
    for need, good in (("12", True), ("11 15/16", False)):
        run = row("ab", "0", "1/8", ("4", blank("a")), ("4", blank("b")))
        doc = document(
            [stock],
            parts,
            [layout(stock, x(need, run, WASTE))],
            match=[match("ab", "sequence", "a", "b")],
            matches=[result("ab", 1, 1, stock=("W-1",))],
        )
        assert codes(doc) == (set() if good else {"size"})


def fronts(
    *items: tuple[str, Tree], width: str, length: str = "21", saw: str = "rip", **changes: Any
) -> Doc:
    """Return three fronts of 20 x 3, edge to edge on a rough board."""
    stock = board("W-1", length, width)
    run = pile("stack", "0", changes.pop("gap", "1/8"), *items, saw=saw)
    parts = [part(name, "20", "3") for name in "abc"]
    return document(
        [stock],
        parts,
        [layout(stock, run)],
        match=[match("stack", "stack", *"abc", **changes)],
        matches=[result("stack", 2, 2, stock=("W-1",))],
    )


def test_a_stack() -> None:
    """Three of 3 in, 1/8 at either edge and two rips of 1/8 need 9 1/2."""
    items = [("3 1/8", blank("a")), ("3", blank("b")), ("3 1/8", blank("c"))]
    assert codes(fronts(*items, width="9 1/2")) == set()
    assert codes(fronts(*items, width="9 7/16")) == {"size"}
    assert codes(fronts(*items, width="9 1/2", length="20 15/16")) == {"size"}
    assert codes(fronts(*items, width="9 1/2", saw="rough_rip")) == {"saw"}
    assert codes(fronts(*items, width="9 5/8", gap="3/16", joint_trim="1/16")) == set()


@pytest.mark.parametrize(
    ("use", "order", "good"),
    [
        ({}, "abc", True),
        ({"reversed": True, "flipped": True}, "abc", True),
        ({"reversed": True}, "cba", True),
        ({"flipped": True}, "cba", True),
        ({}, "cba", False),
        ({"reversed": True}, "abc", False),
        ({}, "acb", False),
    ],
)
def test_the_order_of_a_stack(use: dict[str, bool], order: str, good: bool) -> None:
    """The far edge of each front meets the near edge of the next."""
    sizes = ("3 1/8", "3", "3 1/8")
    items = [(size, blank(name, **use)) for size, name in zip(sizes, order, strict=True)]
    found = codes(fronts(*items, width="9 1/2"))
    assert found == set() if good else "run-order" in found


def test_short_stacks_are_not_ripped() -> None:
    """A stack longer than it is wide may be ripped, one shorter may not."""
    doc = rails()
    assert codes(doc) == set()
    doc["shop"]["shortest_rip"] = mm("21 1/16")
    assert "shortest-rip" in codes(doc)


def test_across_a_sheet() -> None:
    """Parts whose grain runs along the sheet's width lie turned: the run goes across the sheet.

    The end A of a turned part is towards the far edge, so the first part lies furthest.
    """
    ply = ["birch plywood"]
    parts = [part(name, "12", "8", material=ply) for name in "ab"]
    stock = sheet("P-1", "8", "24 1/4", grain="width")
    for order, use, good in (
        ("ba", {}, True),
        ("ab", {}, False),
        ("ab", {"reversed": True}, True),
        ("ab", {"reversed": True, "flipped": True}, True),
        ("ba", {"flipped": True}, True),
    ):
        items = [("12", blank(name, turned=True, **use)) for name in order]
        run = pile("case", "0", "1/4", *items, saw="miter")
        doc = document(
            [stock],
            parts,
            [layout(stock, run)],
            match=[match("case", "wrap", "a", "b")],
            matches=[result("case", 2, 1, ("b", "a"), stock=("P-1",))],
        )
        found = codes(doc)
        assert found == set() if good else "run-order" in found, (order, use)


def test_rows_of_a_stack() -> None:
    """Drawer fronts of 6 and 8 with a cut between need 14 1/8; the lower row as high as it is."""
    doc = drawers()
    doc["parts"][0]["width"] = mm("6 1/16")
    assert codes(doc) == {"size"}
    doc = drawers()
    doc["parts"][1]["width"] = mm("8 1/16")
    assert codes(doc) == {"size"}


def test_a_row_within_no_stack() -> None:
    """Only a sequence in a stack may be a run within a run."""
    doc = drawers()
    doc["match"][0]["how"] = "wrap"
    assert {"run-parts", "match-part"} <= codes(doc)


@pytest.mark.parametrize(("first", "good"), [("16", True), ("16 1/16", True), ("16 1/8", False)])
def test_two_rows_of_one_sequence_start_in_line(first: str, good: bool) -> None:
    """Rows that are sets of one sequence are held against each other: to a step of 1/16, no more.

    Both rows need 16 + 1/8 + 16; the stack is an inch longer, so that either joint may move.
    """
    stock = sheet("BP18", "96", "48")
    rows = [
        row("row", "0", "1/8", (size, blank("front", copy)), ("16", blank("front", copy + 1)))
        for size, copy in (("16", 1), (first, 3))
    ]
    bank = pile("bank", "0", "1/8", ("6", rows[0]), ("6", rows[1]), saw="sheet")
    doc = document(
        [stock],
        [part("front", "16", "6", material=["birch plywood"], count=4)],
        [layout(stock, y("12 1/8", x("33 1/8", bank, WASTE), WASTE))],
        match=[
            match("row", "sequence", "front", "front", sets=2),
            match("bank", "stack", "row", "row"),
        ],
        matches=[
            result("row", 2, 2, stock=("BP18",)),
            result("bank", 1, 1, stock=("BP18",)),
        ],
    )
    assert codes(doc) == (set() if good else {"rows"})


def test_metric_joints() -> None:
    """3.2 / cos 45 + 1.5 is 6.025 mm: 6.5 on a grid of half a millimetre, never 6."""
    used = shop(grid="0.5 mm", kerf={"crosscut": "3.2 mm"}, **PLAIN)
    for gap, good in (("6.5 mm", True), ("6 mm", False)):
        stock = board("E-1", "506.5 mm" if good else "506 mm", "80 mm", "19 mm", surface="S4S")
        items = [("200 mm", blank("a")), ("300 mm", blank("b"))]
        run = row("case", "0", gap, *items)
        doc = document(
            [stock],
            [part("a", "200 mm", "80 mm", "19 mm"), part("b", "300 mm", "80 mm", "19 mm")],
            [layout(stock, run, of=used)],
            of=used,
            match=[match("case", "wrap", "a", "b", joint_trim="1.5 mm")],
            matches=[result("case", 2, 1, ("b", "a"), stock=("E-1",))],
        )
        assert codes(doc) == (set() if good else {"kerf", "size"})


def test_faults_say_where() -> None:
    """A fault of a run names the board, the match and what stands in it."""
    doc = wrapped()
    top = doc["layouts"][0]["tree"]["pieces"][0]
    left, rest = top["pieces"]
    left["use"], rest["pieces"][0]["use"] = rest["pieces"][0]["use"], left["use"]
    lines = [fault.line() for fault in verify_document(doc) if fault.code == "run-order"]
    assert lines == [
        '"W-1 copy 1, run case": must hold consecutive parts of one set of its match, in their '
        'order (found "top 1, left 1, right 1, bottom 1")'
    ]

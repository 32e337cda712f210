"""Corners counted from the layouts: broken ones, required ones, and what they cost."""

from decimal import Decimal
from typing import Any

import pytest

from tests.nester.verify.composites import match, result, row
from tests.nester.verify.mutation_tools import UNIT
from tests.nester.verify.plans import (
    WASTE,
    Doc,
    blank,
    board,
    codes,
    document,
    layout,
    nodes,
    part,
    shop,
    x,
    y,
)
from tests.nester.verify.valid_composite import SIDES, case, doors, drawers, glued, pairs, wrapped


def loose(**changes: Any) -> Doc:
    """Return the four sides cut one by one from a board, so that no corner matches."""
    stock = board("W-1", "96", "4 1/4", price=20)
    tree = x(
        "13",
        blank("left"),
        x("44 1/8", blank("top"), x("57 1/4", blank("right"), x("88 3/8", blank("bottom"), WASTE))),
    )
    of = changes.pop("of", None)
    corners = [(name, SIDES[(i + 1) % 4]) for i, name in enumerate(SIDES)]
    return document(
        [stock],
        case(),
        [layout(stock, tree, of=of)],
        of=of,
        match=[match("case", "wrap", *SIDES, **changes)],
        matches=[result("case", 4, 0, *corners, stock=("W-1",))],
    )


def test_side_by_side_is_not_enough() -> None:
    """Parts that lie in order with plain crosscuts between are each milled alone: none matches."""
    doc = loose()
    assert codes(doc) == set()
    doc["matches"] = [result("case", 4, 3, ("bottom", "left"), stock=("W-1",))]
    assert codes(doc) == {"matched", "broken"}


def test_broken_corners_in_any_order() -> None:
    """The list of broken corners may stand in any order, each pair from the first to the next."""
    doc = loose()
    doc["matches"][0]["broken"].reverse()
    assert codes(doc) == set()
    doc["matches"][0]["broken"][0].reverse()
    assert codes(doc) == {"broken"}


def test_a_required_match() -> None:
    """Where only the full match will do, three of four corners from one strip are the full one."""
    doc = wrapped()
    doc["match"][0]["required"] = True
    assert codes(doc) == set()
    doc = pairs()
    doc["match"][0]["required"] = True
    assert codes(doc) == {"required"}
    assert codes(loose(required=True)) == {"required"}


def test_parts_of_a_required_match_may_be_missing() -> None:
    """Then all of the set is missing, and its corners are broken."""
    stock = board("W-1", "96", "4 1/4", price=20)
    tree = x("13", blank("shelf"), WASTE)
    corners = [(name, SIDES[(i + 1) % 4]) for i, name in enumerate(SIDES)]
    missing = [{"part": name, "count": 1, "reason": "no board is 85 3/4 long"} for name in SIDES]
    doc = document(
        [stock],
        [*case(), part("shelf", "12", "4")],
        [layout(stock, tree)],
        missing=missing,
        match=[match("case", "wrap", *SIDES, required=True)],
        matches=[result("case", 4, 0, *corners)],
    )
    assert codes(doc) == set()
    doc["layouts"][0]["tree"]["pieces"][0]["use"]["part"] = "left"
    doc["missing"][0]["part"] = "shelf"
    doc["matches"][0]["stock"] = ["W-1"]
    assert codes(doc) == {"required"}


@pytest.mark.parametrize(
    ("price", "charged", "good"),
    [
        (5, [20], True),
        (5, [5, 5, 5, 5], True),
        (5, [5, 5, 5], False),
        (5, [], False),
        (0, [], True),
        (None, [], True),
        (None, [1], False),
        (Decimal("2.125"), [Decimal("8.5")], True),
        (Decimal("2.125"), [Decimal("8.499")], False),
    ],
)
def test_what_corners_cost(price: Any, charged: list[Any], good: bool) -> None:
    """Each of the four broken corners costs its price, in one entry or in several."""
    doc = loose(of=shop(corner_penalty=price))
    total = sum(charged)
    doc["penalties"] = [{"match": "case", "why": "not matched", "cost": c} for c in charged]
    doc.update(cost=20 + total, bound=20 + total)
    assert codes(doc) == (set() if good else {"penalty"})


def test_penalties_are_part_of_the_cost() -> None:
    """A plan with two corners broken at 5 each costs 10 more than its boards."""
    doc = pairs()
    assert doc["cost"] == 30
    doc.update(cost=20, bound=20)
    assert codes(doc) == {"cost"}


def test_a_penalty_for_no_match() -> None:
    """A penalty names a match of the plan."""
    doc = pairs()
    doc["penalties"][0]["match"] = "chest"
    assert codes(doc) == {"penalty"}


def test_same_board() -> None:
    """Neighbours from one copy of one board match; two boards alike, or of one lot, do not."""
    doc = doors()
    assert doc["matches"][1]["matched"] == 1
    two = next(entry for entry in doc["stock"] if entry["id"] == "B-2")
    stock = board("B-2", "66", "3 3/4", lot="log 1")
    doc["stock"] = [stock if entry is two else entry for entry in doc["stock"]]
    tree = x(
        "21",
        blank("apron", 1),
        x("42 1/8", blank("apron", 2), x("63 1/4", blank("apron", 3), WASTE)),
    )
    doc["layouts"][1:] = [layout(stock, tree)]
    doc["matches"][1] = result("aprons", 2, 2, stock=("B-2",))
    whole = document(
        doc["stock"],
        doc["parts"],
        doc["layouts"],
        match=doc["match"],
        matches=doc["matches"],
    )
    assert codes(whole) == set()


@pytest.mark.parametrize(
    ("boards", "matched"),
    [("1111", 3), ("1122", 2), ("1221", 1), ("1212", 0), ("1-11", 1), ("-111", 2), ("--11", 1)],
)
def test_neighbours_from_one_board(boards: str, matched: int) -> None:
    """Each two neighbours in the list match where both are from one board; none with a missing."""
    entries = [board(f"B-{n}", "90", "3 3/4") for n in sorted(set(boards) - {"-"})]
    layouts = []
    for entry in entries:
        copies = [i for i, n in enumerate(boards, 1) if entry["id"] == f"B-{n}"]
        tree: Any = WASTE
        for place, number in reversed(list(enumerate(copies))):
            tree = x(f"{21 + place * 21.125}", blank("apron", number), tree)
        layouts.append(layout(entry, tree))
    missing = boards.count("-")
    entry = {"part": "apron", "count": missing, "reason": "no more walnut"}
    doc = document(
        entries,
        [part("apron", "20", "3 1/2", count=4)],
        layouts,
        missing=[entry] if missing else None,
        match=[match("aprons", "same board", *["apron"] * 4)],
        matches=[
            result(
                "aprons",
                3,
                matched,
                *[("apron", "apron")] * (3 - matched),
                stock=tuple(stock["id"] for stock in entries),
            )
        ],
    )
    assert codes(doc) == set()


def test_copies_of_one_stock_item() -> None:
    """Two copies of a stock item are two boards."""
    stock = board("B-1", "24", "3 3/4", count=2, lot="log 1")
    layouts = [layout(stock, x("21", blank("apron", n), WASTE), n) for n in (1, 2)]
    doc = document(
        [stock],
        [part("apron", "20", "3 1/2", count=2)],
        layouts,
        match=[match("aprons", "same board", "apron", "apron")],
        matches=[result("aprons", 1, 0, ("apron", "apron"), stock=("B-1",))],
    )
    assert codes(doc) == set()
    doc["matches"][0] = result("aprons", 1, 1, stock=("B-1",))
    assert codes(doc) == {"matched", "broken"}


def test_glued_parts_from_one_board() -> None:
    """A glued part is from one board where all its strips are."""
    doc = glued()
    doc["match"].append(match("pair", "same board", "lid", "shelf"))
    stock = board("S-1", "40", "12")
    doc["stock"].append(stock)
    doc["layouts"].append(layout(stock, x("13", blank_of("shelf"), WASTE)))
    doc["parts"].append(part("shelf", "12", "4"))
    doc["matches"].append(result("pair", 1, 0, ("lid", "shelf"), stock=("G-1", "S-1")))
    fresh = document(
        doc["stock"],
        doc["parts"],
        doc["layouts"],
        match=doc["match"],
        matches=doc["matches"],
        panels=doc["panels"],
    )
    assert codes(fresh) == set()


def blank_of(name: str) -> Any:
    """Return a blank of 4 1/4 ripped from a wide board."""
    return y("4 1/4", blank(name), WASTE)


def test_sets_are_dealt_in_order() -> None:
    """Set 1 holds the first copies; the second left goes with the second top and no other."""
    used = shop(blank_extra_length="0", blank_extra_width="0")
    stock = board("W-1", "24 1/8", "3", count=2)

    def two(first: int, second: int) -> Any:
        return row("pair", "0", "1/8", ("12", blank("a", first)), ("", blank("b", second)))

    def plan(*runs: Any) -> Doc:
        layouts = [layout(stock, run, n, of=used) for n, run in enumerate(runs, 1)]
        return document(
            [stock],
            [part("a", "12", "3", count=2), part("b", "12", "3", count=2)],
            layouts,
            of=used,
            match=[match("pair", "sequence", "a", "b", sets=2)],
            matches=[result("pair", 2, 2, stock=("W-1",))],
        )

    assert codes(plan(two(1, 1), two(2, 2))) == set()
    assert codes(plan(two(2, 2), two(1, 1))) == set()
    assert "run-order" in codes(plan(two(1, 2), two(2, 1)))


def test_one_name_twice_in_a_match() -> None:
    """A name that stands twice in a match stands for its next copy."""
    used = shop(blank_extra_length="0", blank_extra_width="0")
    stock = board("W-1", "36 1/4", "3")
    for copies, good in (((1, 2), True), ((2, 1), False)):
        run = row(
            "trio",
            "0",
            "1/8",
            ("12", blank("a", copies[0])),
            ("12", blank("b")),
            ("", blank("a", copies[1])),
        )
        doc = document(
            [stock],
            [part("a", "12", "3", count=2), part("b", "12", "3")],
            [layout(stock, run, of=used)],
            of=used,
            match=[match("trio", "sequence", "a", "b", "a")],
            matches=[result("trio", 2, 2, stock=("W-1",))],
        )
        found = codes(doc)
        assert found == set() if good else "run-order" in found


def test_rows_of_a_broken_stack() -> None:
    """Two rows that do not lie edge to edge keep their own corners; the stack has none."""
    doc = drawers()
    bank = next(node for node in nodes(doc["layouts"][0]["tree"]) if node.get("run") == "bank")
    bank["cut"]["kerf"] += UNIT
    assert "kerf" in codes(doc)
    del bank["run"]
    bank["cut"]["kerf"] -= UNIT
    doc["matches"][1].update(matched=0, broken=[["upper", "lower"]])
    assert codes(doc) >= {"required"}
    doc["match"][1]["required"] = False
    # The rows are plain sequences now: the rip between them comes before their own cuts.
    for number, node in enumerate(
        sorted(
            (n for n in nodes(doc["layouts"][0]["tree"]) if "cut" in n),
            key=lambda n: (n["cut"]["saw"] == "miter", n["cut"]["order"]),
        ),
        1,
    ):
        node["cut"]["order"] = number
    assert codes(doc) == set()


def test_matches_that_are_none() -> None:
    """An entry for no match, and a match of no parts, are faults."""
    doc = wrapped()
    doc["matches"].append(result("chest", 1, 1))
    assert codes(doc) == {"match-result"}
    doc = wrapped()
    doc["match"][0]["parts"] = ["left", "roof"]
    assert "match-part" in codes(doc)
    doc = wrapped()
    doc["match"].append(dict(doc["match"][0]))
    assert "duplicate-name" in codes(doc)


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("how", "mitre", "wrong-value"),
        ("parts", ["left"], "wrong-value"),
        ("parts", "left", "wrong-type"),
        ("parts", ["left"] * 100_001, "wrong-value"),
        ("miter", 90, "wrong-value"),
        ("miter", -1, "wrong-value"),
        ("joint_trim", -1, "wrong-value"),
        ("sets", 0, "wrong-value"),
        ("sets", 10**6, "wrong-value"),
        ("required", "yes", "wrong-type"),
        ("name", "", "wrong-value"),
    ],
)
def test_values_of_a_match(key: str, value: Any, code: str) -> None:
    """A match with a value that it cannot have is a fault of the document."""
    doc = wrapped()
    doc["match"][0][key] = value
    assert code in codes(doc)


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("corners", -1, "wrong-value"),
        ("matched", "3", "wrong-value"),
        ("broken", [["left"]], "wrong-type"),
        ("broken", 3, "wrong-type"),
        ("stock", [3], "wrong-type"),
        ("lot", "log 2", "unknown-key"),
    ],
)
def test_values_of_a_result(key: str, value: Any, code: str) -> None:
    """An entry of the matches with a value that it cannot have is a fault of the document."""
    doc = wrapped()
    doc["matches"][0][key] = value
    assert code in codes(doc)


def test_too_few_copies() -> None:
    """Spare copies are for test cuts: a match may not count on them."""
    doc = wrapped()
    doc["parts"][0].update(count=0, spare=1)
    assert codes(doc) == {"match-copies"}

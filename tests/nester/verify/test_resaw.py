"""Resawn pairs and books: thick enough or not, the right way round or not, aligned or not."""

from typing import Any

import pytest

from tests.nester.verify.composites import match, result, row, z
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
    nodes,
    offcut,
    part,
    sheet,
    shop,
    x,
)
from tests.nester.verify.valid_composite import SIDES, case, doors, resawn

OVER = {"reversed": True, "flipped": True}


def opened(
    thickness: str = "2",
    at: str = "15/16",
    one: tuple[tuple[str, Tree], ...] | None = None,
    two: tuple[tuple[str, Tree], ...] | None = None,
    *,
    length: str = "43 1/4",
    parts: list[Doc] | None = None,
    matched: int = 4,
    **changes: Any,
) -> Doc:
    """Return a case of sides 12 and 30 from a rough board of 44, opened into two leaves."""
    stock = board("W-3", "44", "4 1/4", thickness, **changes)
    first = one or (("30 1/2", blank("bottom", **OVER)), ("", blank("right", **OVER)))
    second = two or (("12 1/2", blank("left")), ("", blank("top")))
    pair = z(at, row("case", "0", "1/4", *first), row("case", "0", "1/4", *second))
    broken = [] if matched == 4 else [("top", "right"), ("bottom", "left")]
    return document(
        [stock],
        parts or case(),
        [layout(stock, x(length, pair, WASTE))],
        match=[match("case", "wrap", *SIDES)],
        matches=[result("case", 4, matched, *broken, stock=("W-3",))],
    )


def test_four_corners_from_two_inches() -> None:
    """12 + 30 and a joint need 43 1/4 of a board of 44; all four corners match."""
    assert codes(opened()) == set()


@pytest.mark.parametrize(
    ("thickness", "at", "good"),
    [
        # Two leaves of 3/4 + 1/8 and a kerf of 1/16: 1 13/16.
        ("1 13/16", "7/8", True),
        ("1 3/4", "7/8", False),
        ("1 13/16", "13/16", False),
        ("2", "7/8", True),
        ("2", "13/16", False),
        ("2", "1 1/16", True),
        ("2", "1 1/8", False),
    ],
)
def test_each_leaf_by_its_own_thickness(thickness: str, at: str, good: bool) -> None:
    """Both leaves are planed by 1/8 to 3/4; the leaf of face A is as thick as the cut is deep."""
    assert codes(opened(thickness, at)) == (set() if good else {"thickness"})


def test_each_leaf_loses_the_whole_warp() -> None:
    """Of 1/8 of bow over 44, a run of 43 1/4 keeps 0.121: with 1 in and 15/16 one is too thin."""
    assert codes(opened(bow="1/16")) == set()
    assert codes(opened(bow="1/8")) == {"thickness"}


def test_a_leaf_may_be_thick() -> None:
    """No leaf is asked whether it is much thicker than it needs."""
    used = opened("3", "1")
    used["shop"]["thick_spare"] = mm("1/4")
    assert codes(used) == set()


def test_the_height_of_the_saw() -> None:
    """4 1/4 goes under a saw that takes 4 1/4, and under none that takes less."""
    doc = opened()
    doc["shop"]["resaw_height"] = mm("4 1/4")
    assert codes(doc) == set()
    doc["shop"]["resaw_height"] -= UNIT
    assert codes(doc) == {"resaw-height"}


def test_which_parts_stand_in_which_leaf() -> None:
    """Any two neighbours may open the pair, each leaf turned either way."""
    one = (("30 1/2", blank("top", **OVER)), ("", blank("left", **OVER)))
    two = (("12 1/2", blank("right")), ("", blank("bottom")))
    assert codes(opened(one=one, two=two)) == set()
    # Top and right, short after long, so that bottom and left are long before short.
    one = (("12 1/2", blank("right", **OVER)), ("", blank("top", **OVER)))
    two = (("30 1/2", blank("bottom")), ("", blank("left")))
    assert codes(opened(one=one, two=two)) == set()
    one = (("12 1/2", blank("left", flipped=True)), ("", blank("top", flipped=True)))
    two = (("30 1/2", blank("bottom", reversed=True)), ("", blank("right", reversed=True)))
    assert codes(opened(one=one, two=two)) == set()


def test_one_leaf_upside_down() -> None:
    """Turned alike, one leaf would have the board's other edge up: its ends would not match."""
    one = (("12 1/2", blank("right", flipped=True)), ("", blank("bottom", flipped=True)))
    found = codes(opened(one=one, matched=2))
    assert found == {"resaw-pair"}


def test_ends_that_are_not_aligned() -> None:
    """A leaf that lies 1/4 further along than the other is no bookmatch; 1/16 is the grid."""
    shifted = (("12 3/4", blank("left")), ("", blank("top")))
    assert codes(opened(length="43 1/2", two=shifted, matched=2)) == {"resaw-pair"}
    step = (("12 9/16", blank("left")), ("", blank("top")))
    assert codes(opened(length="43 5/16", two=step)) == set()


def test_leaves_of_other_lengths() -> None:
    """With opposite sides of 30 and 29 the leaves end in different places."""
    parts = case()
    parts[3] = part("bottom", "29", "4")
    one = (("29 1/2", blank("bottom", **OVER)), ("", blank("right", **OVER)))
    assert codes(opened(one=one, parts=parts, matched=2)) == {"resaw-pair"}


def test_three_and_one() -> None:
    """A leaf may hold one part that is as long as the others together: 12, 30, 12 and 54 1/2."""
    parts = case()
    parts[3] = part("bottom", "54 1/2", "4")
    stock = board("W-3", "60", "4 1/4", "2")
    three = row(
        "case", "0", "1/4", ("12 1/2", blank("left")), ("30", blank("top")), ("", blank("right"))
    )
    one = {**blank("bottom", **OVER), "run": "case"}
    doc = document(
        [stock],
        parts,
        [layout(stock, x("55 1/2", z("15/16", one, three), WASTE))],
        match=[match("case", "wrap", *SIDES)],
        matches=[result("case", 4, 4, stock=("W-3",))],
    )
    assert codes(doc) == set()


@pytest.mark.parametrize("face", ["a", "b"])
def test_flaws_on_all_faces(face: str) -> None:
    """A sound stain on either face of the board is on the show faces of both leaves."""
    stain = flaw("stain", "5", "1", "1", "1", face=face, sound=True)
    assert codes(opened(flaws=[stain])) == {"quality"}
    sound = case(quality="sound")
    assert codes(opened(flaws=[stain], parts=sound)) == set()


def test_only_blanks_in_leaves() -> None:
    """What is left of a leaf is no offcut, and no waste beside a run."""
    for use in (offcut("W-3a"), WASTE):
        doc = opened()
        last = [node for node in nodes(doc["layouts"][0]["tree"]) if "use" in node][-1]
        last["use"] = dict(use)
        assert {"run-parts", "copies"} <= codes(doc)


def test_a_pair_without_its_mark() -> None:
    """A resaw cut that is for no match is none that a plan may hold."""
    doc = opened()
    for node in nodes(doc["layouts"][0]["tree"]):
        node.pop("run", None)
    assert "resaw-match" in codes(doc)


def test_the_mark_on_the_resawn_piece() -> None:
    """The mark may stand on the piece before it is resawn, for both leaves."""
    doc = opened()
    marked = doc["layouts"][0]["tree"]["pieces"][0]
    for leaf in marked["pieces"]:
        del leaf["run"]
    marked["run"] = "case"
    assert codes(doc) == set()


def test_marks_that_disagree() -> None:
    """The mark on the piece must be that of its leaves, and a mark inside a run that of the run."""
    doc = opened()
    pair = doc["layouts"][0]["tree"]["pieces"][0]
    pair["run"] = "case"
    pair["pieces"][0]["pieces"][0]["run"] = "case"
    assert codes(doc) == set()
    pair["run"] = "chest"
    assert codes(doc) == {"run-match"}
    pair["run"] = ""
    pair["pieces"][0]["pieces"][0]["run"] = "chest"
    assert "run-match" in codes(doc)


def test_resawn_once() -> None:
    """Leaves are not resawn again."""
    doc = opened("4", "15/16")
    pair = doc["layouts"][0]["tree"]["pieces"][0]
    inner = {**pair["pieces"][1], "run": "case"}
    cut = {**pair["cut"], "order": 99}
    pair["pieces"][1] = {
        **{key: pair[key] for key in ("x", "y", "length", "width")},
        "cut": cut,
        "pieces": [inner, dict(inner)],
    }
    assert "resaw" in codes(doc)


def test_sheets_are_not_resawn() -> None:
    """A sheet has layers, no figure to open."""
    stock = sheet("P-1", "30", "6")
    ply = ["birch plywood"]
    book = z("1/4", blank("panel", 1, flipped=True), blank("panel", 2), run="doors")
    doc = document(
        [stock],
        [part("panel", "30", "6", material=ply, count=2)],
        [layout({**stock, "kind": "board", "surface": "S4S", "width": [stock["width"]]}, book)],
        match=[match("doors", "book", "panel", "panel")],
        matches=[result("doors", 1, 1, stock=("P-1",))],
    )
    doc["layouts"][0].update(kind="sheet", thickness=stock["thickness"], value=84)
    assert "resaw" in codes(doc)


def test_a_book() -> None:
    """Two leaves from one piece, each thick enough for its own part."""
    assert codes(doors()) == set()
    doc = doors()
    doc["parts"][0]["thickness"] = mm("9/16")
    assert codes(doc) == set()
    doc["parts"][0]["thickness"] = mm("9/16") + UNIT
    assert codes(doc) == {"thickness"}


def test_a_book_either_way_up() -> None:
    """One leaf of a book may be turned end for end: it opens over an end instead of an edge."""
    doc = doors()
    leaf = next(n for n in nodes(doc["layouts"][0]["tree"]) if n.get("use", {}).get("copy") == 1)
    leaf["use"]["reversed"] = True
    assert codes(doc) == set()


def test_a_book_of_another_pair() -> None:
    """The leaves of a book are the two of one set."""
    doc = doors()
    doc["parts"][0]["count"] = 4
    doc["match"][0]["sets"] = 2
    leaves = [n["use"] for n in nodes(doc["layouts"][0]["tree"]) if "use" in n]
    next(use for use in leaves if use.get("copy") == 2)["copy"] = 3
    assert "resaw-pair" in codes(doc)


def test_yield_counts_leaves_by_half() -> None:
    """Two leaves of 43 1/4 x 4 1/4 without 1/4 at the joint are one area, and not two."""
    doc = resawn()
    square = 25.4 * 25.4
    assert float(doc["yield"]["parts"]) == pytest.approx(43 * 4.25 * square)
    doc["yield"]["parts"] *= 2
    assert codes(doc) == {"yield"}


def test_metal_beside_a_resaw_cut() -> None:
    """The resaw passes the whole of its piece: metal beside it is too near as well."""
    nail = flaw("metal", "43 3/4", "2", "1/8", "1/8")
    doc = opened(flaws=[nail])
    assert codes(doc) == {"metal-clear"}
    doc = opened(flaws=[nail])
    doc["shop"]["metal_clear"] = mm("1/4")
    assert codes(doc) == set()


def test_orders_of_a_pair() -> None:
    """Its joints come after all other cuts, the resaw cut whenever its piece is free."""
    used = shop()
    assert used["metal_clear"] == mm("1")
    doc = opened()
    orders = {
        node["cut"]["axis"]: node["cut"]["order"]
        for node in nodes(doc["layouts"][0]["tree"])
        if "cut" in node and node["cut"]["saw"] != "miter"
    }
    assert orders == {"x": 1, "z": 2}

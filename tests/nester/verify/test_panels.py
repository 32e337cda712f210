"""Glued-up panels: strips wide enough or not, thick enough or not, each there once."""

from typing import Any

import pytest

from nester.verify import verify_document
from tests.nester.verify.composites import (
    arch,
    glue_up,
    match,
    panel,
    pile,
    result,
    strip,
)
from tests.nester.verify.mutation_tools import UNIT
from tests.nester.verify.plans import (
    TRIM,
    WASTE,
    Doc,
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
from tests.nester.verify.valid_composite import glued


def lid(
    strips: int = 4,
    made: str | None = None,
    *,
    stock: Doc | None = None,
    of: Doc | None = None,
    glue: Doc | None = None,
    **changes: Any,
) -> Doc:
    """Return a lid of 30 x 20, glued from strips that are a whole board of 5 1/2 wide each."""
    one = stock or board("G-1", "31", "5 1/2", count=8)
    layouts = [layout(one, strip("lid-1", n), n, of=of) for n in range(1, strips + 1)]
    piece = {"length": "30", "width": "20", "glue_up": glue or glue_up(), **changes}
    glued_width = made or {2: "10 3/4", 3: "16 1/8", 4: "21 1/2", 5: "26 7/8"}[strips]
    return document(
        [one],
        [part("lid", piece.pop("length"), piece.pop("width"), **piece)],
        layouts,
        of=of,
        panels=[panel("lid-1", [("lid", 1)], strips, "31", glued_width, blank("lid"), of=of)],
    )


def test_a_lid_of_20_needs_four_strips_of_5_and_a_half() -> None:
    """Four make 22 less 4 * 1/8, so 21 1/2; three make 16 1/8."""
    assert codes(lid(4)) == set()
    assert codes(lid(3)) == {"size"}


def test_just_wide_enough() -> None:
    """21 1/2 is enough for a lid of 21 1/2, tenons included, and for nothing wider."""
    assert codes(lid(made="21 1/2", extra_width="1 1/2")) == set()
    doc = lid()
    doc["parts"][0]["width"] = mm("21 1/2") + UNIT
    assert codes(doc) == {"size"}


def test_no_allowance_in_width() -> None:
    """What jointing takes is the loss per strip; the part's allowance in width is not asked."""
    assert codes(lid(blank_extra_width="2")) == set()
    wasteful = lid(glue=glue_up(per_strip="5/8"), made="19 1/2")
    assert codes(wasteful) == {"size"}


def test_strips_as_long_as_the_blank() -> None:
    """30 and an allowance of 1: strips of 31, and 31 1/16 where the allowance is greater."""
    assert codes(lid(blank_extra_length="1")) == set()
    assert codes(lid(blank_extra_length="1 1/16")) == {"size"}


@pytest.mark.parametrize(
    ("narrowest", "widest", "jointer", "good"),
    [
        ("5 1/2", "5 1/2", "8", True),
        ("5 9/16", "6", "8", False),
        ("2 1/2", "5 7/16", "8", False),
        ("2 1/2", "6", "5 1/2", True),
        ("2 1/2", "6", "5 7/16", False),
    ],
)
def test_limits_of_width(narrowest: str, widest: str, jointer: str, good: bool) -> None:
    """A strip of 5 1/2 lies within its limits and goes over the jointer, or does not."""
    doc = lid(glue=glue_up(narrowest, widest), of=shop(jointer_width=jointer))
    assert codes(doc) == (set() if good else {"strip-width"})


def test_most_strips() -> None:
    """Five strips where five may be, and where four may be."""
    assert codes(lid(5, glue=glue_up(most=5))) == set()
    assert codes(lid(5, glue=glue_up(most=4))) == {"max-strips"}


def test_one_strip_is_no_panel() -> None:
    """A part of one piece is a plain blank."""
    doc = lid(2, made="5 3/8")
    doc["parts"][0]["width"] = mm("5")
    del doc["layouts"][1]
    doc["panels"][0].update(strips=1)
    doc.update(cost=10, bound=10)
    doc["yield"] = document([], [], doc["layouts"])["yield"]
    assert codes(doc) == {"strips"}


def test_a_plain_blank_for_a_part_that_may_be_glued() -> None:
    """Where a board is wide enough the part is cut from it, as wide as any blank."""
    stock = board("W-1", "31", "20 1/4")
    parts = [part("lid", "30", "20", glue_up=glue_up())]
    assert codes(document([stock], parts, [layout(stock, blank("lid"))])) == set()


def test_thickness_of_strips() -> None:
    """1 in less 1/8 and 1/16 for the panel leaves 13/16, and less with warp over 31 x 5 1/2."""
    assert codes(lid(thickness="13/16")) == set()
    doc = lid()
    doc["parts"][0]["thickness"] = mm("13/16") + UNIT
    assert codes(doc) == {"thickness"}
    # The cup over 5 1/2 of 11 1/16 is a little under a quarter: 1/4 gives 0.0618.
    for cup, good in (("1/4", True), ("17/64", False)):
        stock = board("G-1", "62", "11 1/16", cup=cup, count=4)
        doc = lid()
        doc = document(
            [stock],
            doc["parts"],
            [layout(stock, _two(n), n) for n in (1, 2)],
            panels=doc["panels"],
        )
        assert codes(doc) == (set() if good else {"thickness"})


def _two(number: int) -> Any:
    """Return two strips of 5 1/2 side by side from a board of 11 1/16."""
    first = strip("lid-1", 2 * number - 1)
    return x("31", y("5 1/2", first, strip("lid-1", 2 * number)), WASTE)


def test_spare_thickness_of_strips() -> None:
    """What a panel loses is needed: 1 3/4 less 1/8 and 1/16 is 13/16 over 3/4, 1/16 too much."""
    for thickness, good in (("1 11/16", True), ("1 3/4", False)):
        stock = board("G-1", "31", "5 1/2", thickness, count=8)
        assert codes(lid(stock=stock)) == (set() if good else {"thick-spare"})


@pytest.mark.parametrize(
    ("spots", "quality", "good"),
    [
        ([("stain", "1", "1", "a")], "clear face", True),
        ([("stain", "1", "1", "b")], "clear face", True),
        ([("stain", "1", "1", "a"), ("stain", "4", "1", "b")], "clear face", False),
        ([("stain", "1", "1", "a"), ("stain", "4", "1", "b")], "sound", True),
        ([("stain", "1", "1", "a")], "clear", False),
        ([("knot", "1", "1", "a")], "sound", False),
        ([("knot", "1", "1 13/16", "a")], "hidden", True),  # a third of 5 1/2 is 1 5/6
        ([("knot", "1", "1 7/8", "a")], "hidden", False),
    ],
)
def test_flaws_in_strips(spots: list[tuple[str, str, str, str]], quality: str, good: bool) -> None:
    """A strip is judged by its part's quality, and may be turned over for it."""
    flaws = [
        flaw(kind, at, "1", "1", wide, face=face, sound=kind == "stain")
        for kind, at, wide, face in spots
    ]
    stock = board("G-1", "31", "5 1/2", count=8, flaws=flaws)
    assert codes(lid(stock=stock, quality=quality)) == (set() if good else {"quality"})


def test_cutaways_do_not_help_strips() -> None:
    """Where in a strip a cutaway will lie is not known before it is glued and planed."""
    stock = board("G-1", "31", "5 1/2", count=8, flaws=[flaw("knot", "15", "0", "1", "1")])
    cut = [arch("near", "1", "28", "3")]
    assert codes(lid(stock=stock, cutaway=cut)) == {"quality"}


def test_strips_of_the_right_stock() -> None:
    """Each strip comes from where its part may come from."""
    assert codes(lid(**{"from": ["G-1"]})) == set()
    assert codes(lid(**{"from": ["G-2"]})) == {"from"}
    assert codes(lid(not_from=["G-1"])) == {"not-from"}
    assert codes(lid(sawn="quarter")) == {"sawn"}
    assert codes(lid(material=["ash"])) == {"material"}


def test_no_strips_from_sheets() -> None:
    """Sheets are not edge-glued."""
    stock = sheet("P-1", "31", "5 1/2", "3/4", count=8)
    doc = lid(stock=stock, material=["birch plywood"])
    assert codes(doc) == {"strip-stock"}


def test_strips_are_straightened_and_trimmed() -> None:
    """A strip of a rough board lies within its trims like a blank, and counts stages."""
    stock = board("G-1", "33", "5 3/4", ends="rough", edges="rough", count=8)

    def tree(number: int, trimmed: bool) -> Any:
        use = strip("lid-1", number)
        inside = y("1/16", TRIM, y("5 5/8", use, TRIM)) if trimmed else use
        return x("7/8", TRIM, x("32", inside, TRIM))

    doc = lid()
    for trimmed, good in ((True, True), (False, False)):
        layouts = [layout(stock, tree(n, trimmed), n) for n in range(1, 5)]
        width = "21 1/2" if trimmed else "22 1/2"
        panels = [panel("lid-1", [("lid", 1)], 4, "31", width, blank("lid"))]
        fresh = document([stock], doc["parts"], layouts, panels=panels)
        assert codes(fresh) == (set() if good else {"straighten", "far-edge"})
    used = shop(stages=1)
    wide = board("G-1", "31", "6", count=8)
    parts = [part("lid", "30", "20", glue_up=glue_up())]
    layouts = [layout(wide, y("5 1/2", strip("lid-1", n), WASTE), n, of=used) for n in range(1, 5)]
    panels = [panel("lid-1", [("lid", 1)], 4, "31", "21 1/2", blank("lid"))]
    assert codes(document([wide], parts, layouts, of=used, panels=panels)) == {"stages"}


def test_grain_across() -> None:
    """Grain along the width: the strips are as long as the width, the length is glued up."""
    used = shop(blank_extra_width="1", blank_extra_length="0")
    doc = lid(length="20", width="30", grain="width", of=used)
    assert "grain" in codes(doc)
    tree = doc["panels"][0]["tree"]
    tree["use"]["turned"] = True
    assert codes(doc) == set()
    doc["parts"][0]["length"] = mm("21 9/16")
    assert codes(doc) == {"size"}


def test_a_run_from_one_panel() -> None:
    """Four sides of a case from one panel: 85 3/4 long; shorter strips do not do."""
    assert codes(glued()) == set()
    doc = glued()
    doc["parts"][1]["blank_extra_length"] = mm("1 1/8")
    assert "size" in codes(doc)


def test_limits_of_all_parts_of_a_run() -> None:
    """Of several parts the narrowest common limits hold, the greatest loss, the fewest strips."""
    for name, value, code in (
        ("strips", [mm("5 1/16"), mm("8")], "strip-width"),
        ("strips", [mm("2"), mm("4 15/16")], "strip-width"),
        ("per_strip", mm("3/16"), "panel-width"),
        ("max_strips", 2, "max-strips"),
    ):
        doc = glued()
        next(p for p in doc["parts"] if p["name"] == "right")["glue_up"][name] = value
        assert code in codes(doc), name


def test_a_stack_from_a_panel() -> None:
    """Two fronts of 10 ripped from one panel with 1/8 between: 20 1/8."""
    stock = board("G-1", "31", "5 1/2", count=8)
    parts = [part(name, "30", size, glue_up=glue_up()) for name, size in (("a", "10"), ("b", "11"))]
    for width, good in (("11", True), ("11 7/16", False)):
        parts[1]["width"] = mm(width)
        run = pile("fronts", "0", "1/8", ("10", blank("a")), ("", blank("b")))
        doc = document(
            [stock],
            parts,
            [layout(stock, strip("p-1", n), n) for n in range(1, 5)],
            panels=[panel("p-1", [("a", 1), ("b", 1)], 4, "31", "21 1/2", run, match="fronts")],
            match=[match("fronts", "stack", "a", "b")],
            matches=[result("fronts", 1, 1, stock=("G-1",))],
        )
        found = codes(doc)
        assert found == set() if good else found == {"size"}


def test_two_parts_from_a_panel_of_no_match() -> None:
    """A panel that is no run is one part."""
    doc = glued()
    doc["panels"][1]["match"] = None
    assert codes(doc) == {"panel-match"}


def test_order_of_parts() -> None:
    """The parts of a panel are named as they lie, from one end or from the other."""
    doc = glued()
    doc["panels"][1]["parts"].reverse()
    assert codes(doc) == set()
    parts = doc["panels"][1]["parts"]
    parts[0], parts[1] = parts[1], parts[0]
    assert codes(doc) == {"panel-parts"}


def test_cuts_of_a_panel() -> None:
    """A panel's tree is held to all that a board's is: it fills, its cuts are numbered."""
    for change, code in (
        (lambda tree: tree.update(length=mm("85")), "root"),
        (lambda tree: tree["cut"].update(order=7), "order"),
        (lambda tree: tree["cut"].update(at=mm("12 5/8")), "fill"),
        (lambda tree: tree["cut"].update(saw="crosscut"), "saw"),
        (lambda tree: tree["cut"].update(axis="z"), "resaw"),
    ):
        doc = glued()
        change(doc["panels"][1]["tree"])
        assert code in codes(doc)


def test_copies_in_panels() -> None:
    """A part of a panel is a copy like any other: cut once, and known."""
    doc = lid()
    doc["parts"][0]["count"] = 2
    assert codes(doc) == {"copies"}
    doc["missing"] = [{"part": "lid", "count": 1, "reason": "no more boards"}]
    doc.update(status="short", bound=None, gap=None)
    assert codes(doc) == set()
    doc = lid()
    doc["panels"][0]["tree"]["use"]["part"] = "roof"
    assert "unknown-part" in codes(doc)
    doc = lid()
    doc["panels"][0]["tree"]["use"]["copy"] = 2
    assert "copy-number" in codes(doc)


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("id", "", "wrong-value"),
        ("parts", [], "wrong-value"),
        ("parts", [["lid", 0]], "wrong-type"),
        ("parts", [["lid"]], "wrong-type"),
        ("match", 3, "wrong-type"),
        ("strips", 0, "wrong-value"),
        ("length", 0, "wrong-value"),
        ("tree", {}, "missing-key"),
        ("kind", "board", "unknown-key"),
    ],
)
def test_values_of_a_panel(key: str, value: Any, code: str) -> None:
    """A panel with a value that it cannot have is a fault of the document."""
    doc = lid()
    doc["panels"][0][key] = value
    assert code in codes(doc)


@pytest.mark.parametrize(
    ("glue", "code"),
    [
        ({"strips": [60, 150], "per_strip": 3}, "missing-key"),
        ({"strips": [150, 60], "per_strip": 3, "max_strips": 8}, "wrong-value"),
        ({"strips": [60], "per_strip": 3, "max_strips": 8}, "wrong-value"),
        ({"strips": [60, 150], "per_strip": 3, "max_strips": 0}, "wrong-value"),
        ({"strips": [60, 150], "per_strip": -3, "max_strips": 8}, "wrong-value"),
        (True, "wrong-type"),
    ],
)
def test_values_of_a_glue_up(glue: Any, code: str) -> None:
    """A glue-up with a value that it cannot have is a fault of the document."""
    doc = lid()
    doc["parts"][0]["glue_up"] = glue
    assert code in codes(doc)


def test_faults_name_strip_and_panel() -> None:
    """A fault of a strip names the board, the strip and its panel; of a panel, the panel."""
    doc = lid()
    doc["shop"]["jointer_width"] = mm("5")
    lines = [fault.line() for fault in verify_document(doc)]
    assert lines[0] == (
        '"G-1 copy 1, strip 1 of lid-1": a strip must be 63.5 mm to 127 mm wide (found "139.7 mm")'
    )
    doc = lid(3)
    lines = [fault.line() for fault in verify_document(doc)]
    assert lines == [
        '"panel lid-1, lid 1": must be at least 508 mm across the stock (found "409.575 mm")'
    ]

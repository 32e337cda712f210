"""A plan written and read again is the same plan."""

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from nester.layout import Axis, BlankUse, Cut, Layout, Node, Saw, StripUse, WasteUse
from nester.model import How, Match
from nester.plan import Plan, parse_plan, plan_document, plan_json, read_plan
from nester.plan.records import MatchResult, Panel, Penalty
from tests.nester.maker import MADE, board, part, planned, sheet, shop

KNOT = {"kind": "knot", "x": "25", "y": "2", "length": "2", "width": "1", "note": "loose"}
WANE = {"kind": "wane", "outline": [["40", "6"], ["60", "6"], ["60", "5 1/2"]], "face": "a"}
STOCK = board(
    "M-1",
    flaws=[KNOT, WANE],
    bow="1/8",
    crook="1/16",
    cup="1/32",
    twist="1/64",
    sawn="quarter",
    lot="log 2",
    show_face="b",
    hollow_face="a",
    hollow_edge="near",
    moisture=7.5,
    shelf="3 left",
    note='a "good" one, <b>½</b>',
    sold_as="4/4",
    per="board foot",
    price=10.35,
) + sheet("P-1", count=2, grain="none", nominal="18 mm", lot="b", note="scratched")
PARTS = (
    part(
        "rail, left",
        count=2,
        spare=1,
        quality="sound",
        allow=["sapwood", "stain"],
        not_from=["P-1"],
        extra_length="1 1/2",
        blank_extra_width="1/8",
        plane_off="1/32",
        pulled_flat=True,
        note="see drawing",
    )
    + part("panel", material=["plywood", "maple"], length="10", width="8", grain="any")
    + part("top", material="elm", sawn="rift")
)


@pytest.fixture(scope="module")
def plan() -> Plan:
    """A plan with nearly everything in it, a missing part too."""
    return planned(STOCK, PARTS, shop(corner_penalty=3.5, stages="any"))


def test_reading_what_was_written(plan: Plan) -> None:
    """Every record comes back as it was; money as it was written, to a tenth of a cent."""
    again, issues = parse_plan(plan_json(plan))
    assert not issues
    assert again is not None
    # How a thickness was spelt is the project file's, not the plan's.
    assert again.parts == tuple(replace(p, thickness_as_written="") for p in plan.parts)
    assert again.stock == plan.stock
    assert again.shop == plan.shop
    assert again.missing == plan.missing
    assert [layout.tree for layout in again.layouts] == [layout.tree for layout in plan.layouts]
    assert abs(again.cost - plan.cost) <= Fraction(1, 2000)


def test_writing_what_was_read(plan: Plan) -> None:
    """Writing it again gives the same bytes."""
    text = plan_json(plan)
    again, _ = parse_plan(text)
    assert again is not None
    assert plan_json(again) == text
    third, _ = parse_plan(plan_json(again))
    assert third == again


def panelled(plan: Plan) -> Plan:
    """Return ``plan`` with a resawn, run-cut layout, a glued-up panel and a match added by hand.

    Nothing of it follows a rule: only the records matter here.
    """
    leaf = Node(0, 0, 320, 64, use=BlankUse("rail, left", 1, reversed=True, flipped=True), run="a")
    other = Node(0, 0, 320, 64, use=StripUse("top-1", 2), gang=True)
    resawn = Node(
        0, 0, 320, 64, Cut(Axis.Z, 127, 20, Saw.RESAW, 1), (leaf, other), run="case, left ½"
    )
    mitered = Node(
        0,
        0,
        320,
        64,
        Cut(Axis.X, 127, 57, Saw.MITER, 1),
        (Node(0, 0, 127, 64, use=BlankUse("top", 1)), Node(184, 0, 136, 64, use=WasteUse())),
        run="case",
    )
    layout = Layout("M-1", 2, "board", 320, 64, 254, "1.5", resawn)
    panels = (
        Panel("top-1", (("top", 1), ("rail, left", 2)), "case", 2, 320, 64, mitered),
        Panel("top-2", (("top", 2),), None, 3, 321, 65, leaf),
    )
    case = Match(
        "case", How.WRAP, ("top", "rail, left"), Fraction("22.5"), 127, required=True, sets=2
    )
    results = (
        MatchResult("case", 4, 3, (("rail, left", "top"),), ("M-1", "P-1")),
        MatchResult("doors", 2, 2, (), ()),
    )
    return replace(
        plan,
        layouts=(*plan.layouts, layout),
        panels=panels,
        matches=(case,),
        match_results=results,
        penalties=(Penalty("case", "rail, left to top does not run on", Fraction("2.125")),),
    )


def test_panels_and_matches(plan: Plan) -> None:
    """Resaw cuts, strips, runs, gangs, panels, matches and penalties all come back as they were."""
    whole = panelled(plan)
    text = plan_json(whole)
    again, issues = parse_plan(text)
    assert not issues
    assert again is not None
    assert again.layouts[-1].tree == whole.layouts[-1].tree
    assert again.panels == whole.panels
    assert again.matches == whole.matches
    assert again.match_results == whole.match_results
    assert again.penalties == whole.penalties
    assert plan_json(again) == text


def test_how_panels_and_matches_are_written(plan: Plan) -> None:
    """They stand in the document under the keys of the format, lengths in millimetres."""
    document = json.loads(plan_json(panelled(plan)))
    tree = document["layouts"][-1]["tree"]
    assert tree["cut"] == {
        "axis": "z",
        "at": 0.396875,
        "kerf": 0.0625,
        "saw": "resaw",
        "order": 1,
    }
    assert [(p["length"], p["width"]) for p in tree["pieces"]] == [(1, 0.2), (1, 0.2)]
    assert tree["run"] == "case, left ½"
    assert "gang" not in tree
    assert tree["pieces"][1]["gang"] is True
    assert tree["pieces"][1]["use"] == {"kind": "strip", "panel": "top-1", "strip": 2}
    panel = document["panels"][0]
    assert list(panel) == ["id", "parts", "match", "strips", "length", "width", "tree"]
    assert panel["parts"] == [["top", 1], ["rail, left", 2]]
    assert (panel["match"], panel["strips"], panel["length"], panel["width"]) == ("case", 2, 1, 0.2)
    assert panel["tree"]["cut"]["saw"] == "miter"
    assert document["panels"][1]["match"] is None
    assert document["matches"][0] == {
        "name": "case",
        "corners": 4,
        "matched": 3,
        "broken": [["rail, left", "top"]],
        "stock": ["M-1", "P-1"],
    }
    assert document["penalties"] == [
        {"match": "case", "why": "rail, left to top does not run on", "cost": 2.125}
    ]
    assert document["match"][0] == {
        "name": "case",
        "how": "wrap",
        "parts": ["top", "rail, left"],
        "miter": 22.5,
        "joint_trim": 0.396875,
        "required": True,
        "sets": 2,
    }


def test_a_complete_plan_too() -> None:
    """The same where nothing is missing, so that there are bound and gap."""
    text = plan_json(planned(board(), part(count=4, width="2 7/8")))
    again, issues = parse_plan(text)
    assert not issues
    assert again is not None
    assert again.bound is not None
    assert again.gap is not None
    assert plan_json(again) == text


def test_through_a_file(plan: Plan, tmp_path: Path) -> None:
    """A plan file is read the same way."""
    path = tmp_path / "plan.json"
    path.write_text(plan_json(plan), encoding="utf-8")
    again, issues = read_plan(path)
    assert not issues
    assert again is not None
    assert plan_json(again) == plan_json(plan)


def test_lengths_are_exact(plan: Plan) -> None:
    """Every length in the document is a multiple of 1/320 mm, written without loss."""
    document = json.loads(plan_json(plan), parse_float=Decimal)
    tree = document["layouts"][0]["tree"]
    for value in (tree["length"], tree["cut"]["at"], document["shop"]["grid"]):
        assert Decimal(value) * 320 % 1 == 0
    # 1/16 in is 1.5875 mm, and 1/64 in 0.396875.
    assert document["shop"]["grid"] == Decimal("1.5875")
    assert document["stock"][0]["twist"] == Decimal("0.396875")


def test_the_keys_of_the_document(plan: Plan) -> None:
    """The document says everything that the format asks for, in its order."""
    document = plan_document(plan)
    assert list(document) == [
        "format",
        "version",
        "made",
        "units",
        "seed",
        "project",
        "status",
        "cost",
        "bound",
        "gap",
        "seconds",
        "stopped_by",
        "shop",
        "stock",
        "parts",
        "match",
        "layouts",
        "panels",
        "missing",
        "matches",
        "penalties",
        "yield",
    ]
    assert document["format"] == "nester-plan 1"
    assert document["made"] == MADE
    assert document["project"]["name"] == "Tiny"
    assert len(document["project"]["sha256"]) == 64
    assert (document["status"], document["bound"], document["gap"]) == ("short", None, None)
    assert "top" in [entry["part"] for entry in document["missing"]]
    assert set(document["yield"]) == {"stock", "parts", "offcuts", "kerf", "waste"}


def test_the_hash_is_of_the_state(plan: Plan) -> None:
    """Two stock items that differ in anything have different hashes; the same has the same."""
    first = plan_document(plan)["stock"]
    other = planned(STOCK.replace("scratched", "clean"), PARTS)
    second = plan_document(other)["stock"]
    assert [entry["id"] for entry in first] == ["M-1", "P-1"]
    assert first[0]["hash"] == second[0]["hash"]
    assert first[1]["hash"] != second[1]["hash"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "not-json"),
        ("{", "not-json"),
        ("9" * 10_000, "not-json"),
        ("[" * 100_000, "not-json"),
        ("[]", "not-a-plan"),
        ("{}", "not-a-plan"),
        ('{"format": "nester-plan 2"}', "not-a-plan"),
        ('{"format": "nester-plan 1"}', None),
    ],
)
def test_what_is_no_plan(text: str, code: str | None) -> None:
    """Anything else gives an issue that says so, and no plan."""
    found, issues = parse_plan(text)
    assert found is None
    assert len(issues) == 1
    assert issues[0].message
    if code:
        assert issues[0].code == code


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    """A missing file, a folder and a binary file give one issue each, with the path."""
    binary = tmp_path / "plan.bin"
    binary.write_bytes(b"\xff\xfe\x00\x81")
    cases = (
        (tmp_path / "none.json", "missing-file"),
        (tmp_path, "directory"),
        (binary, "not-utf-8"),
    )
    for path, code in cases:
        found, issues = read_plan(path)
        assert found is None
        assert [issue.code for issue in issues] == [code]
        assert issues[0].source is not None
        assert str(path) in issues[0].source.file


def damaged(document: dict[str, Any], path: tuple[Any, ...], value: Any) -> str:
    """Return the text of a document with one value replaced."""
    inner: Any = document
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = value
    return json.dumps(document, default=float)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("cost",), "much"),
        (("stock",), None),
        (("stock", 0, "kind"), "plank"),
        (("layouts", 0, "tree"), 7),
        (("layouts", 0, "tree", "length"), "long"),
        (("parts", 0, "grain"), "round"),
        (("shop", "kerf"), []),
        (("status",), "perfect"),
        (("missing",), 3),
    ],
)
def test_damage_is_told_and_not_raised(plan: Plan, path: tuple[Any, ...], value: Any) -> None:
    """A value of the wrong kind in a plan file is an issue, never an exception."""
    document = json.loads(plan_json(plan))
    found, issues = parse_plan(damaged(document, path, value))
    assert found is None
    assert issues

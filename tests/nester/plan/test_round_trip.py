"""A plan written and read again is the same plan."""

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from nester.plan import Plan, parse_plan, plan_document, plan_json, read_plan
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

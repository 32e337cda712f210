"""The first look: text that is no JSON, values that no plan can hold."""

import json

import pytest

from nester.verify import verify_text
from nester.verify.look import strange_values
from tests.nester.verify.valid import plinth


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "not a JSON document"),
        ("{", "not a JSON document"),
        ('{"a": 1, "a": 2}', "a key stands twice"),
        ('{"cost": NaN}', "NaN is no number"),
        ('{"cost": -Infinity}', "-Infinity is no number"),
        ('{"cost": 1e999999999999}', "not a number"),
        ("[" * 100_000, "too deeply"),
        ("9" * 10_000, "not a JSON document: a number has too many digits"),
        ("\ufeff{}", "not a JSON document"),
        ('"\\ud800"', "not a plan document"),
        ("\x00", "not a JSON document"),
    ],
)
def test_text_that_cannot_be_read(text: str, message: str) -> None:
    """Each kind of broken text is one clear fault."""
    faults = verify_text(text)
    assert faults
    assert message in faults[0].line()


def test_where_json_breaks() -> None:
    """A syntax error is told with its line and column."""
    faults = verify_text('{\n "format": nester\n}')
    assert faults[0].place == "line 2, column 12"


def test_deep_trees_can_be_read() -> None:
    """A row of two hundred crosscuts, each in the last one's second piece, is not too deep."""
    tree: dict[str, object] = {"use": {"kind": "waste"}}
    for _ in range(200):
        tree = {"cut": {}, "pieces": [tree]}
    doc = {**plinth(), "layouts": [{"tree": tree}]}
    faults = verify_text(json.dumps(doc, default=float))
    assert faults
    assert all("deeply" not in fault.message for fault in faults)


def test_endless_nesting_is_refused() -> None:
    """A document built deeper than any plan is refused without a crash."""
    nest: object = 1
    for _ in range(20_000):
        nest = [nest]
    assert [fault.code for fault in strange_values({"a": nest})] == ["json"]


def test_foreign_values() -> None:
    """Keys that are no text and values that JSON does not have are faults."""
    assert "key" in strange_values({1: 2})[0].message
    assert strange_values({"a": {1, 2}})[0].place == "a"
    assert len(strange_values([object()] * 100)) == 20

"""Every copy of every part exactly once."""

from typing import Any

from tests.nester.verify.plans import WASTE, Doc, blank, board, codes, simple, x, y


def pair(*numbers: int, **changes: Any) -> Doc:
    """Return a plan of fronts, side by side, with these copy numbers."""
    tree = x("39", y("3 3/4", blank("front", numbers[0]), blank("front", numbers[1])), WASTE)
    return simple(stock=board(width="7 9/16"), tree=tree, **changes)


def test_copies_and_spares() -> None:
    """Two of one part, or one and a spare, are two blanks with the numbers 1 and 2."""
    assert codes(pair(1, 2, count=2)) == set()
    assert codes(pair(2, 1, count=1, spare=1)) == set()
    assert codes(pair(1, 2, count=3)) == {"copies"}
    assert codes(pair(1, 2, count=1)) == {"copies", "copy-number"}


def test_no_copy_is_cut_twice() -> None:
    """The same number twice is a fault, and so is one past the last."""
    assert codes(pair(1, 1, count=2)) == {"copy-twice"}
    assert codes(pair(1, 3, count=2)) == {"copy-number"}
    doc = pair(1, 2, count=2)
    doc["layouts"][0]["tree"]["pieces"][0]["pieces"][1]["use"]["copy"] = 0
    assert codes(doc) == {"wrong-value"}


def test_missing_copies_are_counted() -> None:
    """What is not cut is missing, no more and no less."""
    short = {"status": "short", "bound": None, "gap": None}
    gone = {"part": "front", "count": 1, "reason": "no board is left"}
    assert codes({**pair(1, 2, count=3), **short, "missing": [gone]}) == set()
    assert codes({**pair(1, 2, count=4), **short, "missing": [gone, gone]}) == set()
    assert codes({**pair(1, 2, count=4), **short, "missing": [gone]}) == {"copies"}
    assert codes({**pair(1, 2, count=2), **short, "missing": [gone]}) == {"copies"}


def test_the_copy_that_is_missing_may_be_any() -> None:
    """Of three copies the second may be the one that is missing."""
    gone = [{"part": "front", "count": 1, "reason": "no board is left"}]
    doc = {**pair(1, 3, count=3), "missing": gone, "status": "short", "bound": None, "gap": None}
    assert codes(doc) == set()


def test_parts_that_are_not_there() -> None:
    """A blank or a missing entry for a part that the plan does not have is a fault."""
    assert codes(simple(tree=x("39", y("3 3/4", blank("back"), WASTE), WASTE))) == {
        "unknown-part",
        "copies",
    }
    gone = [{"part": "back", "count": 1, "reason": "no board is left"}]
    doc = {**simple(), "missing": gone, "status": "short", "bound": None, "gap": None}
    assert codes(doc) == {"unknown-part"}


def test_a_missing_part_has_a_reason() -> None:
    """An entry without a word why, or for no copy at all, is a fault."""
    short = {**pair(1, 2, count=3), "status": "short", "bound": None, "gap": None}
    assert codes({**short, "missing": [{"part": "front", "count": 1, "reason": " "}]}) == {
        "wrong-value"
    }
    assert "wrong-value" in codes(
        {**short, "missing": [{"part": "front", "count": 0, "reason": "-"}]}
    )

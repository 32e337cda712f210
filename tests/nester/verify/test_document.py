"""The shape of a document: every key there, of its type, and no other."""

import copy
from decimal import Decimal
from typing import Any

import pytest

from nester.verify import verify_document
from tests.nester.verify.plans import (
    Doc,
    board,
    codes,
    flaw,
    hashed,
    mm,
    outlined,
    shop,
    simple,
)
from tests.nester.verify.valid import VALID, plinth


def tables(doc: Doc) -> dict[str, Doc]:
    """Return the objects of a document that have a fixed set of keys."""
    return {
        "plan": doc,
        "project": doc["project"],
        "shop": doc["shop"],
        "shop.kerf": doc["shop"]["kerf"],
        "shop.plane_off": doc["shop"]["plane_off"],
        "part": doc["parts"][0],
        "layout": doc["layouts"][0],
        "node": doc["layouts"][0]["tree"],
        "cut": doc["layouts"][0]["tree"]["cut"],
        "blank": doc["layouts"][0]["tree"]["pieces"][0]["pieces"][0]["use"],
        "yield": doc["yield"],
    }


@pytest.mark.parametrize("name", tables(plinth()))
def test_every_key_is_needed(name: str) -> None:
    """A document that lacks any one key gives a fault that names it."""
    for key in list(tables(plinth())[name]):
        doc = plinth()
        del tables(doc)[name][key]
        if (name, key) in {("plan", "format"), ("node", "cut")}:
            assert codes(doc) & {"format", "missing-key"}
            continue
        faults = verify_document(doc)
        assert any(f.code in {"missing-key", "wrong-value"} for f in faults), key
        if (name, key) != ("blank", "kind"):
            assert any(f'"{key}" is missing' in f.message for f in faults), key


@pytest.mark.parametrize("name", tables(plinth()))
def test_no_key_is_ignored(name: str) -> None:
    """A key that no plan has is a fault with its name."""
    doc = plinth()
    tables(doc)[name]["colour"] = 1
    found = [(fault.code, fault.value) for fault in verify_document(doc)]
    assert ("unknown-key", "colour") in found


@pytest.mark.parametrize("name", tables(plinth()))
@pytest.mark.parametrize("value", [[{}], {"a": 1}, Decimal("-1.5"), "?"])
def test_values_of_a_wrong_type(name: str, value: Any) -> None:
    """A value of a wrong type under any key is a fault, except where any text is good."""
    free = {"name", "note", "sha256", "version", "made", "stopped_by"}
    for key in list(tables(plinth())[name]):
        doc = plinth()
        tables(doc)[name][key] = copy.deepcopy(value)
        if value == "?" and key in free:
            continue
        assert codes(doc), key


def board_doc(**changes: Any) -> Doc:
    """Return a plan whose board entry has raw values changed."""
    return simple(stock=hashed({**board(), **changes}))


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("length", 0, "wrong-value"),
        ("length", Decimal("1524.001"), "length-unit"),
        ("width", [mm("6")], "wrong-value"),
        ("width", [mm("6"), 0], "wrong-value"),
        ("width", mm("6"), "wrong-type"),
        ("thickness", "4/4", "wrong-type"),
        ("surface", "smooth", "wrong-value"),
        ("ends", "sawn", "wrong-value"),
        ("edges", None, "wrong-value"),
        ("sawn", "plain", "wrong-value"),
        ("count", Decimal("1.5"), "wrong-value"),
        ("bow", -1, "wrong-value"),
        ("price", -1, "wrong-value"),
        ("per", "log", "wrong-value"),
        ("show_face", "c", "wrong-value"),
        ("hollow_edge", "left", "wrong-value"),
        ("moisture", "dry", "wrong-value"),
        ("note", 5, "wrong-type"),
        ("id", "", "wrong-value"),
        ("kind", "log", "wrong-value"),
        ("flaws", {}, "wrong-type"),
        ("flaws", [1], "wrong-type"),
        ("grain", "length", "unknown-key"),
    ],
)
def test_stock_entries(key: str, value: Any, code: str) -> None:
    """Each value of a stock entry is of its type and range."""
    doc = simple()
    doc["stock"][0] = hashed({**doc["stock"][0], key: value})
    assert code in codes(doc)


def test_notes_of_a_stock_entry_may_be_left_out() -> None:
    """What no rule asks for may be null, given or not there."""
    entry = board(show_face="b", hollow_face="a", hollow_edge="near", moisture=9, lot="2")
    assert codes(simple(stock=entry)) == set()
    for key in ("lot", "show_face", "hollow_face", "hollow_edge", "moisture", "shelf", "note"):
        entry = board()
        del entry[key]
        assert codes(simple(stock=hashed(entry))) == set()


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"kind": "dent"}, "wrong-value"),
        ({"face": "c"}, "wrong-value"),
        ({"sound": 1}, "wrong-type"),
        ({"kind": "wane", "sound": True}, "wrong-value"),
        ({"x": -1}, "wrong-value"),
        ({"outline": [[0, 0], [1, 1]]}, "wrong-value"),
        ({"outline": [[0, 0], [1, 1], [1]]}, "wrong-type"),
        ({"outline": [[0, 0], [1, 1], [1, 0]]}, "outline-box"),
        ({"depth": 3}, "unknown-key"),
    ],
)
def test_flaws_of_a_stock_entry(changes: Doc, code: str) -> None:
    """Each value of a flaw is of its type and range, and its box that of its outline."""
    spot = {**flaw("knot", "50", "5", "1", "1/2"), **changes}
    assert code in codes(simple(stock=board(flaws=[spot])))
    assert (
        codes(simple(stock=board(flaws=[outlined("knot", ("50", "5"), ("51", "5"), ("50", "6"))])))
        == set()
    )


@pytest.mark.parametrize("kind", ["wane", "split", "shake", "rot", "metal", "void"])
def test_what_cannot_be_sound(kind: str) -> None:
    """Wane, splits, shakes, rot, metal and voids are never sound."""
    spot = flaw(kind, "50", "5", "1", "1/2", sound=True)
    assert "wrong-value" in codes(simple(stock=board(flaws=[spot])))


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("length", 0, "wrong-value"),
        ("material", "walnut", "wrong-type"),
        ("grain", "across", "wrong-value"),
        ("quality", "best", "wrong-value"),
        ("allow", ["dents"], "wrong-value"),
        ("from", [1], "wrong-type"),
        ("held", "loose", "wrong-value"),
        ("pulled_flat", None, "wrong-type"),
        ("plane_off", "thin", "wrong-type"),
        ("name", "", "wrong-value"),
        ("count", -1, "wrong-value"),
    ],
)
def test_parts(key: str, value: Any, code: str) -> None:
    """Each value of a part is of its type and range."""
    doc = simple()
    doc["parts"][0][key] = value
    assert code in codes(doc)


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("grid", 0, "wrong-value"),
        ("offcut_credit", Decimal("1.01"), "wrong-value"),
        ("stages", 0, "wrong-value"),
        ("stages", "any", "wrong-value"),
        ("offcut_min", [1], "wrong-value"),
        ("first_cut", "saw", "wrong-value"),
        ("units", "cm", "wrong-value"),
        ("kerf", 3, "wrong-type"),
        ("use_cutaways", "no", "wrong-type"),
        ("corner_penalty", -1, "wrong-value"),
    ],
)
def test_shop(key: str, value: Any, code: str) -> None:
    """Each value of the shop is of its type and range."""
    doc = simple()
    doc["shop"][key] = value
    assert code in codes(doc)
    assert codes(simple(of={**shop(), "climate": {}, "corner_penalty": 10})) == set()


def test_names_and_ids_are_distinct() -> None:
    """Two parts of one name, or two boards of one id, are a fault."""
    doc = simple()
    doc["parts"] *= 2
    assert codes(doc) == {"duplicate-name"}
    doc = simple()
    doc["stock"] *= 2
    assert codes(doc) == {"duplicate-id"}


def test_hash_of_the_stock() -> None:
    """A stock entry that was changed after it was hashed is found out."""
    doc = simple()
    doc["stock"][0]["shelf"] = "top"
    assert codes(doc) == {"hash"}
    doc["stock"][0] = hashed(doc["stock"][0])
    assert codes(doc) == set()


@pytest.mark.parametrize(
    ("place", "key", "value"),
    [
        ("part", "laminate", {"plies": 2}),
        ("part", "edging", {"thickness": 6}),
        ("part", "resaw", True),
        ("node", "gang", True),
        ("blank", "ply", 1),
        ("blank", "edge", "near"),
    ],
)
def test_what_is_not_known_yet_is_never_passed(place: str, key: str, value: Any) -> None:
    """Content whose rules are not checked is a fault that says so."""
    doc = plinth()
    tables(doc)[place][key] = value
    faults = [fault for fault in verify_document(doc) if fault.code == "not-known-yet"]
    assert faults
    assert all("not known to this checker yet" in fault.line() for fault in faults)


def test_empty_marks_of_later_content_are_nothing() -> None:
    """A node that says it is no gang and of no run says nothing."""
    doc = plinth()
    doc["layouts"][0]["tree"].update(gang=False, run="")
    assert codes(doc) == set()


def test_documents_are_not_changed() -> None:
    """The checker only reads."""
    for build in VALID.values():
        doc = build()
        before = copy.deepcopy(doc)
        verify_document(doc)
        assert doc == before

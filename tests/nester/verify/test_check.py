"""The whole check: the published example, and documents that are not plans at all."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from nester.verify import Fault, verify_document, verify_text
from tests.nester.verify.plans import Doc, codes
from tests.nester.verify.test_state import M1_HASH
from tests.nester.verify.valid import VALID, plinth

# The example of the plan format, completed by hand. The stock's hash is that of the text in
# ``test_state.py``; the areas are 1524 x 152.4, 990.6 x 95.25, 530.225 x 152.4, the two kerfs
# 3.175 x 152.4 and 990.6 x 1.5875, and 990.6 x 55.5625 mm.
EXAMPLE = """
{
 "format": "nester-plan 1", "version": "0.1.0", "made": "2026-11-25T10:00:00Z", "units": "in",
 "seed": 0, "project": {"name": "Plinth", "sha256": "00"},
 "status": "optimal", "cost": 20.651, "bound": 20.651, "gap": 0, "seconds": 0.4,
 "stopped_by": "optimal",
 "shop": {
  "units": "in", "tape": 1.5875, "grid": 1.5875,
  "kerf": {"crosscut": 3.175, "rip": 3.175, "rough_rip": 1.5875, "sheet": 3.175,
           "resaw": 1.5875},
  "blank_extra_length": 25.4, "blank_extra_width": 6.35,
  "plane_off": {"rough": 3.175, "skip planed": 1.5875, "S2S": 0, "S4S": 0},
  "panel_off": 1.5875, "end_trim": 25.4, "edge_trim": 3.175, "sheet_trim": 0,
  "flaw_margin": 6.35, "split_margin": 25.4, "metal_clear": 25.4,
  "offcut_min": [304.8, 76.2], "sheet_offcut_min": [609.6, 203.2], "offcut_credit": 0.5,
  "shortest_milled": 304.8, "shortest_rip": 304.8, "jointer_width": 203.2,
  "planer_width": 330.2, "rip_capacity": 762, "resaw_height": 152.4, "thick_spare": 19.05,
  "first_cut": "crosscut", "stages": 3, "sheet_stages": 4, "corner_penalty": null,
  "use_cutaways": false},
 "stock": [
  {"kind": "board", "id": "M-1", "species": "walnut", "length": 1524, "width": [152.4, 152.4],
   "thickness": 25.4, "sold_as": 25.4, "surface": "rough", "ends": "square",
   "edges": "straight", "sawn": null, "count": 1, "bow": 0, "crook": 0, "cup": 0, "twist": 0,
   "price": 10, "per": "board foot", "lot": "", "show_face": null, "hollow_face": null,
   "hollow_edge": null, "moisture": null, "shelf": "", "note": "", "flaws": [],
   "hash": "HASH"}],
 "parts": [
  {"name": "plinth front", "count": 1, "spare": 0, "length": 965.2, "width": 88.9,
   "thickness": 19.05, "material": ["walnut"], "grain": "length", "quality": "clear face",
   "allow": [], "from": [], "not_from": [], "sawn": null, "extra_length": 0, "extra_width": 0,
   "blank_extra_length": null, "blank_extra_width": null, "plane_off": null,
   "pulled_flat": false, "held": "free", "glue_up": null, "laminate": null, "edging": null,
   "resaw": false, "cutaway": [], "note": ""}],
 "match": [],
 "layouts": [
  {"stock": "M-1", "copy": 1, "kind": "board", "length": 1524, "width": 152.4,
   "thickness": 25.4, "value": 25.0, "first_cut": "crosscut",
   "tree": {"x": 0, "y": 0, "length": 1524, "width": 152.4,
    "cut": {"axis": "x", "at": 990.6, "kerf": 3.175, "saw": "crosscut", "order": 1},
    "pieces": [
     {"x": 0, "y": 0, "length": 990.6, "width": 152.4,
      "cut": {"axis": "y", "at": 95.25, "kerf": 1.5875, "saw": "rough_rip", "order": 2},
      "pieces": [
       {"x": 0, "y": 0, "length": 990.6, "width": 95.25,
        "use": {"kind": "blank", "part": "plinth front", "copy": 1, "turned": false,
                "reversed": false, "flipped": false}},
       {"x": 0, "y": 96.8375, "length": 990.6, "width": 55.5625, "use": {"kind": "waste"}}]},
     {"x": 993.775, "y": 0, "length": 530.225, "width": 152.4,
      "use": {"kind": "offcut", "id": "M-1a"}}]}}],
 "panels": [], "missing": [], "matches": [], "penalties": [],
 "yield": {"stock": 232257.6, "parts": 94354.65, "offcuts": 80806.29, "kerf": 2056.4475,
           "waste": 55040.2125}
}
"""


def example() -> str:
    """Return the example with the hash of its stock filled in."""
    return EXAMPLE.replace("HASH", M1_HASH)


def test_the_published_example_holds() -> None:
    """The example of the plan format has no fault."""
    assert verify_text(example()) == []


def test_the_example_of_a_wrong_cost() -> None:
    """A cost that is off by a cent is named with what it must be."""
    text = example().replace('"cost": 20.651', '"cost": 20.661')
    costs = [fault for fault in verify_text(text) if fault.code == "cost"]
    assert costs == [Fault("cost", "the cost must be 20.651", "plan", "20.661")]


@pytest.mark.parametrize("name", VALID)
def test_hand_made_plans_hold(name: str) -> None:
    """No plan that was made by hand to hold has a fault."""
    assert [fault.line() for fault in verify_document(VALID[name]())] == []


@pytest.mark.parametrize("name", VALID)
def test_text_and_document_agree(name: str) -> None:
    """A document written as JSON and read back has no fault either."""
    text = json.dumps(VALID[name](), default=float)
    assert verify_text(text) == []


def test_faults_name_their_place() -> None:
    """A fault says which stock, which copy and which cut or part it is about."""
    doc = plinth()
    doc["layouts"][0]["tree"]["cut"]["kerf"] = 0
    doc["parts"][0]["material"] = ["ash"]
    lines = {fault.code: fault.line() for fault in verify_document(doc)}
    assert lines["kerf"] == '"M-1 copy 1, cut 1": the kerf must be 3.175 mm (found "0 mm")'
    assert lines["material"] == '"M-1 copy 1, plinth front 1": must be of ash (found "walnut")'


def test_all_faults_are_found_at_once() -> None:
    """Faults of different rules in one document are all named."""
    doc = plinth()
    doc["cost"] = 1
    doc["parts"][0]["count"] = 2
    doc["layouts"][0]["tree"]["cut"]["saw"] = "rip"
    doc["stock"][0]["hash"] = "0"
    assert codes(doc) >= {"cost", "bound", "copies", "saw", "hash"}


def test_rules_read_nothing_but_the_document() -> None:
    """The checker imports nothing of the project but its own files and the unit of length."""
    folder = Path(__file__).parents[3] / "nester" / "verify"
    allowed = ("nester.verify", "inventory.length")
    for file in folder.glob("*.py"):
        for line in file.read_text(encoding="utf-8").splitlines():
            words = line.split()
            if words[:1] in (["from"], ["import"]) and words[1].split(".")[0] in {
                "nester",
                "inventory",
            }:
                assert words[1].startswith(allowed), f"{file.name}: {line}"


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ({}, "format"),
        ([], "format"),
        (None, "format"),
        ("a plan", "format"),
        (3, "format"),
        ({"format": "nester-plan 1"}, "missing-key"),
        ({"format": ["nester-plan 1"]}, "format"),
    ],
)
def test_foreign_documents(value: Doc, code: str) -> None:
    """A JSON document that is no plan gives a fault that says so."""
    assert code in codes(value)


@pytest.mark.parametrize("number", [float("nan"), float("inf"), Decimal("NaN"), 10**400])
def test_numbers_out_of_proportion(number: object) -> None:
    """A number that is none, or a monster, is a fault and does not hang the checker."""
    doc = plinth()
    doc["cost"] = number
    assert codes(doc) == {"json"}

"""Faults as text."""

from nester.verify import Fault
from nester.verify.fault import shown


def test_line_of_a_fault() -> None:
    """A line has the place, what is wrong, and what was found in double quotes."""
    fault = Fault("saw", 'the saw must be "rip"', "W-07 copy 1, cut 4", "sheet")
    assert fault.line() == '"W-07 copy 1, cut 4": the saw must be "rip" (found "sheet")'
    assert Fault("json", "not a JSON document").line() == "not a JSON document"


def test_wild_values_stay_on_one_line() -> None:
    """Line breaks and broken characters are written out, long values cut."""
    line = Fault("material", "no", "a\nb", "\ud800" + "x" * 500).line()
    assert "\n" not in line
    assert line.startswith('"a\\nb": no (found "\\ud800xxx')
    assert len(line) < 150


def test_fault_as_json() -> None:
    """A fault's table has its four keys."""
    assert Fault("saw", "no", "here", None).as_dict() == {
        "code": "saw",
        "message": "no",
        "place": "here",
        "value": None,
    }


def test_values_are_shown_short() -> None:
    """Any JSON value has a short text."""
    assert shown({"a": 1}) == "an object of 1 keys"
    assert shown([1, 2]) == "a list of 2"
    assert shown(None) == "null"
    assert shown(True) == "true"
    assert shown(10**1000) == "a huge number"

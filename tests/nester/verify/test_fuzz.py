"""Whatever JSON the checker is fed, it answers with faults and never with an exception."""

import json
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nester.plan.read import plan_of
from nester.verify import verify_document, verify_text
from tests.nester.verify.plans import Doc, copied
from tests.nester.verify.valid import VALID

KEYS = sorted(
    {"kind", "id", "cut", "use", "pieces", "axis", "at", "kerf", "tree", "flaws", "outline", "x"}
    | {"run", "z", "strip", "panel", "parts", "match", "sets", "how", "stack", "arch", "glue_up"}
)
NUMBERS = (
    st.integers(-5, 5)
    | st.integers()
    | st.floats()
    | st.decimals(allow_nan=True, allow_infinity=True)
)
SCALARS = st.none() | st.booleans() | NUMBERS | st.text(max_size=8) | st.sampled_from(KEYS)
VALUES: st.SearchStrategy[Any] = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(max_size=4) | st.sampled_from(KEYS), inner, max_size=4)
    ),
    max_leaves=12,
)
PLANS: dict[str, Doc] = {name: build() for name, build in VALID.items()}
ROUNDS = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the paths of everything inside a JSON value."""
    if isinstance(value, dict):
        inner = list(value.items())
    elif isinstance(value, list):
        inner = list(enumerate(value))
    else:
        return [path] if path else []
    found = [path] if path else []
    for key, item in inner:
        found.extend(places(item, (*path, key)))
    return found


PLACES = {name: places(doc) for name, doc in PLANS.items()}


def changed(doc: Doc, path: tuple[Any, ...], value: Any) -> Doc:
    """Return a copy of a document with what stands at ``path`` replaced."""
    fresh = copied(doc)
    inner: Any = fresh
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = value
    return fresh


@ROUNDS
@given(VALUES)
def test_any_value(value: Any) -> None:
    """A value that is no plan gives faults."""
    assert verify_document(value)


@ROUNDS
@given(VALUES)
def test_any_value_as_a_plan(value: Any) -> None:
    """An object that claims to be a plan gives faults, whatever else it holds."""
    table = value if isinstance(value, dict) else {"tree": value}
    assert verify_document({**table, "format": "nester-plan 1"})


@ROUNDS
@given(st.data())
def test_anything_anywhere_in_a_plan(data: st.DataObject) -> None:
    """Any value in place of any other in a plan gives faults that can be printed, or none."""
    name = data.draw(st.sampled_from(sorted(PLANS)))
    doc = PLANS[name]
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from(PLACES[name]))
        value = data.draw(VALUES)
        try:
            doc = changed(doc, path, value)
        except (KeyError, IndexError, TypeError):
            continue  # the place went with an earlier change
    for fault in verify_document(doc):
        assert fault.line().isprintable()
        json.dumps(fault.as_dict())


@ROUNDS
@given(st.data())
def test_a_plan_with_things_moved(data: st.DataObject) -> None:
    """Parts of a plan in each other's places give faults, or none."""
    name = data.draw(st.sampled_from(sorted(PLANS)))
    one = data.draw(st.sampled_from(PLACES[name]))
    two = data.draw(st.sampled_from(PLACES[name]))
    value: Any = PLANS[name]
    for key in one:
        value = value[key]
    for fault in verify_document(changed(PLANS[name], two, copied(value))):
        assert fault.code


@ROUNDS
@given(st.text(max_size=60) | VALUES.map(lambda value: json.dumps(value, default=str)))
def test_any_text(text: str) -> None:
    """Any text gives faults."""
    assert verify_text(text)


@ROUNDS
@given(st.data())
def test_a_plan_cut_short(data: st.DataObject) -> None:
    """A document that ends in the middle, or has a letter changed, gives faults or none."""
    text = json.dumps(PLANS["plinth"], default=float)
    at = data.draw(st.integers(0, len(text) - 1))
    assert verify_text(text[:at])
    letter = data.draw(st.characters())
    for fault in verify_text(text[:at] + letter + text[at + 1 :]):
        assert fault.code


ODD: tuple[Any, ...] = (None, [], False, "x")


def test_what_holds_can_be_read() -> None:
    """The checker lets no value pass that the reader of plans then calls damaged."""
    tried: set[tuple[Any, ...]] = set()
    held = 0
    for name, doc in PLANS.items():
        for path in PLACES[name]:
            kind = tuple("" if isinstance(key, int) else key for key in path)
            if kind in tried or kind[:1] in (("stock",), ("shop",)):
                continue
            tried.add(kind)
            for value in ODD:
                fresh = changed(doc, path, value)
                if not verify_document(fresh):
                    held += 1
                    assert plan_of(fresh).parts, (name, path, value)
    assert len(tried) > 100
    assert held > 20


def test_parts_of_a_later_version() -> None:
    """What a part may not have yet is null or false, as the reader wants it, and nothing else."""
    doc = PLANS["plinth"]
    for key, good in (("laminate", None), ("edging", None), ("resaw", False)):
        for value in (None, False, [], {}, "", 0, True):
            faults = verify_document(changed(doc, ("parts", 0, key), value))
            if value is good:
                assert faults == []
            else:
                assert [fault.code for fault in faults] in (["wrong-type"], ["not-known-yet"])
                assert f'"{key}"' in faults[0].line()

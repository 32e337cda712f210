"""Flaws in what is sawn away: under arches and inside outlines, whichever way the part lies."""

from fractions import Fraction
from typing import Any

import pytest

from inventory.length import INCH, MM
from nester.verify.cutaways import polygon_holds, under_arch
from nester.verify.records import Arch
from tests.nester.verify.composites import arch, outline
from tests.nester.verify.plans import (
    WASTE,
    Doc,
    blank,
    board,
    codes,
    document,
    flaw,
    layout,
    outlined,
    part,
    sheet,
    simple,
    x,
    y,
)

# Chord, rise and the height of the arc a quarter of the chord from its middle. From
# R = c²/8h + h/2 and y = sqrt(R² - (c/4)²) - (R - h), by a pocket calculator.
ARCS = [
    (30 * INCH, 2 * INCH, INCH * Fraction("1.5066")),
    (48 * INCH, 3 * INCH, INCH * Fraction("2.2587")),
    (24 * INCH, INCH * 3 // 2, INCH * Fraction("1.1294")),
    (36 * INCH, INCH * 9 // 4, INCH * Fraction("1.6940")),
    (600 * MM, 40 * MM, MM * Fraction("30.1322")),
]


@pytest.mark.parametrize("edge", ["near", "far"])
@pytest.mark.parametrize(("span", "rise", "height"), ARCS)
def test_heights_of_arcs(edge: str, span: int, rise: int, height: Fraction) -> None:
    """A point a hair below the tabled height is under the arch, one a hair above is not."""
    shape = Arch(edge, 320, span, rise)
    width = 10 * span
    hair = Fraction(INCH, 10_000)

    def inside(u: Fraction, v: Fraction) -> bool:
        return under_arch(shape, width, (u, v if edge == "near" else width - v))

    middle = 320 + Fraction(span, 2)
    for side in (-1, 1):
        u = middle + side * Fraction(span, 4)
        assert inside(u, height - hair)
        assert not inside(u, height + hair)
        end = middle + side * Fraction(span, 2)
        assert inside(end, Fraction(0))
        assert not inside(end, Fraction(1, 1000))
        assert not inside(end + side, Fraction(0))
    assert inside(middle, Fraction(rise))
    assert not inside(middle, rise + Fraction(1, 1000))
    assert not inside(middle, Fraction(-1, 1000))


def arched(*flaws: Doc, cut: Doc | None = None, **changes: Any) -> Doc:
    """Return a part of 38 x 3 1/2 with an arch on its near edge, from 2 over 30, rising 2.

    Its blank is 39 x 3 3/4, so the arch runs from 2 1/2 to 32 1/2 and is 2 high at 17 1/2; turned
    end for end from 6 1/2 to 36 1/2, highest at 21 1/2.
    """
    use = changes.pop("use", {})
    cuts = x("39", y("3 3/4", blank("front", **use), WASTE), WASTE)
    shape = arch("near", "2", "30", "2") if cut is None else cut
    return simple(stock=board(flaws=list(flaws)), tree=cuts, cutaway=[shape], **changes)


def knot(at: str, y0: str, length: str, width: str, kind: str = "knot") -> Doc:
    """Return an unsound flaw."""
    return flaw(kind, at, y0, length, width)


@pytest.mark.parametrize(
    ("spot", "good"),
    [
        (knot("17", "0", "1", "1 1/2"), True),  # under it
        (knot("10", "0", "15", "1 1/2"), True),  # 1.5066 high a quarter of the span from the middle
        (knot("10", "0", "15", "1 17/32"), False),
        (knot("17", "1 1/2", "1", "15/32"), True),
        (knot("17", "1 1/2", "1", "1/2"), False),  # the top of the arch is one point
        (knot("17", "2 1/2", "1", "1/2"), False),  # above it
        (knot("34", "0", "1", "1/2"), False),  # beside it
        (knot("3", "0", "1", "1/2"), False),  # at its thin end, where the curve is lower
        (knot("3", "0", "1", "1/16"), True),
        (knot("2 1/4", "0", "1", "1/64"), False),  # half under it
    ],
)
def test_where_a_knot_lies(spot: Doc, good: bool) -> None:
    """A knot is harmless just where the whole of it lies under the arch."""
    assert codes(arched(spot)) == (set() if good else {"quality"})


@pytest.mark.parametrize(
    ("use", "at", "good"),
    [
        ({}, "4", True),
        ({}, "34", False),
        ({"reversed": True, "flipped": True}, "34", True),
        ({"reversed": True, "flipped": True}, "4", False),
        ({"flipped": True}, "4", False),
        ({"reversed": True}, "34", False),
    ],
)
def test_near_edge_on_the_near_edge(use: dict[str, bool], at: str, good: bool) -> None:
    """Its near edge is the stock's where it is turned and rolled, or neither; else the far one."""
    spot = knot(at, "0", "1/2", "1/4")
    assert codes(arched(spot, use=use)) == (set() if good else {"quality"})


@pytest.mark.parametrize(
    ("use", "at", "good"),
    [
        ({"flipped": True}, "4", True),
        ({"flipped": True}, "34", False),
        ({"reversed": True}, "34", True),
        ({"reversed": True}, "4", False),
        ({}, "4", False),
        ({"reversed": True, "flipped": True}, "34", False),
    ],
)
def test_near_edge_on_the_far_edge(use: dict[str, bool], at: str, good: bool) -> None:
    """Turned or rolled, but not both, its near edge lies on the far edge of the blank at 3 3/4."""
    spot = knot(at, "3 1/2", "1/2", "1/4")
    assert codes(arched(spot, use=use)) == (set() if good else {"quality"})


def test_spare_width_is_on_the_other_edge() -> None:
    """The arch begins at the blank's own edge, however wide that is; on the far edge as well."""
    wide = x("39", y("5", blank("front"), WASTE), WASTE)
    low, high = knot("17", "0", "1", "1 1/2"), knot("17", "3 1/2", "1", "1 1/2")
    near, far = arch("near", "2", "30", "2"), arch("far", "2", "30", "2")
    for cut, spot, good in ((near, low, 1), (near, high, 0), (far, high, 1), (far, low, 0)):
        doc = simple(stock=board(flaws=[spot]), tree=wide, cutaway=[cut])
        assert codes(doc) == (set() if good else {"quality"})


def test_spare_length_is_shared() -> None:
    """In a blank of 43 the part begins at 2 1/2, and its arch at 4 1/2."""
    cuts = x("43", y("3 3/4", blank("front"), WASTE), WASTE)
    for at, good in (("4 5/8", True), ("4 7/16", False)):
        spot = knot(at, "0", "1/8", "1/64")
        doc = simple(stock=board(flaws=[spot]), tree=cuts, cutaway=[arch("near", "2", "30", "2")])
        assert codes(doc) == (set() if good else {"quality"})


def test_arches_on_both_edges() -> None:
    """With arches on both edges the near one lies on the blank's edge, the far one 1/4 inside."""
    both = [arch("near", "2", "30", "1"), arch("far", "2", "30", "1")]
    for y0, width, good in (("0", "1/2", 1), ("3", "1/2", 1), ("3", "5/8", 0), ("3 5/8", "1/8", 0)):
        spot = knot("17", y0, "1", width)
        doc = simple(stock=board(flaws=[spot]), cutaway=both)
        assert codes(doc) == (set() if good else {"quality"}), (y0, width)


@pytest.mark.parametrize("kind", ["metal", "void"])
def test_metal_and_voids_always_count(kind: str) -> None:
    """Under the arch or not, allowed or not, they are in the way."""
    doc = arched(knot("17", "1/2", "1/4", "1/4", kind), allow=[kind])
    assert "quality" in codes(doc)


@pytest.mark.parametrize("kind", ["knot", "bark pocket", "rot", "wane", "split", "shake", "other"])
@pytest.mark.parametrize("quality", ["clear", "clear face", "sound", "hidden"])
def test_every_other_kind_may_lie_there(kind: str, quality: str) -> None:
    """Any other flaw under the arch is sawn away, for every quality, its margins too."""
    assert codes(arched(knot("17", "0", "1", "1 1/2", kind), quality=quality)) == set()


def test_a_flaw_is_in_one_cutaway() -> None:
    """A flaw that only two cutaways together hold counts."""
    halves = [
        outline(("0", "0"), ("4", "0"), ("4", "1"), ("0", "1")),
        outline(("3", "0"), ("8", "0"), ("8", "1"), ("3", "1")),
    ]
    for at, length, good in (("1", "3", True), ("4", "3", True), ("2", "4", False)):
        doc = simple(stock=board(flaws=[knot(at, "0", length, "1")]), cutaway=halves)
        assert codes(doc) == (set() if good else {"quality"})


def test_outlines_of_flaws() -> None:
    """The true shape of a flaw is what counts: a triangle fits where its box would not."""
    low = outlined("rot", ("10", "0"), ("25", "0"), ("17 1/2", "1 15/16"))
    assert codes(arched(low)) == set()
    assert codes(arched(knot("10", "0", "15", "1 15/16"))) == {"quality"}
    high = outlined("rot", ("10", "0"), ("25", "0"), ("17 1/2", "2 1/16"))
    assert codes(arched(high)) == {"quality"}


def test_turned_on_a_sheet() -> None:
    """A part whose length lies across a sheet: its end A is towards the far edge.

    20 x 10, arched on the near edge from 2 over 8, rising 2. Turned, it lies 10 along the sheet and
    20 across; its near edge is towards end A, its arch from 18 down to 10 across. Turned end for
    end, from 2 up to 10, on the side of end B; rolled over too, on that of end A.
    """
    cases = [
        ({}, "0", "13 1/2", True),
        ({}, "0", "5 1/2", False),
        ({}, "9", "13 1/2", False),
        ({"reversed": True}, "9", "5 1/2", True),
        ({"reversed": True}, "0", "5 1/2", False),
        ({"reversed": True, "flipped": True}, "0", "5 1/2", True),
        ({"flipped": True}, "9", "13 1/2", True),
        ({"flipped": True}, "9", "5 1/2", False),
    ]
    for use, at, across, good in cases:
        stock = sheet("P-1", "20", "30", flaws=[flaw("knot", at, across, "1", "1")])
        tree = x("10", y("20", blank("arc", turned=True, **use), WASTE), WASTE)
        piece = part(
            "arc",
            "20",
            "10",
            material=["birch plywood"],
            grain="width",
            cutaway=[arch("near", "2", "8", "2")],
        )
        doc = document([stock], [piece], [layout(stock, tree)])
        assert codes(doc) == (set() if good else {"quality"}), (use, at, across)


SQUARE = ((0, 0), (8, 0), (8, 8), (0, 8))
NOTCHED = ((0, 0), (8, 0), (8, 8), (4, 2), (0, 8))


@pytest.mark.parametrize(
    ("region", "shape", "inside"),
    [
        (SQUARE, SQUARE, True),
        (SQUARE, ((1, 1), (2, 1), (2, 2)), True),
        (SQUARE, ((1, 1), (9, 1), (2, 2)), False),
        (SQUARE, ((9, 9), (10, 9), (10, 10)), False),
        (NOTCHED, ((1, 0), (7, 0), (7, 1), (1, 1)), True),
        (NOTCHED, ((1, 0), (7, 0), (7, 4), (1, 4)), False),  # corners inside, the notch between
        (NOTCHED, ((0, 0), (8, 0), (4, 2)), True),  # touches the notch in its point
        (SQUARE, ((2, 2), (2, 2), (6, 2), (6, 2)), True),  # a split without width
        (NOTCHED, ((1, 5), (1, 5), (7, 5), (7, 5)), False),
        (SQUARE, ((0, 0), (8, 0), (8, 0), (0, 0)), True),
    ],
)
def test_polygons_in_polygons(region: Any, shape: Any, inside: bool) -> None:
    """A polygon is inside another when all of it is, its border included."""
    assert polygon_holds(region, shape) is inside
    assert polygon_holds(region[::-1], shape[::-1]) is inside


def test_a_region_with_a_hole() -> None:
    """An outline that runs round itself leaves its middle standing, as even-odd filling does."""
    ring = ((0, 0), (9, 0), (9, 9), (0, 9), (0, 0), (3, 3), (6, 3), (6, 6), (3, 6), (3, 3))
    assert polygon_holds(ring, ((1, 1), (2, 1), (2, 2)))
    assert not polygon_holds(ring, ((4, 4), (5, 4), (5, 5)))
    assert not polygon_holds(ring, ((1, 1), (8, 1), (8, 8), (1, 8)))


@pytest.mark.parametrize(
    ("cut", "code"),
    [
        (arch("near", "9", "30", "2"), "wrong-value"),  # past the end
        (arch("near", "2", "4", "2 1/16"), "wrong-value"),  # more than a half circle
        (arch("far", "2", "30", "3 1/2"), "wrong-value"),  # right across
        ({"arch": {"edge": "left", "start": 0, "span": 9, "rise": 1}}, "wrong-value"),
        ({"arch": {"edge": "near", "start": 0, "span": 0, "rise": 1}}, "wrong-value"),
        ({"arch": {"edge": "near", "start": 0, "span": 9}}, "missing-key"),
        ({"arch": 3}, "wrong-type"),
        ({"arch": {}, "outline": []}, "unknown-key"),
        ({}, "missing-key"),
        (7, "wrong-type"),
        (outline(("0", "0"), ("1", "0")), "wrong-value"),
        (outline(("0", "0"), ("39", "0"), ("1", "1")), "wrong-value"),
        ({"outline": [[0, 0], [9, 0], 3]}, "wrong-type"),
        ({"outline": [[0, 0], [9, 0], [9, Fraction(1, 3)]]}, "json"),
    ],
)
def test_cutaways_that_are_none(cut: Any, code: str) -> None:
    """A cutaway that is no region of its part is a fault of the document."""
    assert code in codes(arched(cut=cut))

"""Whether a blank is of the right stock, lies the right way round and is large enough."""

from typing import Any

import pytest

from tests.nester.verify.plans import (
    WASTE,
    Doc,
    Tree,
    blank,
    board,
    codes,
    document,
    layout,
    part,
    sheet,
    shop,
    simple,
    x,
    y,
)


@pytest.mark.parametrize(
    ("materials", "holds"),
    [
        (["walnut"], True),
        (["cherry", " Walnut "], True),
        (["WALNUT"], True),
        (["black walnut"], False),
        ([], False),
    ],
)
def test_material(materials: list[str], holds: bool) -> None:
    """The stock is of one of the part's materials; capitals and spaces do not matter."""
    assert codes(simple(material=materials)) == (set() if holds else {"material"})


def test_spaces_in_a_material_are_one() -> None:
    """A name of two words matches with any space between them."""
    stock = board(species="White  Oak")
    assert codes(simple(stock=stock, material=["white oak"])) == set()
    assert codes(simple(stock=stock, material=["whiteoak"])) == {"material"}


def test_only_from_and_not_from() -> None:
    """A part keeps to the stock it names and away from the stock it refuses."""
    listed: Doc = {"from": ["M-2", "M-1"]}
    other: Doc = {"from": ["M-2"]}
    assert codes(simple(**listed)) == set()
    assert codes(simple(**other)) == {"from"}
    assert codes(simple(not_from=["M-2"])) == set()
    assert codes(simple(not_from=["M-1"])) == {"not-from"}


def test_sawn() -> None:
    """A part that asks for quartered wood takes no other, nor wood of which it is not known."""
    assert codes(simple(stock=board(sawn="quarter"), sawn="quarter")) == set()
    assert codes(simple(stock=board(sawn="flat"), sawn="quarter")) == {"sawn"}
    assert codes(simple(sawn="quarter")) == {"sawn"}
    assert codes(simple(stock=board(sawn="flat"))) == set()


def on_sheet(tree: Tree, stock: Doc | None = None, **changes: Any) -> Doc:
    """Return a plan of one top, 40 x 20 x 3/4 unless changed, from a sheet of 96 x 48."""
    entry = stock or sheet()
    size = {"length": "40", "width": "20", "thickness": "3/4", **changes}
    top = part("top", material=["birch plywood"], **size)
    return document([entry], [top], [layout(entry, tree)])


ALONG = x("40", y("20", blank("top"), WASTE), WASTE)
ACROSS = x("20", y("40", blank("top", turned=True), WASTE), WASTE)


@pytest.mark.parametrize(
    ("thickness", "holds"),
    [
        ("3/4", True),  # as it is called
        ("18 mm", True),  # as it measures
        ("17.5 mm", True),
        ("17.496875 mm", False),
        ("18.5 mm", True),
        ("18.503125 mm", False),
        ("18.55 mm", True),  # half a millimetre below 3/4 in
        ("19.55 mm", True),
        ("19.553125 mm", False),
    ],
)
def test_thickness_of_a_sheet(thickness: str, holds: bool) -> None:
    """A part is as thick as the sheet measures or as it is called, within 0.5 mm."""
    assert codes(on_sheet(ALONG, thickness=thickness)) == (set() if holds else {"sheet-thickness"})


@pytest.mark.parametrize(
    ("of_sheet", "of_part", "turned", "holds"),
    [
        ("length", "length", False, True),
        ("length", "length", True, False),
        ("length", "width", False, False),
        ("length", "width", True, True),
        ("width", "length", False, False),
        ("width", "length", True, True),
        ("width", "width", False, True),
        ("width", "width", True, False),
        ("none", "length", False, True),
        ("none", "width", False, True),
        ("none", "length", True, True),
        ("length", "any", True, True),
        ("width", "any", False, True),
    ],
)
def test_grain_on_a_sheet(of_sheet: str, of_part: str, turned: bool, holds: bool) -> None:
    """The part's grain runs along the sheet's, where both have one."""
    doc = on_sheet(ACROSS if turned else ALONG, sheet(grain=of_sheet), grain=of_part)
    assert codes(doc) == (set() if holds else {"grain"})


@pytest.mark.parametrize(
    ("grain", "turned", "holds"),
    [
        ("length", False, True),
        ("length", True, False),
        ("any", False, True),
        ("any", True, False),
        ("width", True, True),
        ("width", False, False),
    ],
)
def test_grain_on_a_board(grain: str, turned: bool, holds: bool) -> None:
    """On a board the grain runs along; any means along, and width lies across."""
    tree = x("13", y("13", blank("front", turned=turned), WASTE), WASTE)
    used = shop(shortest_rip="0")
    stock = board(width="14")
    doc = simple(stock=stock, of=used, tree=tree, grain=grain, length="10", width="10")
    assert codes(doc) == (set() if holds else {"grain"})


@pytest.mark.parametrize(
    ("length", "width", "holds"),
    [
        ("38", "3 1/2", True),
        ("38 1/16", "3 1/2", False),
        ("38", "3 9/16", False),
        ("37 15/16", "3 7/16", True),
    ],
)
def test_size_on_a_board(length: str, width: str, holds: bool) -> None:
    """A blank of 39 x 3 3/4 is good for 38 x 3 1/2, and for nothing larger."""
    assert codes(simple(length=length, width=width)) == (set() if holds else {"size"})


def test_needed_size_rounds_up_to_the_grid() -> None:
    """37 31/32 in and 1 in allowance need 39; on a finer grid they would not."""
    tree = x("38 15/16", y("3 3/4", blank("front"), WASTE), WASTE)
    assert codes(simple(tree=tree, length="37 15/16")) == set()
    assert codes(simple(tree=tree, length="37 31/32")) == {"size"}


def test_joinery_is_added() -> None:
    """Tenons lengthen and widen the blank."""
    assert codes(simple(length="36", extra_length="2", width="3", extra_width="1/2")) == set()
    assert codes(simple(length="36", extra_length="2 1/16")) == {"size"}
    assert codes(simple(width="3", extra_width="9/16")) == {"size"}


def test_a_parts_own_allowance_overrides_the_shops() -> None:
    """A part may ask for more, for less, or for nothing."""
    assert codes(simple(length="39", blank_extra_length="0")) == set()
    assert codes(simple(length="37", blank_extra_length="2")) == set()
    assert codes(simple(length="37", blank_extra_length="2 1/16")) == {"size"}
    assert codes(simple(width="3 3/4", blank_extra_width="0")) == set()
    assert codes(simple(width="3 1/2", blank_extra_width="5/16")) == {"size"}


def test_s4s_needs_no_allowance_in_width() -> None:
    """Boards with four planed sides are not jointed, unless a part asks; they are squared."""
    planed = board(surface="S4S", thickness="3/4")
    assert codes(simple(stock=planed, width="3 3/4")) == set()
    assert codes(simple(stock=planed, width="3 3/4", length="38 1/16")) == {"size"}
    assert codes(simple(stock=planed, width="3 1/4", blank_extra_width="1/2")) == set()
    assert codes(simple(stock=planed, width="3 5/16", blank_extra_width="1/2")) == {"size"}
    assert codes(simple(stock=board(surface="S2S"), width="3 3/4")) == {"size"}


def test_shortest_milled() -> None:
    """A short part's blank is 12 in along the grain, however short the part."""
    tree = x("12", y("3 3/4", blank("front"), WASTE), WASTE)
    assert codes(simple(tree=tree, length="6")) == set()
    tree = x("11 15/16", y("3 3/4", blank("front"), WASTE), WASTE)
    assert codes(simple(tree=tree, length="6", of=shop(shortest_rip="0"))) == {"size"}


def test_shortest_milled_of_a_turned_part() -> None:
    """Along the grain is along the board: the width of a part that lies across."""
    stock = board(width="9")
    used = shop(shortest_rip="0")
    turned: Doc = {"grain": "width", "length": "8", "width": "6"}
    tree = x("12", blank("front", turned=True), WASTE)
    assert codes(simple(stock=stock, of=used, tree=tree, **turned)) == set()
    tree = x("11 15/16", blank("front", turned=True), WASTE)
    assert codes(simple(stock=stock, of=used, tree=tree, **turned)) == {"size"}


def test_a_turned_part_on_a_board_keeps_its_allowances() -> None:
    """Its length, which lies across, is 1 in longer, its width, along the board, 1/4 wider."""
    tree = x("13", blank("front", turned=True), WASTE)
    turned: Doc = {"grain": "width", "tree": tree}
    stock = board(width="9")
    assert codes(simple(stock=stock, length="8", width="12 3/4", **turned)) == set()
    assert codes(simple(stock=stock, length="8 1/16", width="12", **turned)) == {"size"}
    assert codes(simple(stock=stock, length="8", width="12 13/16", **turned)) == {"size"}


def test_size_on_a_sheet() -> None:
    """A sheet part is cut at its own size and its joinery, without allowance."""
    assert codes(on_sheet(ALONG)) == set()
    assert codes(on_sheet(ALONG, extra_length="1/16")) == {"size"}
    assert codes(on_sheet(ALONG, width="20 1/16")) == {"size"}
    assert codes(on_sheet(ALONG, length="39", extra_length="1", blank_extra_length="3")) == set()


def test_a_turned_part_on_a_sheet() -> None:
    """Turned, the part's length lies across the sheet: 40 in fit, a sixteenth more does not."""
    assert codes(on_sheet(ACROSS, grain="width")) == set()
    assert codes(on_sheet(ACROSS, grain="width", length="40 1/16")) == {"size"}
    assert codes(on_sheet(ACROSS, grain="width", width="20 1/16")) == {"size"}

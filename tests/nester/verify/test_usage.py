"""The stock items that the layouts cut up."""

from tests.nester.verify.plans import (
    WASTE,
    Doc,
    blank,
    board,
    codes,
    document,
    layout,
    mm,
    part,
    simple,
    x,
    y,
)


def twice(first: int, second: int, count: int) -> Doc:
    """Return a plan of two fronts from two copies of one stock item."""
    stock = board(count=count)
    layouts = [
        layout(stock, x("39", y("3 3/4", blank("front", number), WASTE), WASTE), copy)
        for number, copy in ((1, first), (2, second))
    ]
    return document([stock], [part("front", "38", "3 1/2", count=2)], layouts)


def test_each_copy_once() -> None:
    """Two of three boards may be any two, but not one of them twice."""
    assert codes(twice(1, 2, count=2)) == set()
    assert codes(twice(3, 1, count=3)) == set()
    assert codes(twice(2, 2, count=2)) == {"stock-twice"}


def test_no_more_than_there_are() -> None:
    """A copy past the count is a fault."""
    assert codes(twice(1, 2, count=1)) == {"stock-count"}
    assert codes(twice(1, 3, count=2)) == {"stock-count"}


def test_layouts_are_of_known_stock() -> None:
    """A layout of a board that the plan does not list is a fault, whatever its cuts."""
    doc = simple()
    doc["layouts"][0]["stock"] = "M-2"
    assert codes(doc) == {"unknown-stock"}


def test_layouts_say_what_the_stock_says() -> None:
    """Kind and sizes of a layout are its stock item's, the width that of the wider end."""
    for key in ("length", "width", "thickness"):
        doc = simple()
        doc["layouts"][0][key] += mm("1/16")
        assert codes(doc) == {"layout-stock"}
    doc = simple(stock=board(width=("5", "6")))
    assert "layout-stock" not in codes(doc)
    doc["layouts"][0]["width"] = mm("5")
    assert "layout-stock" in codes(doc)
    doc = simple()
    doc["layouts"][0]["kind"] = "sheet"
    assert "layout-stock" in codes(doc)

"""Stock written and read again is the same stock, in every format and both systems."""

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.length import INCH
from inventory.parse import Units
from inventory.readers.stock import read_stock
from inventory.stock import Board, Stock
from inventory.writers.stock import write_stock
from tests.inventory.strategies import racks

PLANK = Board("W-07", "walnut", 110 * INCH, 66 * INCH // 8, 60 * INCH // 8, 17 * INCH // 16, INCH)


@pytest.mark.parametrize("ending", [".toml", ".csv", ".tsv", ".xlsx"])
@settings(max_examples=40, deadline=None)
@given(stock=racks(), units=st.sampled_from(("in", "mm", None)))
def test_read_after_write_is_the_same(ending: str, stock: list[Stock], units: Units | None) -> None:
    """Whatever a rack holds, its file holds exactly."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"rack{ending}"
        write_stock(path, stock, units)
        again, issues = read_stock(path)
    assert [issue.line() for issue in issues if issue.severity.value == "error"] == []
    assert again == stock

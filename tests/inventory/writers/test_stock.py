"""Stock written and read again is the same stock, in every format and both systems."""

import tempfile
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.files import WriteError
from inventory.length import INCH, MM
from inventory.parse import Units
from inventory.readers.stock import read_stock
from inventory.stock import Board, Face, Flaw, FlawKind, Sheet, Stock
from inventory.writers.records import usual_units
from inventory.writers.stock import toml_text, write_stock
from tests.inventory.strategies import racks

PLANK = Board(
    "W-07",
    "walnut",
    110 * INCH,
    33 * INCH // 4,
    15 * INCH // 2,
    17 * INCH // 16,
    INCH,
    bow=INCH // 8,
    price=Fraction(23, 2),
    flaws=(
        Flaw(FlawKind.KNOT, 31 * INCH, 2 * INCH, 3 * INCH // 2, 5 * INCH // 4, note='"pin"'),
        Flaw(
            FlawKind.WANE,
            0,
            0,
            INCH,
            INCH,
            Face.B,
            outline=((0, 0), (INCH, 0), (0, INCH)),
        ),
    ),
)
PLY = Sheet("BP18", "ply", 2440 * MM, 1220 * MM, 18 * MM, 3 * INCH // 4, price=Fraction(100, 3))


@pytest.mark.parametrize("ending", [".toml", ".csv", ".tsv", ".xlsx"])
@settings(max_examples=15, deadline=None)
@given(stock=racks(), units=st.sampled_from(("in", "mm", None)))
def test_read_after_write_is_the_same(ending: str, stock: list[Stock], units: Units | None) -> None:
    """Whatever a rack holds, its file holds exactly."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"rack{ending}"
        write_stock(path, stock, units)
        again, issues = read_stock(path)
    assert [issue.line() for issue in issues if issue.severity.value == "error"] == []
    assert again == stock


def test_toml_reads_like_a_person_wrote_it() -> None:
    """One key a line, defaults left out, fractions as on the tape, other units said."""
    assert (
        toml_text([PLANK, PLY], "in")
        == """\
units = "in"

[[board]]
id = "W-07"
species = "walnut"
length = "110"
width = ["8 1/4", "7 1/2"]
thickness = "1 1/16"
sold_as = "4/4"
bow = "1/8"
price = 11.5
flaws = [
    {kind = "knot", x = "31", y = "2", length = "1 1/2", width = "1 1/4", note = "\\"pin\\""},
    {kind = "wane", outline = [["0", "0"], ["1", "0"], ["0", "1"]], face = "b"},
]

[[sheet]]
id = "BP18"
material = "ply"
length = "2440 mm"
width = "1220 mm"
thickness = "18 mm"
nominal = "3/4"
price = "100/3"
"""
    )


def test_csv_reads_like_a_spreadsheet(tmp_path: Path) -> None:
    """Only the columns that are used; flaws in a file beside."""
    write_stock(tmp_path / "rack.csv", [PLANK, PLY], "in")
    assert (tmp_path / "rack.csv").read_text() == (
        "kind,id,species,material,length,width,thickness,sold_as,bow,price,nominal,units\n"
        "board,W-07,walnut,,110,8 1/4; 7 1/2,1 1/16,4/4,1/8,11.5,,in\n"
        "sheet,BP18,,ply,2440 mm,1220 mm,18 mm,,,100/3,3/4,in\n"
    )
    assert (tmp_path / "rack.flaws.csv").read_text() == (
        "stock,kind,x,y,length,width,outline,face,note,units\n"
        'W-07,knot,31,2,1 1/2,1 1/4,,,"""pin""",in\n'
        "W-07,wane,,,,,0; 0 | 1; 0 | 0; 1,b,,in\n"
    )


def test_flaws_of_an_earlier_export_do_not_stay(tmp_path: Path) -> None:
    """Where the rack has no flaws any more, neither has the file beside."""
    path = tmp_path / "rack.csv"
    write_stock(path, [PLY])
    assert [file.name for file in tmp_path.iterdir()] == ["rack.csv"]
    write_stock(path, [PLANK])
    bare = replace(PLANK, flaws=())
    write_stock(path, [bare])
    assert read_stock(path) == ([bare], [])


def test_other_scripts_get_a_mark_that_spreadsheets_need(tmp_path: Path) -> None:
    """A byte-order mark stands only where the text is not plain ASCII."""
    path = tmp_path / "rack.csv"
    write_stock(path, [PLY])
    assert not path.read_bytes().startswith(b"\xef\xbb\xbf")
    write_stock(path, [replace(PLY, note="Küche")])
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")


def test_a_workbook_holds_texts_and_no_formulas(tmp_path: Path) -> None:
    """A fraction is no date, a note that begins with = no formula; prices can be summed."""
    path = tmp_path / "rack.xlsx"
    write_stock(path, [replace(PLANK, note="=1+1", count=2)], "in")
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["stock", "flaws"]
    head, row = book["stock"].values
    values = dict(zip(head, row, strict=True))
    assert values["bow"] == "1/8"
    assert values["note"] == "=1+1"
    assert (values["count"], values["price"]) == (2, 11.5)
    column = head.index("note") + 1
    assert book["stock"].cell(2, column).data_type == "s"
    assert read_stock(path)[0] == [replace(PLANK, note="=1+1", count=2)]


def test_the_usual_units() -> None:
    """A rack of metric sheets is written in millimetres, one of inch boards in inches."""
    assert usual_units([PLANK]) == "in"
    assert usual_units([PLY]) == "mm"
    assert usual_units([PLANK, replace(PLANK, length=96 * INCH), PLY]) == "in"
    both = replace(PLANK, length=100 * INCH, width_a=5 * INCH, width_b=5 * INCH)
    assert usual_units([both, both, PLY]) == "mm"
    assert usual_units([]) == "in"


@pytest.mark.parametrize("name", ["rack.toml", "rack.csv", "rack.xlsx"])
def test_an_empty_rack(tmp_path: Path, name: str) -> None:
    """A file of no stock is read as one, with a caution."""
    write_stock(tmp_path / name, [])
    stocks, issues = read_stock(tmp_path / name)
    assert stocks == []
    assert [issue.code for issue in issues] == ["no-stock"]


def test_where_nothing_can_be_written(tmp_path: Path) -> None:
    """An ending that tells no format, a folder that is not there: one line, nothing written."""
    with pytest.raises(WriteError) as caught:
        write_stock(tmp_path / "rack.ods", [PLY])
    assert str(caught.value) == (
        f'cannot write "{tmp_path}/rack.ods": the ending of its name does not tell the format; '
        "accepted: .toml, .csv, .tsv, .xlsx"
    )
    with pytest.raises(WriteError, match="no such file or directory; nothing was written"):
        write_stock(tmp_path / "none" / "rack.csv", [PLANK])
    assert list(tmp_path.iterdir()) == []

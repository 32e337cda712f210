"""Workbooks: values, places, and files that are not what they seem."""

import datetime
import io
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from inventory.issue import Issue, Severity
from inventory.readers import xlsx_file
from inventory.readers.xlsx_file import load_xlsx


def book(path: Path, **sheets: list[list[Any]]) -> Path:
    """Write a workbook of sheets of rows."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for title, rows in sheets.items():
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(row)
    made.save(path)
    return path


def test_values_and_cells(tmp_path: Path) -> None:
    """Numbers stay numbers, text is stripped, and each cell knows its name."""
    path = book(
        tmp_path / "rack.xlsx",
        Stock=[[], ["kind", "ID", "Length", "price"], ["board", " W-07 ", 23.375, 12], []],
        flaws=[["stock", "kind"], ["W-07", "knot"]],
    )
    tables, issues = load_xlsx(path, also=("flaws",))
    assert issues == []
    (row,) = tables[""].rows
    assert row.values == {"kind": "board", "id": "W-07", "length": 23.375, "price": 12}
    assert str(row.source("length")) == f"{path}:Stock!C3"
    assert str(tables["flaws"].header) == f"{path}:flaws!A1"


def test_a_fraction_that_became_a_date_stays_one(tmp_path: Path) -> None:
    """What a spreadsheet took for a date comes through as a date, for the field to refuse."""
    path = book(tmp_path / "a.xlsx", stock=[["length"], [datetime.datetime(2026, 4, 3)]])
    tables, _ = load_xlsx(path)
    assert tables[""].rows[0].values == {"length": datetime.datetime(2026, 4, 3)}


def test_a_formula_never_calculated_is_not_blank(tmp_path: Path) -> None:
    """A workbook written by a program has formulas without values; they are told, not skipped."""
    path = book(tmp_path / "a.xlsx", stock=[["id", "crook"], ["W-07", "=1/4"]])
    tables, _ = load_xlsx(path)
    assert tables[""].rows[0].values == {"id": "W-07", "crook": "=1/4"}


def test_another_sheet_is_mentioned(tmp_path: Path) -> None:
    """A sheet that is not read is a caution; an empty one is not worth a word."""
    path = book(tmp_path / "a.xlsx", stock=[["id"], ["1"]], Prices=[["oak", 3]], Sheet3=[])
    _, (issue,) = load_xlsx(path, also=("flaws",))
    assert issue.severity is Severity.CAUTION
    assert issue.line() == (
        f'{path}:Prices!A1: caution: this sheet is not read (found "Prices"); '
        'accepted: "stock" and "flaws"'
    )


def only_issue(path: Path) -> Issue:
    """Return the one issue of a file that gives no table."""
    tables, (issue,) = load_xlsx(path)
    assert tables == {}
    return issue


def test_an_empty_workbook(tmp_path: Path) -> None:
    """No row is an issue with the sheet named."""
    issue = only_issue(book(tmp_path / "a.xlsx", stock=[]))
    assert (issue.code, issue.value) == ("empty-file", "stock")


@pytest.mark.parametrize("content", [b"PK\x03\x04 broken", b"not a workbook at all", b"\0" * 100])
def test_what_is_no_workbook(tmp_path: Path, content: bytes) -> None:
    """Any other content is one plain line."""
    path = tmp_path / "a.xlsx"
    path.write_bytes(content)
    issue = only_issue(path)
    assert issue.line() == (
        f'{path}: this is not a readable workbook (found "{path}"); '
        "accepted: a workbook saved as .xlsx"
    )


def test_an_archive_of_something_else(tmp_path: Path) -> None:
    """A ZIP without a workbook in it is no workbook."""
    path = tmp_path / "a.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("hello.txt", "hello")
    assert only_issue(path).code == "not-xlsx"


def repacked(path: Path, name: str, content: bytes) -> Path:
    """Replace one member of a workbook, packed as tightly as it goes."""
    parts = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(parts, "w", zipfile.ZIP_DEFLATED) as new:
        for member in old.infolist():
            new.writestr(member.filename, content if member.filename == name else old.read(member))
    path.write_bytes(parts.getvalue())
    return path


def test_a_bomb_is_refused_before_it_unpacks(tmp_path: Path) -> None:
    """A small file that unpacks to more than the limit is not unpacked."""
    path = book(tmp_path / "a.xlsx", stock=[["id"], ["1"]])
    repacked(path, "xl/worksheets/sheet1.xml", b" " * (xlsx_file.MOST_UNPACKED + 1))
    assert path.stat().st_size < 100_000
    issue = only_issue(path)
    assert issue.code == "too-large"
    assert issue.message.startswith("unpacks to 50 MB")
    assert issue.accepted == "at most 50 MB, 5,000 members"


def test_a_directory_that_lies_about_sizes_gains_nothing(tmp_path: Path) -> None:
    """Where the archive's directory says less than there is, reading stops there."""
    path = book(tmp_path / "a.xlsx", stock=[["id"], ["1"]])
    big = b"<worksheet>" + b" " * 3_000_000
    repacked(path, "xl/worksheets/sheet1.xml", big)
    content = path.read_bytes()
    size = len(big).to_bytes(4, "little")
    assert content.count(size) == 2
    path.write_bytes(content.replace(size, (100).to_bytes(4, "little")))
    assert only_issue(path).code == "not-xlsx"


def test_entities_are_refused(tmp_path: Path) -> None:
    """A workbook has no need of entities, and those of a hostile one unfold without end."""
    path = book(tmp_path / "a.xlsx", stock=[["id"], ["1"]])
    repacked(path, "xl/workbook.xml", b'<!DOCTYPE a [<!ENTITY b "cc">]><workbook>&b;</workbook>')
    assert only_issue(path).message == "the workbook declares entities"


def with_rows(path: Path, rows: str) -> Path:
    """Write a workbook whose one sheet is the given XML, under a dimension of one cell."""
    book(path, stock=[["id"], ["1"]])
    sheet = (
        '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        '<dimension ref="A1:A1"/><sheetData>'
        '<row r="1"><c r="A1" t="inlineStr"><is><t>id</t></is></c></row>'
        f"{rows}</sheetData></worksheet>"
    )
    return repacked(path, "xl/worksheets/sheet1.xml", sheet.encode())


def test_what_a_sheet_says_of_its_size_is_not_believed(tmp_path: Path) -> None:
    """A dimension that is too small loses no row, however far down it stands."""
    path = with_rows(
        tmp_path / "a.xlsx",
        '<row r="2"><c r="A2"><v>7</v></c></row><row r="90000"><c r="A90000"><v>8</v></c></row>',
    )
    tables, issues = load_xlsx(path)
    assert issues == []
    assert [row.values for row in tables[""].rows] == [{"id": 7}, {"id": 8}]
    assert str(tables[""].rows[1].place) == f"{path}:stock!A90000"


@pytest.mark.parametrize(
    "rows",
    [
        '<row r="99999999999"><c r="A99999999999"><v>8</v></c></row>',
        "".join(f'<row r="{n}"><c r="XFD{n}"/></row>' for n in range(2, 402)),
    ],
)
def test_a_sheet_larger_than_any_sheet(tmp_path: Path, rows: str) -> None:
    """A row or column number beyond all bounds is refused, and soon."""
    path = with_rows(tmp_path / "a.xlsx", rows)
    assert only_issue(path).code == "not-xlsx"

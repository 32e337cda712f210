"""CSV as spreadsheets write it."""

from pathlib import Path

import pytest

from inventory.readers.csv_file import load_csv, parse_csv
from inventory.readers.tables import column_letters, column_name, companion, load_tables

PLAIN = 'kind,id,Sold as,note\nboard,W-07,4/4,"a ""fine"" one, wide"\nsheet,BP18,,\n'


@pytest.mark.parametrize(
    "text",
    [
        PLAIN,
        "\ufeff" + PLAIN,
        PLAIN.replace("\n", "\r\n"),
        'kind;id;Sold as;note\nboard;W-07;4/4;"a ""fine"" one, wide"\nsheet;BP18;;\n',
        'kind\tid\tSold as\tnote\nboard\tW-07\t4/4\t"a ""fine"" one, wide"\nsheet\tBP18\n',
        'sep=;\nkind;id;Sold as;note\nboard;W-07;4/4;"a ""fine"" one, wide"\nsheet;BP18;;\n',
        "\n" + PLAIN + ",,,\n\n",
    ],
)
def test_every_dialect_gives_the_same_rows(tmp_path: Path, text: str) -> None:
    """Comma, semicolon or tab, with or without a mark, with blank lines or a line "sep="."""
    path = tmp_path / "stock.csv"
    path.write_bytes(text.encode())
    table, issues = load_csv(path)
    assert issues == []
    assert table is not None
    assert table.columns == ("kind", "id", "sold_as", "note")
    assert [row.values for row in table.rows] == [
        {"kind": "board", "id": "W-07", "sold_as": "4/4", "note": 'a "fine" one, wide'},
        {"kind": "sheet", "id": "BP18"},
    ]
    assert table.decimal_comma is (";" in text)


def test_an_inch_mark_needs_no_quotes() -> None:
    """A lone inch mark at the end of a cell is part of the cell."""
    table, issues = parse_csv('id,length\nW-07,23 3/8"\nW-08,"23 3/8"""\n', "stock.csv")
    assert issues == []
    assert table is not None
    assert [row.values["length"] for row in table.rows] == ['23 3/8"', '23 3/8"']


def test_lines_are_counted_past_cells_of_several_lines() -> None:
    """A row has the line on which it begins."""
    table, _ = parse_csv('id,note\n1,"two\nlines"\n2,x\n', "stock.csv")
    assert table is not None
    assert [row.place.line for row in table.rows] == [2, 4]
    assert str(table.rows[1].source("note")) == "stock.csv:4"


@pytest.mark.parametrize(
    ("text", "line", "code", "found"),
    [
        ('id,note\n1,"open\n', 2, "csv-syntax", '1,"open'),
        ('id,note\n1,x\n2,"a"b\n', 3, "csv-syntax", '2,"a"b'),
        ("id,note\n1,x,more\n", 2, "stray-cell", "more"),
        ("id,note,ID\n1,x,2\n", 1, "duplicate-column", "id"),
        (",note\n1,x\n", 2, "stray-cell", "1"),
    ],
)
def test_broken_tables(text: str, line: int, code: str, found: str) -> None:
    """A quote left open, a cell too many, a column twice: each with its line and value."""
    _, issues = parse_csv(text, "stock.csv")
    (issue,) = issues
    assert (issue.code, issue.value) == (code, found)
    assert issue.source is not None
    assert issue.source.line == line


def test_nothing_but_commas_is_empty() -> None:
    """A file without one filled cell has no table."""
    table, (issue,) = parse_csv(",,,\n,,\n", "stock.csv")
    assert table is None
    assert issue.code == "empty-file"


def test_a_second_table_lies_beside(tmp_path: Path) -> None:
    """NAME.flaws.csv belongs to NAME.csv; where it is not there, there are no flaws."""
    path = tmp_path / "rack.csv"
    path.write_text("id\n1\n")
    assert companion(path, "flaws") == tmp_path / "rack.flaws.csv"
    tables, issues = load_tables(path, also=("flaws",))
    assert (list(tables), issues) == ([""], [])
    companion(path, "flaws").write_text("stock\n1\n")
    tables, issues = load_tables(path, also=("flaws",))
    assert (list(tables), issues) == (["", "flaws"], [])


def test_names_of_columns() -> None:
    """A heading is a key whatever its capitals, spaces and dashes; letters run past Z."""
    assert column_name(" Sold  As ") == "sold_as"
    assert column_name("blank-extra length") == "blank_extra_length"
    assert [column_letters(n) for n in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]


def test_a_cell_of_a_book_is_too_long() -> None:
    """More than Python reads into one cell is told as that, not as a missing quote."""
    table, issues = parse_csv("name,note\nrail," + "x" * 200_000 + "\n", "parts.csv")
    assert table is None
    (issue,) = issues
    assert (issue.code, issue.source.line if issue.source else None) == ("too-long", 2)
    assert issue.accepted == "at most 131,072 characters in a cell"

"""Tables of rows, each cell with its place, from CSV or XLSX.

``load_tables(path, also=("flaws",))`` goes by the file's ending and gives the main table under ""
and each further one that is there under its own name: ``NAME.flaws.csv`` beside ``NAME.csv``, or
the sheet "flaws". The first row not blank names the columns; a blank cell is a key not given.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from inventory.issue import Issue, Source, clipped

MOST_ROWS = 50_000
MOST_COLUMNS = 200

Cell: TypeAlias = object
"""A text, or from XLSX also an int, float, bool or date. Never blank."""


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one row that are not blank, by column name, and where they stand."""

    values: dict[str, Cell]
    place: Source
    places: dict[str, Source]

    def source(self, column: str | None = None) -> Source:
        """Return the place of a cell; of the row where the cell is blank or none is named."""
        return self.place if column is None else self.places.get(column, self.place)


@dataclass(frozen=True, slots=True)
class Table:
    """The rows under one line of column names."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    header: Source
    decimal_comma: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of raw cells, None where blank, before the column names are known."""

    cells: tuple[Cell | None, ...]
    number: int


@dataclass(frozen=True, slots=True)
class Places:
    """Names the place of a row or cell: a line of a text file, or a cell of a sheet."""

    file: str
    sheet: str | None = None

    def row(self, number: int) -> Source:
        """Return the place of row ``number``, counted from 1."""
        return self.cell(number, 0)

    def cell(self, number: int, column: int) -> Source:
        """Return the place of a cell; rows count from 1, columns from 0."""
        if self.sheet is None:
            return Source(self.file, number)
        return Source(self.file, cell=f"{self.sheet}!{column_letters(column)}{number}")


def load_tables(
    path: Path | str, also: tuple[str, ...] = ()
) -> tuple[dict[str, Table], list[Issue]]:
    """Read the tables of a CSV or XLSX file: the main one under "", further ones by name.

    A table with a fault in its own make-up is left out and its issues are returned.
    """
    if Path(path).suffix.lower() in (".xlsx", ".xlsm"):
        from inventory.readers.xlsx_file import load_xlsx

        return load_xlsx(path, also)
    from inventory.readers.csv_file import load_csv

    tables: dict[str, Table] = {}
    table, issues = load_csv(path)
    if table is not None:
        tables[""] = table
    for name in also:
        beside = companion(path, name)
        if beside.exists():
            table, faults = load_csv(beside, may_be_empty=True)
            issues += faults
            if table is not None:
                tables[name] = table
    return tables, issues


def companion(path: Path | str, name: str) -> Path:
    """Return the file of a further table: ``NAME.flaws.csv`` for ``NAME.csv``."""
    main = Path(path)
    return main.with_name(f"{main.stem}.{name}{main.suffix}")


def column_name(text: str) -> str:
    """Return a column's name as a key: "Sold as" is "sold_as"."""
    return "_".join(text.strip().lower().replace("-", " ").replace("_", " ").split())


def column_letters(index: int) -> str:
    """Return the letters of a spreadsheet column counted from 0: A, B … Z, AA …"""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def table_of(
    lines: list[Line], places: Places, *, decimal_comma: bool = False
) -> tuple[Table | None, list[Issue]]:
    """Return the table in raw ``lines``, None where it is empty, and the issues found."""
    used = [line for line in lines if any(cell is not None for cell in line.cells)]
    if not used:
        what = places.sheet or places.file
        where = Source(places.file)
        message = "there is no row in it"
        return None, [Issue("empty-file", message, what, "a row of column names", source=where)]
    head, *body = used
    columns, issues = _columns(head, places)
    if len(body) > MOST_ROWS:
        where = places.row(body[MOST_ROWS].number)
        accepted = f"at most {MOST_ROWS:,}"
        issues.append(Issue("too-large", "too many rows", f"{len(body):,}", accepted, source=where))
        return None, issues
    rows = []
    for line in body:
        row, faults = _row(line, columns, places)
        rows.append(row)
        issues += faults
    named = tuple(column for column in columns if column)
    return Table(named, tuple(rows), places.row(head.number), decimal_comma), issues


_TWICE = ""  # stands for a column whose name is taken


def _columns(head: Line, places: Places) -> tuple[list[str | None], list[Issue]]:
    columns: list[str | None] = []
    issues: list[Issue] = []
    for index, cell in enumerate(head.cells):
        name = column_name(str(cell)) if cell is not None else None
        where = places.cell(head.number, index)
        if index >= MOST_COLUMNS and name is not None:
            accepted = f"at most {MOST_COLUMNS}"
            issues.append(Issue("too-large", "too many columns", name, accepted, source=where))
            break
        if name and name in columns:
            message = "this column is there twice"
            issues.append(Issue("duplicate-column", message, name, "one of each", source=where))
            name = _TWICE
        columns.append(name)
    return columns, issues


def _row(line: Line, columns: list[str | None], places: Places) -> tuple[Row, list[Issue]]:
    values: dict[str, Cell] = {}
    where: dict[str, Source] = {}
    issues: list[Issue] = []
    for index, cell in enumerate(line.cells):
        if cell is None:
            continue
        name = columns[index] if index < len(columns) else None
        place = places.cell(line.number, index)
        if name is None:
            message = f"the cell in column {column_letters(index)} stands under no column name"
            accepted = "as many cells as column names"
            found = clipped(str(cell))
            issues.append(Issue("stray-cell", message, found, accepted, source=place))
        elif name != _TWICE:
            values[name] = cell
            where[name] = place
    return Row(values, places.row(line.number), where), issues

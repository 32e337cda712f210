"""Writing a stock file; the format goes by the file's ending, as in reading."""

import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from inventory.files import WriteError, write_together
from inventory.parse import Units
from inventory.readers.stock import STOCK_SUFFIXES
from inventory.readers.stock_fields import BOARD_KEYS, FLAW_KEYS, SHEET_KEYS
from inventory.readers.tables import companion
from inventory.stock import Board, Stock
from inventory.writers.records import Number, Record, Value, flaw_record, stock_record, usual_units

_COLUMNS = ("kind", *dict.fromkeys((*BOARD_KEYS, *SHEET_KEYS)), "units")
_FLAW_COLUMNS = ("stock", *FLAW_KEYS, "units")


def write_stock(path: Path | str, stocks: Sequence[Stock], units: Units | None = None) -> None:
    """Write boards and sheets to ``path``, so that ``read_stock`` gives the same back.

    Parameters
    ----------
    units
        The units of the file; None for those in which more of the stock is round.

    Raises
    ------
    WriteError
        Where the ending of the name tells no format, or the file cannot be written.
    """
    target = Path(path)
    suffix = target.suffix.lower()
    if suffix not in STOCK_SUFFIXES:
        endings = ", ".join(STOCK_SUFFIXES)
        message = "the ending of its name does not tell the format"
        raise WriteError(f'cannot write "{path}": {message}; accepted: {endings}')
    chosen = units or usual_units(list(stocks))
    if suffix == ".toml":
        write_together({target: toml_text(stocks, chosen).encode()})
    elif suffix == ".xlsx":
        write_together({target: _xlsx(_tables(stocks, chosen))})
    else:
        main, flaws = _tables(stocks, chosen)
        delimiter = "\t" if suffix == ".tsv" else ","
        files: dict[Path | str, bytes] = {target: _csv(*main, delimiter)}
        beside = companion(target, "flaws")
        if flaws[1] or beside.exists():
            files[beside] = _csv(*flaws, delimiter)
        write_together(files)


def toml_text(stocks: Iterable[Stock], units: Units) -> str:
    """Return a TOML stock file: one table for each piece, its flaws one line each."""
    import tomlkit

    parts = [f'units = "{units}"\n']
    for stock in stocks:
        table = tomlkit.table()
        for key, value in stock_record(stock, units).items():
            table.add(key, _toml_value(value))
        if stock.flaws:
            table.add("flaws", _toml_flaws([flaw_record(flaw, units) for flaw in stock.flaws]))
        heading = "board" if isinstance(stock, Board) else "sheet"
        parts.append(f"[[{heading}]]\n{table.as_string()}")
    return "\n".join(parts)


def _toml_flaws(records: list[Record]) -> Any:
    import tomlkit

    array = tomlkit.array().multiline(True)
    for record in records:
        line = tomlkit.inline_table()
        for key, value in record.items():
            line.add(key, _toml_value(value))
        array.append(line)
    return array


def _toml_value(value: Value) -> Any:
    import tomlkit

    if isinstance(value, Number):
        if value.is_ratio:
            return tomlkit.string(value.text)
        return tomlkit.float_(value.text) if "." in value.text else tomlkit.integer(value.text)
    if isinstance(value, tuple):
        array = tomlkit.array()
        for item in value:
            array.append(_toml_value(item))
        return array
    return tomlkit.item(value)


_Table = tuple[tuple[str, ...], list[Record]]


def _tables(stocks: Iterable[Stock], units: Units) -> tuple[_Table, _Table]:
    """Return the columns and records of the stock and of its flaws; empty columns left out."""
    rows: list[Record] = []
    flaws: list[Record] = []
    for stock in stocks:
        kind = "board" if isinstance(stock, Board) else "sheet"
        rows.append({"kind": kind, **stock_record(stock, units), "units": units})
        flaws += [
            {"stock": stock.id, **flaw_record(flaw, units), "units": units} for flaw in stock.flaws
        ]
    needed = ("kind", "id", "species", "material", "length", "width", "thickness")
    return (_used(_COLUMNS, rows, needed), rows), (
        _used(_FLAW_COLUMNS, flaws, ("stock", "kind")),
        flaws,
    )


def _used(columns: tuple[str, ...], rows: list[Record], needed: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(c for c in columns if c in needed or any(c in row for row in rows))


def _cell(value: Value) -> str:
    """Return a value as the text of a cell: members parted by semicolons, points by bars."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Number):
        return value.text
    if isinstance(value, tuple):
        parts = [item if isinstance(item, str) else "; ".join(item) for item in value]
        return ("; " if isinstance(value[0], str) else " | ").join(parts)
    return str(value)


def _csv(columns: tuple[str, ...], rows: list[Record], delimiter: str) -> bytes:
    """Return a table as CSV; with a byte-order mark where a spreadsheet would need one."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([_cell(row[column]) if column in row else "" for column in columns])
    written = text.getvalue()
    return written.encode("utf-8" if written.isascii() else "utf-8-sig")


def _xlsx(tables: tuple[_Table, _Table]) -> bytes:
    """Return a workbook of two sheets, lengths as text, so that no fraction becomes a date."""
    import openpyxl
    from openpyxl.cell.cell import WriteOnlyCell

    book = openpyxl.Workbook(write_only=True)
    for title, (columns, rows) in zip(("stock", "flaws"), tables, strict=True):
        sheet = book.create_sheet(title)
        sheet.freeze_panes = "A2"
        sheet.append(columns)
        for row in rows:
            cells: list[Any] = []
            for column in columns:
                value = row.get(column, "")
                if (number := _as_number(value)) is not None:
                    cells.append(number)
                    continue
                cell = WriteOnlyCell(sheet, _cell(value))
                cell.data_type, cell.number_format = "s", "@"
                cells.append(cell)
            sheet.append(cells)
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _as_number(value: Value) -> int | float | None:
    """Return a count or price as a spreadsheet's number, None where that would not be exact."""
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if isinstance(value, Number) and not value.is_ratio and len(value.text) <= 15:
        return float(value.text)
    return None

"""XLSX: the values of a workbook's sheets, read with care for what a small file may unpack to."""

import io
import warnings
import zipfile
from pathlib import Path
from typing import Any

from inventory.issue import Issue, Severity, Source
from inventory.readers.tables import Line, Places, Table, table_of
from inventory.readers.text import load_bytes

MOST_UNPACKED = 50_000_000
"""A workbook that unpacks to more bytes is refused, before anything is unpacked."""

MOST_MEMBERS = 5_000

_LAST_ROW = 1_048_576  # a sheet has no more
_MOST_CELLS = 3_000_000
_DOCTYPES = tuple("<!DOCTYPE".encode(code) for code in ("ascii", "utf-16-le", "utf-16-be"))
_ACCEPTED = "a workbook saved as .xlsx"


def load_xlsx(path: Path | str, also: tuple[str, ...] = ()) -> tuple[dict[str, Table], list[Issue]]:
    """Read the first sheet under "" and the sheets named in ``also`` under their names."""
    content = load_bytes(path)
    if isinstance(content, Issue):
        return {}, [content]
    refused = _unsafe(content, str(path))
    if refused is not None:
        return {}, [refused]
    try:
        sheets = _sheets(content)
    except Exception:  # a damaged workbook fails inside openpyxl in many ways
        return {}, [_issue(str(path), "not-xlsx", "this is not a readable workbook", _ACCEPTED)]
    return _tables(sheets, str(path), also)


def _unsafe(content: bytes, file: str) -> Issue | None:
    """Return why the archive must not be unpacked: no archive, too much in it, entities.

    The sizes in the archive's directory can be trusted as limits: ``zipfile`` never gives more of a
    member than its directory entry says.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            members = archive.infolist()
            unpacked = sum(member.file_size for member in members)
            if unpacked > MOST_UNPACKED or len(members) > MOST_MEMBERS:
                message = f"unpacks to {unpacked // 1_000_000:,} MB in {len(members):,} members"
                accepted = f"at most {MOST_UNPACKED // 1_000_000} MB, {MOST_MEMBERS:,} members"
                return _issue(file, "too-large", message, accepted)
            for member in members:
                if member.filename.lower().endswith((".xml", ".rels", ".vml")):
                    part = archive.read(member)
                    if any(mark in part for mark in _DOCTYPES):
                        return _issue(file, "not-xlsx", "the workbook declares entities", _ACCEPTED)
    except Exception:  # no archive, damaged, locked with a password, a method unknown here
        return _issue(file, "not-xlsx", "this is not a readable workbook", _ACCEPTED)
    return None


def _sheets(content: bytes) -> dict[str, list[Line]]:
    """Return the lines of every sheet that are not blank, the values as last calculated.

    What a sheet says of its own dimensions is not believed. A formula that was never calculated has
    no value; it comes back as its text, which no field accepts.
    """
    import openpyxl

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of parts of a workbook that do not matter here
        values = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        formulas = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=False)
        return {sheet.title: _lines(sheet, formulas[sheet.title]) for sheet in values.worksheets}


def _lines(sheet: Any, twin: Any) -> list[Line]:
    for each in (sheet, twin):
        each.reset_dimensions()
    lines = []
    cells_seen = 0
    rows = zip(sheet.iter_rows(values_only=True), twin.iter_rows(values_only=True), strict=True)
    for number, (row, formula_row) in enumerate(rows, start=1):
        cells_seen += len(row)
        if number > _LAST_ROW or cells_seen > _MOST_CELLS:
            raise ValueError("more cells than a sheet of stock can have")
        if formula_row.count(None) == len(row):
            continue
        cells = tuple(_cell(*pair) for pair in zip(row, formula_row, strict=True))
        if any(cell is not None for cell in cells):
            lines.append(Line(cells, number))
    return lines


def _cell(value: Any, formula: Any) -> Any:
    if value is None and isinstance(formula, str) and formula.startswith("="):
        return formula
    if isinstance(value, str):
        return value.strip() or None
    return value


def _tables(
    sheets: dict[str, list[Line]], file: str, also: tuple[str, ...]
) -> tuple[dict[str, Table], list[Issue]]:
    tables: dict[str, Table] = {}
    issues: list[Issue] = []
    main = next((title for title in sheets if title.strip().lower() not in also), None)
    if main is None:
        return {}, [_issue(file, "empty-file", "the workbook has no sheet of rows", _ACCEPTED)]
    for title, lines in sheets.items():
        name = "" if title == main else title.strip().lower()
        if title != main and (not lines or name not in also):
            if lines:
                issues.append(_not_read(file, title, main, also))
            continue
        table, faults = table_of(lines, Places(file, title))
        issues += faults
        if table is not None:
            tables[name] = table
    return tables, issues


def _not_read(file: str, title: str, main: str, also: tuple[str, ...]) -> Issue:
    names = " and ".join(f'"{name}"' for name in (main, *also))
    message = "this sheet is not read"
    where = Source(file, cell=f"{title}!A1")
    return Issue("unread-sheet", message, title, names, source=where, severity=Severity.CAUTION)


def _issue(file: str, code: str, message: str, accepted: str) -> Issue:
    return Issue(code, message, file, accepted, source=Source(file))

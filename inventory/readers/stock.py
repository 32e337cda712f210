"""Reading a stock file: boards and sheets with their flaws, and every fault of the file at once.

The format goes by the file's ending: TOML, CSV (comma, semicolon or tab) or XLSX. In CSV and XLSX
the flaws stand in a second table whose first column ``stock`` names the board: ``NAME.flaws.csv``
beside ``NAME.csv``, a second sheet "flaws". Decimals between two units of length round down.
"""

from dataclasses import replace
from pathlib import Path

from inventory.issue import Issue, Severity, Source
from inventory.parse import UNITS, Units
from inventory.readers.fields import Fields, check_columns, only
from inventory.readers.stock_fields import (
    BOARD_KEYS,
    FLAW_KEYS,
    SHEET_KEYS,
    board_of,
    flaw_of,
    sheet_of,
)
from inventory.readers.tables import Row, Table, load_tables
from inventory.readers.toml import TomlDocument, load_toml
from inventory.readers.values import nearest
from inventory.stock import Flaw, Stock

STOCK_SUFFIXES = (".toml", ".csv", ".tsv", ".xlsx")
"""The endings of files that stock is read from and written to."""

_TOML_KEYS = ("units", "board", "sheet")
_COLUMNS = ("kind", "units", *dict.fromkeys((*BOARD_KEYS, *SHEET_KEYS)))
_NEEDED = ("kind", "id", "length", "width", "thickness")
_FLAW_COLUMNS = ("stock", "units", *FLAW_KEYS)


def read_stock(path: Path | str) -> tuple[list[Stock], list[Issue]]:
    """Return the boards and sheets in the file ``path``, and the issues found in it.

    Never raises for what is in the file. A piece with a fault is left out; where any issue is an
    error, the pieces returned are not the whole file.
    """
    suffix = Path(path).suffix.lower()
    if suffix not in STOCK_SUFFIXES:
        message = "the ending of the file's name does not tell its format"
        accepted = ", ".join(STOCK_SUFFIXES)
        where = Source(str(path))
        return [], [Issue("unknown-format", message, str(path), accepted, source=where)]
    if suffix == ".toml":
        document, issues = load_toml(path)
        stocks = [] if document is None else stock_of_toml(document, issues)
    else:
        tables, issues = load_tables(path, also=("flaws",))
        stocks = stock_of_tables(tables, issues) if "" in tables else []
    if not stocks and not issues:
        message = "there is no board and no sheet in it"
        where = Source(str(path))
        issues.append(Issue("no-stock", message, source=where, severity=Severity.CAUTION))
    return stocks, issues


def stock_of_toml(document: TomlDocument, issues: list[Issue]) -> list[Stock]:
    """Return the stock in a TOML document, in its order; what is wrong is added to ``issues``."""
    top = Fields.of_toml(document, (), issues, units="in", round_up=False)
    top.known(*_TOML_KEYS)
    top.units = _units(top, "in")
    found: list[Stock] = []
    seen: dict[str, Source] = {}
    for key in ("board", "sheet"):
        for fields in top.tables(key, key):
            fields.label = ""
            stock = _piece(fields, key, ("flaws",))
            _unique(fields, seen)
            flaws = [flaw_of(flaw, stock) for flaw in _flaws(fields)]
            if stock is not None and not fields.faulty:
                found.append(replace(stock, flaws=tuple(flaw for flaw in flaws if flaw)))
    return sorted(found, key=_line)


def stock_of_tables(tables: dict[str, Table], issues: list[Issue]) -> list[Stock]:
    """Return the stock in the main table, with the flaws of the table "flaws"."""
    table = tables[""]
    absent = _check(table, _COLUMNS, _NEEDED, issues)
    if not {"species", "material"} & set(table.columns):
        message = 'there is no column "species" or "material"'
        names = ", ".join(table.columns)
        accepted = 'a column "species"'
        issues.append(Issue("missing-column", message, names, accepted, source=table.header))
        absent |= {"species", "material"}
    found: dict[str, Stock | None] = {}
    units: dict[str, Units] = {}
    seen: dict[str, Source] = {}
    for row in table.rows:
        fields = _row_fields(table, row, _COLUMNS, absent, issues)
        fields.units = _units(fields, "in")
        kind = fields.word("kind", ("board", "sheet"))
        stock = _piece(fields, kind, ("kind", "units"))
        if _unique(fields, seen) and fields.subject:
            found[fields.subject] = None if fields.faulty else stock
            units[fields.subject] = fields.units
    flaws: dict[str, list[Flaw]] = {}
    if "flaws" in tables:
        flaws = _flaws_by_stock(tables["flaws"], found, units, issues)
    return [
        replace(stock, flaws=tuple(flaws.get(name, ()))) for name, stock in found.items() if stock
    ]


def _piece(fields: Fields, kind: str, more: tuple[str, ...]) -> Stock | None:
    stock = board_of(fields) if kind == "board" else sheet_of(fields)
    fields.known(*(BOARD_KEYS if kind == "board" else SHEET_KEYS), *more)
    return stock


def _flaws(fields: Fields) -> list[Fields]:
    flaws = fields.tables("flaws", "flaw")
    for flaw in flaws:
        flaw.known(*FLAW_KEYS)
    return flaws


def _flaws_by_stock(
    table: Table,
    stocks: dict[str, Stock | None],
    units: dict[str, Units],
    issues: list[Issue],
) -> dict[str, list[Flaw]]:
    absent = _check(table, _FLAW_COLUMNS, ("stock", "kind"), issues)
    flaws: dict[str, list[Flaw]] = {}
    for row in table.rows:
        fields = _row_fields(table, row, _FLAW_COLUMNS, absent, issues)
        fields.subject = name = fields.name("stock")
        fields.units = _units(fields, units.get(name, "in"))
        if name and name not in stocks:
            near = nearest(name, list(stocks))
            accepted = f'"{near}" is the nearest id' if near else "an id of the first table"
            fields.fault("unknown-stock", "stock", "there is no such piece", name, accepted)
        flaw = flaw_of(fields, stocks.get(name))
        if flaw is not None:
            flaws.setdefault(name, []).append(flaw)
    return flaws


def _check(
    table: Table, known: tuple[str, ...], needed: tuple[str, ...], issues: list[Issue]
) -> frozenset[str]:
    absent, faults = check_columns(table, known, needed)
    issues += faults
    return absent


def _row_fields(
    table: Table, row: Row, known: tuple[str, ...], absent: frozenset[str], issues: list[Issue]
) -> Fields:
    return Fields.of_row(
        only(row, known),
        issues,
        units="in",
        round_up=False,
        decimal_comma=table.decimal_comma,
        reported=absent,
    )


def _units(fields: Fields, default: Units) -> Units:
    word = fields.word_or("units", UNITS, default)
    return "mm" if word == "mm" else "in"


def _unique(fields: Fields, seen: dict[str, Source]) -> bool:
    """Return whether the id has not been used before in the file."""
    name = fields.subject
    if name is None:
        return True
    if name in seen:
        message = f"used already at {seen[name]}"
        fields.fault("duplicate-id", "id", message, name, "an id of its own for each piece")
        return False
    seen[name] = fields.source()
    return True


def _line(stock: Stock) -> int:
    return stock.source.line or 0 if stock.source else 0

"""CSV as spreadsheets write it.

Parted by commas, semicolons or tabs (the first line tells), with or without a byte-order mark, with
or without a first line ``sep=;``. Where semicolons part the cells, a decimal comma is read.
"""

import csv
import io
from pathlib import Path

from inventory.issue import Issue, Source
from inventory.readers.tables import Line, Places, Table, table_of
from inventory.readers.text import load_text


def load_csv(path: Path | str, *, may_be_empty: bool = False) -> tuple[Table | None, list[Issue]]:
    """Read the CSV file ``path``: its table, or None and the issues that stand against it."""
    text = load_text(path)
    if isinstance(text, Issue):
        return None, [] if may_be_empty and text.code == "empty-file" else [text]
    return parse_csv(text, str(path))


def parse_csv(text: str, file: str) -> tuple[Table | None, list[Issue]]:
    """Return the table in ``text``, and the issues found on the way."""
    delimiter, skipped = _delimiter(text)
    lines: list[Line] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    before = 0
    try:
        for cells in reader:
            begins, before = before + 1, reader.line_num
            if begins > skipped:
                lines.append(Line(tuple(cell.strip() or None for cell in cells), begins))
    except csv.Error as error:
        rows = text.splitlines()
        found = rows[before] if before < len(rows) else ""
        source = Source(file, before + 1)
        if "field limit" in str(error):
            most = f"at most {csv.field_size_limit():,} characters in a cell"
            return None, [Issue("too-long", "a cell is too long", found, most, source=source)]
        accepted = 'a quote inside a quoted cell written twice, as in "23 3/8"""'
        return None, [Issue("csv-syntax", f"not CSV: {error}", found, accepted, source=source)]
    return table_of(lines, Places(file), decimal_comma=delimiter == ";")


def _delimiter(text: str) -> tuple[str, int]:
    """Return what parts the cells, and how many lines to pass over before the column names."""
    first = next(line for line in text.splitlines() if line.strip())
    if first.lower().startswith("sep=") and len(first) == 5:
        return first[4], 1
    outside = "".join(first.split('"')[::2])
    return max(",;\t", key=outside.count), 0

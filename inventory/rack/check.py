"""The rack's own integrity: the file, the records, and the ledger that they are the sum of."""

import sqlite3

from inventory.issue import Issue, Severity, Source
from inventory.rack.state import StateError, stock_of
from inventory.readers.stock import stock_of_toml
from inventory.readers.toml import parse_toml
from inventory.stock import Stock


def check(connection: sqlite3.Connection, path: str) -> list[Issue]:
    """Return all that is wrong; the caller holds a transaction, so that nothing moves meanwhile."""
    try:
        issues = _file_issues(connection, path)
        if not issues:
            issues = [*_record_issues(connection, path), *_ledger_issues(connection, path)]
    except sqlite3.OperationalError:  # not of the file: it is held by another process, and so on
        raise
    except sqlite3.DatabaseError as error:
        issues = [Issue("rack-damaged", f"the file is damaged: {error}", source=Source(path))]
    return issues


def _file_issues(connection: sqlite3.Connection, path: str) -> list[Issue]:
    issues = []
    for (message,) in connection.execute("PRAGMA integrity_check(20)"):
        if message != "ok":
            issues.append(
                Issue("rack-damaged", f"the file is damaged: {message}", source=Source(path))
            )
    for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check"):
        message = f"row {row} of {table} points at nothing in {parent}"
        issues.append(Issue("rack-damaged", message, source=Source(path)))
    return issues


def _record_issues(connection: sqlite3.Connection, path: str) -> list[Issue]:
    """Return the records that are no valid stock: each must pass through a stock file unchanged."""
    from inventory.writers.stock import toml_text

    issues: list[Issue] = []
    for name, state in connection.execute("SELECT id, state FROM stock ORDER BY place"):
        try:
            stock = stock_of(state)
        except StateError as error:
            issues.append(_issue("rack-record", f"the record is {error}", name, path))
            continue
        if stock.id != name:
            message = f'the record names the piece "{stock.id}"'
            issues.append(_issue("rack-record", message, name, path))
        issues += _faults(stock, toml_text([stock], "in"), path)
    return issues


def _faults(stock: Stock, text: str, path: str) -> list[Issue]:
    document = parse_toml(text, path)
    if isinstance(document, Issue):
        return [_issue("rack-record", "the record cannot be written to a file", stock.id, path)]
    found: list[Issue] = []
    again = stock_of_toml(document, found)
    faults = [
        Issue(issue.code, issue.message, issue.value, issue.accepted, stock.id, Source(path))
        for issue in found
        if issue.severity is Severity.ERROR
    ]
    if not faults and again != [stock]:
        message = "the record does not pass through a stock file unchanged"
        faults.append(_issue("rack-record", message, stock.id, path))
    return faults


def _ledger_issues(connection: sqlite3.Connection, path: str) -> list[Issue]:
    """Return where the changes do not follow from each other, or do not add up to the stock."""
    issues: list[Issue] = []
    states: dict[str, tuple[str, int]] = {}
    rows = connection.execute("SELECT entry, id, before, after FROM changes ORDER BY entry, rowid")
    for entry, name, before, after in rows:
        if before != states.get(name, (None, 0))[0]:
            message = f"entry {entry} of the ledger does not follow from the one before it"
            issues.append(_issue("rack-ledger", message, name, path))
        if after is None:
            states.pop(name, None)
        else:
            states[name] = (after, entry)
    held = {
        name: (state, entry)
        for name, state, entry in connection.execute("SELECT id, state, entry FROM stock")
    }
    for name in sorted(states.keys() | held.keys()):
        if states.get(name) != held.get(name):
            message = "the piece is not what the ledger makes of it"
            issues.append(_issue("rack-ledger", message, name, path))
    return issues


def _issue(code: str, message: str, name: str, path: str) -> Issue:
    return Issue(code, message, subject=name, source=Source(path))

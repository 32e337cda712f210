"""The tables of a rack, and every change to them in order.

A rack's ``user_version`` is how many of ``MIGRATIONS`` it has been through. They run in one
transaction with the new number, so a rack is never between two of them. To change a table, add a
function at the end; never edit one that has been shipped.
"""

import sqlite3
from collections.abc import Callable

APPLICATION = 0x6E727631
"""Marks an SQLite file as a rack ("nrv1")."""


def _first(connection: sqlite3.Connection) -> None:
    """The ledger, the changes each entry made, and where they leave every piece.

    ``state`` is a piece of stock as text (``inventory.rack.state``). ``stock`` is the sum of the
    changes, kept beside them so that reading is quick; the rack's own check compares the two.
    """
    connection.execute(
        """
        CREATE TABLE entries (
            number INTEGER PRIMARY KEY,
            made TEXT NOT NULL,
            command TEXT NOT NULL,
            note TEXT NOT NULL
        ) STRICT
        """
    )
    connection.execute(
        """
        CREATE TABLE changes (
            entry INTEGER NOT NULL REFERENCES entries (number),
            id TEXT NOT NULL,
            before TEXT,
            after TEXT,
            PRIMARY KEY (entry, id)
        ) STRICT
        """
    )
    connection.execute(
        """
        CREATE TABLE stock (
            id TEXT PRIMARY KEY,
            place INTEGER NOT NULL UNIQUE,
            state TEXT NOT NULL,
            entry INTEGER NOT NULL REFERENCES entries (number)
        ) STRICT
        """
    )
    connection.execute("CREATE INDEX changes_by_id ON changes (id, entry)")


MIGRATIONS: tuple[Callable[[sqlite3.Connection], None], ...] = (_first,)


def version_of(connection: sqlite3.Connection) -> int:
    """Return how many migrations the open file has been through."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def migrate(connection: sqlite3.Connection) -> None:
    """Bring the open file up to date; the caller holds the transaction."""
    for number, change in enumerate(MIGRATIONS[version_of(connection) :], version_of(connection)):
        change(connection)
        connection.execute(f"PRAGMA user_version = {number + 1}")
    connection.execute(f"PRAGMA application_id = {APPLICATION}")

"""The rack: opened, read and written, one transaction a command.

Two processes may use a rack at once. Whoever writes takes the lock before reading what the change
rests on, and waits for the other; whoever reads sees a rack before or after a change.
"""

import os
import sqlite3
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from inventory.issue import Issue, Source
from inventory.rack.check import check
from inventory.rack.migrations import APPLICATION, MIGRATIONS, migrate, version_of
from inventory.rack.records import Entry, LoadReport, RackError
from inventory.rack.state import StateError, state_of, stock_of
from inventory.stock import Stock

OLDEST_SQLITE = (3, 37)
"""Strict tables came with SQLite 3.37."""

_WAIT = 10.0  # seconds for another process to finish


class Rack:
    """An open rack. Use it in a ``with`` statement, or call ``close``."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self._connection = connection
        self.path = path

    @classmethod
    def open(cls, path: Path | str, *, create: bool = False) -> Self:
        """Open the rack in the file ``path``; ``create`` makes it and its folder where missing.

        Raises
        ------
        RackError
            Where there is none, the file is no rack or damaged, or was made by a newer version.
        """
        file = Path(path)
        if sqlite3.sqlite_version_info < OLDEST_SQLITE:
            message = f"SQLite 3.37 or newer is needed, this Python has {sqlite3.sqlite_version}"
            raise RackError(message)
        with _told(file):
            if create:
                if file.parent.exists() and not file.parent.is_dir():
                    raise RackError(f'no rack can lie in "{file.parent}": that is no folder')
                file.parent.mkdir(parents=True, exist_ok=True)
            elif not file.exists():
                raise RackError(f'there is no rack "{file}" yet: load stock into it first')
            if (kind := _no_plain_file(file)) is not None:
                raise RackError(f'"{file}" is {kind}, not a rack')
            new = not file.exists()
            mode = "rwc" if create else "rw"
            try:
                connection = sqlite3.connect(
                    f"{file.absolute().as_uri()}?mode={mode}",
                    timeout=_WAIT,
                    isolation_level=None,
                    uri=True,
                )
            except sqlite3.OperationalError:
                _open_plainly(file, new)  # SQLite says only that it cannot; the system says why
                raise
            rack = cls(connection, file)
            try:
                rack._prepare(create)
            except BaseException as error:
                connection.close()
                if new and "disk is full" in str(error):
                    _remove_empty(file)
                raise
        return rack

    def close(self) -> None:
        """Close the file."""
        self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Do all that is done within, or none of it; others who would write wait.

        Raises
        ------
        RackError
            Where another process holds the rack too long, or the disk is full or read-only.
        """
        with _told(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise

    def all(self) -> list[Stock]:
        """Return every piece on the rack, in the order in which they came."""
        with _told(self.path):
            rows = self._connection.execute("SELECT state FROM stock ORDER BY place").fetchall()
        return [self._stock(state) for (state,) in rows]

    def get(self, name: str) -> Stock | None:
        """Return the piece with the id ``name``, None where there is none."""
        state = self._state(name)
        return None if state is None else self._stock(state)

    def load(self, stocks: Iterable[Stock], note: str = "") -> LoadReport:
        """Put pieces on the rack; one whose id is there already is replaced.

        What is there already and the same is left alone, and a load that changes nothing leaves no
        entry. ``note`` is kept with the entry (the files it came from).

        Raises
        ------
        ValueError
            Where two of the pieces have one id.
        RackError
            Where the rack cannot be written.
        """
        stocks = list(stocks)
        if len({stock.id for stock in stocks}) < len(stocks):
            raise ValueError("two pieces of stock have one id")
        new: list[str] = []
        changed: list[str] = []
        unchanged: list[str] = []
        after: dict[str, Stock | None] = {}
        with self.transaction():
            for stock in stocks:
                before = self._state(stock.id)
                if before == state_of(stock):
                    unchanged.append(stock.id)
                    continue
                (new if before is None else changed).append(stock.id)
                after[stock.id] = stock
            if after:
                self.post("load", note, after)
        return LoadReport(tuple(new), tuple(changed), tuple(unchanged))

    def post(self, command: str, note: str, after: dict[str, Stock | None]) -> int:
        """Write one entry into the ledger and return its number; call it within a transaction.

        ``after`` gives for each id what it has become, None where it is gone.
        """
        made = datetime.now(UTC).isoformat(timespec="seconds")
        entry = self._connection.execute(
            "INSERT INTO entries (made, command, note) VALUES (?, ?, ?)", (made, command, note)
        ).lastrowid
        assert entry is not None
        for name, stock in after.items():
            state = None if stock is None else state_of(stock)
            self._connection.execute(
                "INSERT INTO changes (entry, id, before, after) VALUES (?, ?, ?, ?)",
                (entry, name, self._state(name), state),
            )
            if state is None:
                self._connection.execute("DELETE FROM stock WHERE id = ?", (name,))
            else:
                self._connection.execute(
                    """
                    INSERT INTO stock (id, place, state, entry)
                    VALUES (?, (SELECT coalesce(max(place), 0) + 1 FROM stock), ?, ?)
                    ON CONFLICT (id) DO UPDATE SET state = excluded.state, entry = excluded.entry
                    """,
                    (name, state, entry),
                )
        return entry

    def entries(self) -> list[Entry]:
        """Return the ledger's entries, oldest first."""
        query = "SELECT number, made, command, note FROM entries ORDER BY number"
        with _told(self.path):
            return [Entry(*row) for row in self._connection.execute(query)]

    def check(self) -> list[Issue]:
        """Return what is wrong with the rack itself: the file, the records, the ledger."""
        with _told(self.path):
            self._connection.execute("BEGIN")
            try:
                return check(self._connection, str(self.path))
            finally:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")

    def _prepare(self, create: bool) -> None:
        """Make sure that the file is a rack of this version."""
        self._connection.execute("PRAGMA foreign_keys = ON")
        if self._is_blank():
            if not create:
                raise RackError(f'"{self.path}" is empty, not a rack')
        else:
            (application,) = self._connection.execute("PRAGMA application_id").fetchone()
            if application != APPLICATION:
                raise RackError(f'"{self.path}" is a database, but not a rack')
        if version_of(self._connection) > len(MIGRATIONS):
            raise RackError(f'the rack "{self.path}" was made by a newer version of this program')
        if version_of(self._connection) < len(MIGRATIONS):
            with self.transaction():
                migrate(self._connection)

    def _is_blank(self) -> bool:
        query = "SELECT count(*) FROM sqlite_schema"
        return version_of(self._connection) == 0 and self._connection.execute(query).fetchone() == (
            0,
        )

    def _state(self, name: str) -> str | None:
        with _told(self.path):
            query = "SELECT state FROM stock WHERE id = ?"
            row = self._connection.execute(query, (name,)).fetchone()
        return None if row is None else str(row[0])

    def _stock(self, state: str) -> Stock:
        try:
            return stock_of(state, Source(str(self.path)))
        except StateError as error:
            raise RackError(
                f'the rack "{self.path}" holds a record that cannot be read ({error}); '
                '"nester stock check" tells more'
            ) from error


def _remove_empty(file: Path) -> None:
    """Remove the empty file that is left where there was no room for a new rack."""
    with suppress(OSError):
        if file.stat().st_size == 0:
            file.unlink()


def _open_plainly(file: Path, new: bool) -> None:
    """Open a file as the system does, which says why not; what is ``new`` goes again."""
    os.close(os.open(file, os.O_RDWR | os.O_CREAT if new else os.O_RDONLY))
    if new:
        _remove_empty(file)


def _no_plain_file(file: Path) -> str | None:
    """Return what a path is where it is there and no plain file."""
    try:
        mode = file.stat().st_mode
    except FileNotFoundError:
        return None
    if stat.S_ISREG(mode):
        return None
    kinds = ((stat.S_ISDIR, "a directory"), (stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"))
    return next((name for test, name in kinds if test(mode)), "a device")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Turn what the system or SQLite says into one plain line."""
    try:
        yield
    except sqlite3.Error as error:
        raise RackError(_in_words(str(error), path)) from error
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise RackError(f'the rack "{path}" cannot be used: {why}') from error


def _in_words(message: str, path: Path) -> str:
    for sign, words in _WORDS.items():
        if sign in message:
            return words.format(path=path)
    return f'the rack "{path}" cannot be used: {message}'


_WORDS = {
    "not a database": '"{path}" is not a rack',
    "malformed": 'the rack "{path}" is damaged; go back to a copy of it',
    "no such table": 'the rack "{path}" is damaged; go back to a copy of it',
    "no such column": 'the rack "{path}" is damaged; go back to a copy of it',
    "locked": 'the rack "{path}" is held by another program; nothing was changed, try again',
    "disk is full": 'the rack "{path}" cannot be written: the disk is full; nothing was changed',
    "readonly": 'the rack "{path}" may not be written to; nothing was changed',
    "unable to open": 'the rack "{path}" cannot be opened',
    "disk I/O": 'the rack "{path}" cannot be used: the disk fails; nothing was changed',
}

"""The rack: loading, reading, and all that can happen to the file."""

import multiprocessing
import os
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from inventory.length import INCH
from inventory.rack import LoadReport, Rack, RackError
from inventory.rack import store as store_module
from inventory.rack.migrations import MIGRATIONS
from inventory.stock import Board, Flaw, FlawKind, Sheet, Stock
from tests.inventory.strategies import racks

OAK = Board("O-1", "oak", 96 * INCH, 8 * INCH, 7 * INCH, INCH, INCH)
PLY = Sheet("P-1", "birch plywood", 96 * INCH, 48 * INCH, 5760, 3 * INCH // 4, count=3)


def opened(folder: Path) -> Rack:
    """Return the rack in a folder, made where it is missing."""
    return Rack.open(folder / "rack.db", create=True)


def test_loading_twice_does_not_double(tmp_path: Path) -> None:
    """It says what is new, changed and unchanged; a load without change leaves no entry."""
    with opened(tmp_path) as rack:
        assert rack.load([OAK, PLY], "a.toml") == LoadReport(new=("O-1", "P-1"))
        assert rack.load([OAK, PLY], "a.toml") == LoadReport(unchanged=("O-1", "P-1"))
        knot = Flaw(FlawKind.KNOT, 0, 0, INCH, INCH)
        changed = replace(OAK, flaws=(knot,))
        new = replace(OAK, id="O-2")
        assert rack.load([new, changed, PLY]) == LoadReport(("O-2",), ("O-1",), ("P-1",))
        assert rack.all() == [changed, PLY, new]
        assert [entry.note for entry in rack.entries()] == ["a.toml", ""]
    with opened(tmp_path) as again:
        assert again.all() == [changed, PLY, new]
        assert again.get("O-1") == changed
        assert again.get("o-1") is None
        assert again.check() == []


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(stock=racks())
def test_what_goes_in_comes_out(tmp_path: Path, stock: list[Stock]) -> None:
    """Any stock is kept exactly, in its order, and the rack is sound with it."""
    (tmp_path / "rack.db").unlink(missing_ok=True)
    with opened(tmp_path) as rack:
        rack.load(stock)
        assert rack.all() == stock
        assert rack.check() == []


def test_a_piece_that_is_gone(tmp_path: Path) -> None:
    """An entry can take a piece away; the ledger keeps what it was, and an id can come back."""
    with opened(tmp_path) as rack:
        rack.load([OAK, PLY])
        with rack.transaction():
            assert rack.post("cut", "plan.json", {"O-1": None}) == 2
        assert rack.all() == [PLY]
        assert rack.check() == []
        rack.load([OAK])
        assert rack.all() == [PLY, OAK]
        assert rack.check() == []


def test_all_or_nothing(tmp_path: Path) -> None:
    """A command that is interrupted half way leaves the rack as it was."""
    with opened(tmp_path) as rack:
        rack.load([OAK])

        def interrupted() -> None:
            with rack.transaction():
                rack.post("load", "", {"P-1": PLY})
                raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            interrupted()
        assert rack.all() == [OAK]
        assert len(rack.entries()) == 1
        with pytest.raises(ValueError, match="two pieces of stock have one id"):
            rack.load([OAK, OAK])


def _load_many(path: str, name: str, ready: object) -> None:
    ready.wait()  # type: ignore[attr-defined]
    for number in range(20):
        with Rack.open(path, create=True) as rack:
            rack.load([replace(OAK, id=f"{name}-{number}"), replace(PLY, note=f"{name}{number}")])


def test_two_processes_at_once(tmp_path: Path) -> None:
    """Both make the rack and load into it at the same time; nothing is lost and nothing breaks."""
    context = multiprocessing.get_context("spawn")
    ready = context.Barrier(2)
    path = tmp_path / "rack.db"
    workers = [
        context.Process(target=_load_many, args=(str(path), name, ready)) for name in ("A", "B")
    ]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join(60)
    assert [worker.exitcode for worker in workers] == [0, 0]
    with Rack.open(path) as rack:
        names = {stock.id for stock in rack.all()}
        assert names == {"P-1", *(f"{name}-{n}" for name in "AB" for n in range(20))}
        assert len(rack.entries()) == 40
        assert rack.check() == []


def told(path: Path, *, create: bool = False) -> str:
    """Return the one line that opening a file as a rack ends with."""
    with pytest.raises(RackError) as caught:
        Rack.open(path, create=create)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_what_is_no_rack(tmp_path: Path) -> None:
    """Missing, a directory, another file, another database, an empty file: one line each."""
    missing = tmp_path / "none.db"
    assert told(missing) == f'there is no rack "{missing}" yet: load stock into it first'
    assert not missing.exists()
    assert told(tmp_path) == f'"{tmp_path}" is a directory, not a rack'
    other = tmp_path / "stock.toml"
    other.write_text("units = 'in'\n" * 200)
    assert told(other, create=True) == f'"{other}" is not a rack'
    empty = tmp_path / "empty.db"
    empty.touch()
    assert told(empty) == f'"{empty}" is empty, not a rack'
    database = tmp_path / "songs.db"
    connection = sqlite3.connect(database)
    connection.execute("CREATE TABLE songs (name TEXT)")
    connection.commit()
    connection.close()
    assert told(database, create=True) == f'"{database}" is a database, but not a rack'
    below = other / "rack.db"
    assert told(below, create=True) == f'no rack can lie in "{other}": that is no folder'


def test_pipes_and_devices_are_no_rack(tmp_path: Path) -> None:
    """Each is told for what it is, and a pipe is not waited on."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for create in (False, True):
        assert told(pipe, create=create) == f'"{pipe}" is a pipe, not a rack'
        for device in ("/dev/null", "/dev/full"):
            assert told(Path(device), create=create) == f'"{device}" is a device, not a rack'


def test_a_rack_without_its_tables_is_damaged(tmp_path: Path) -> None:
    """A table that somebody dropped is told as damage, not in the words of the database."""
    opened(tmp_path).close()
    path = tmp_path / "rack.db"
    connection = sqlite3.connect(path)
    connection.execute("DROP TABLE stock")
    connection.commit()
    connection.close()
    with Rack.open(path) as rack, pytest.raises(RackError) as caught:
        rack.all()
    assert str(caught.value) == f'the rack "{path}" is damaged; go back to a copy of it'


def test_a_rack_of_a_newer_version(tmp_path: Path) -> None:
    """It is not touched."""
    opened(tmp_path).close()
    path = tmp_path / "rack.db"
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA user_version = {len(MIGRATIONS) + 1}")
    connection.close()
    assert told(path) == f'the rack "{path}" was made by a newer version of this program'


def test_an_older_rack_is_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A further migration runs once, in order, and one that fails leaves the rack as it was."""
    with opened(tmp_path) as rack:
        rack.load([OAK])

    def add(connection: sqlite3.Connection) -> None:
        connection.execute("CREATE TABLE shelves (name TEXT) STRICT")

    def fail(connection: sqlite3.Connection) -> None:
        connection.execute("CREATE TABLE broken (name TEXT) STRICT")
        raise sqlite3.OperationalError("database or disk is full")

    for module in ("inventory.rack.migrations", "inventory.rack.store"):
        monkeypatch.setattr(f"{module}.MIGRATIONS", (*MIGRATIONS, add, fail))
    assert "the disk is full; nothing was changed" in told(tmp_path / "rack.db")
    for module in ("inventory.rack.migrations", "inventory.rack.store"):
        monkeypatch.setattr(f"{module}.MIGRATIONS", (*MIGRATIONS, add))
    with opened(tmp_path) as rack:
        assert rack.all() == [OAK]
    connection = sqlite3.connect(tmp_path / "rack.db")
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema")}
    connection.close()
    assert "shelves" in tables
    assert "broken" not in tables


def test_no_empty_file_stays_where_a_new_rack_found_no_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A rack that could not be made leaves nothing behind that another load stumbles over."""

    def fail(connection: sqlite3.Connection) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    for module in ("inventory.rack.migrations", "inventory.rack.store"):
        monkeypatch.setattr(f"{module}.MIGRATIONS", (fail,))
    path = tmp_path / "rack.db"
    assert "the disk is full; nothing was changed" in told(path, create=True)
    assert list(tmp_path.iterdir()) == []


def test_where_no_rack_can_be_made(tmp_path: Path) -> None:
    """The system's own reason is told, and no empty file is left."""
    if not Path("/proc").is_dir():
        pytest.skip("this system has no /proc")
    why = "cannot be used: no such file or directory"
    assert told(Path("/proc/rack.db"), create=True) == f'the rack "/proc/rack.db" {why}'
    long = tmp_path / ("x" * 300)
    assert told(long, create=True) == f'the rack "{long}" cannot be used: file name too long'
    assert list(tmp_path.iterdir()) == []


def test_the_tables_are_strict(tmp_path: Path) -> None:
    """A wrong type is refused by the file itself."""
    opened(tmp_path).close()
    connection = sqlite3.connect(tmp_path / "rack.db")
    with pytest.raises(sqlite3.IntegrityError, match="cannot store TEXT value in INTEGER column"):
        connection.execute("INSERT INTO stock VALUES ('x', 'first', '{}', 1)")
    connection.close()


def test_a_rack_held_by_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where another program does not let go, it is said after a while."""
    opened(tmp_path).close()
    monkeypatch.setattr(store_module, "_WAIT", 0.05)
    holder = sqlite3.connect(tmp_path / "rack.db", isolation_level=None)
    holder.execute("BEGIN EXCLUSIVE")
    path = tmp_path / "rack.db"
    assert told(path) == (
        f'the rack "{path}" is held by another program; nothing was changed, try again'
    )
    holder.close()


def test_a_full_disk(tmp_path: Path) -> None:
    """SQLite's own limit stands in for the disk: the load is told and undone."""
    many = [replace(OAK, id=f"O-{n}", note="x" * 1000) for n in range(200)]
    with opened(tmp_path) as rack:
        rack.load([OAK])
        rack._connection.execute("PRAGMA max_page_count = 20")
        with pytest.raises(RackError, match="the disk is full; nothing was changed"):
            rack.load(many)
        assert rack.all() == [OAK]
        assert rack.check() == []


def test_an_old_sqlite(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without strict tables there is no rack, and a line says why."""
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 31, 1))
    assert told(tmp_path / "rack.db", create=True).startswith("SQLite 3.37 or newer is needed")

"""The rack's own check finds what was meddled with."""

import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from inventory.length import INCH
from inventory.rack import Rack, RackError
from inventory.rack.state import state_of
from inventory.stock import Board, Flaw, FlawKind

OAK = Board("O-1", "oak", 96 * INCH, 8 * INCH, 7 * INCH, INCH, INCH)


def meddled(folder: Path, *commands: str) -> list[str]:
    """Return what the check says of a rack of two boards after some SQL."""
    path = folder / "rack.db"
    with Rack.open(path, create=True) as rack:
        rack.load([OAK, replace(OAK, id="O-2")])
        rack.load([replace(OAK, note="planed")])
    connection = sqlite3.connect(path, isolation_level=None)
    for command in commands:
        connection.execute(command)
    connection.close()
    with Rack.open(path) as rack:
        return [issue.line().removeprefix(f"{path}: ") for issue in rack.check()]


NOT_THE_SUM = '"O-1": the piece is not what the ledger makes of it'


@pytest.mark.parametrize(
    ("command", "lines"),
    [
        ("SELECT 1", []),
        ("DELETE FROM stock WHERE id = 'O-1'", [NOT_THE_SUM]),
        ("UPDATE stock SET entry = 1 WHERE id = 'O-1'", [NOT_THE_SUM]),
        (
            "UPDATE stock SET state = replace(state, 'oak', 'ash') WHERE id = 'O-1'",
            [NOT_THE_SUM],
        ),
        (
            "DELETE FROM changes WHERE entry = 1 AND id = 'O-1'",
            ['"O-1": entry 2 of the ledger does not follow from the one before it'],
        ),
        (
            "UPDATE stock SET id = 'O-9' WHERE id = 'O-2'",
            [
                '"O-9": the record names the piece "O-2"',
                '"O-2": the piece is not what the ledger makes of it',
                '"O-9": the piece is not what the ledger makes of it',
            ],
        ),
    ],
)
def test_what_was_meddled_with_is_found(tmp_path: Path, command: str, lines: list[str]) -> None:
    """The ledger and the stock are held against each other."""
    assert meddled(tmp_path, command) == lines


def test_a_record_that_cannot_be_read(tmp_path: Path) -> None:
    """It is named by its id, and reading the rack says in one line where to look."""
    lines = meddled(tmp_path, "UPDATE stock SET state = '{' WHERE id = 'O-1'")
    assert lines[0].startswith('"O-1": the record is not the state of a piece of stock')
    with (
        Rack.open(tmp_path / "rack.db") as rack,
        pytest.raises(RackError, match='"nester stock check" tells more'),
    ):
        rack.all()


def test_a_record_that_is_no_valid_stock(tmp_path: Path) -> None:
    """Each record has to pass the same tests as a stock file."""
    far = Flaw(FlawKind.KNOT, 95 * INCH, 0, 2 * INCH, INCH)
    with Rack.open(tmp_path / "rack.db", create=True) as rack:
        rack.load([replace(OAK, flaws=(far,)), replace(OAK, id="O-3", lot=" ")])
        messages = [issue.line() for issue in rack.check()]
    path = tmp_path / "rack.db"
    assert messages == [
        f'{path}: "O-1": flaw 1 x: the flaw reaches past end B of the stock (found "95 + 2"); '
        "accepted: x + length at most 96",
        f'{path}: "O-3": the record does not pass through a stock file unchanged',
    ]


def test_a_damaged_file(tmp_path: Path) -> None:
    """Bytes overwritten in the middle are found by the check, or told when opening."""
    path = tmp_path / "rack.db"
    with Rack.open(path, create=True) as rack:
        rack.load([replace(OAK, id=f"O-{n}") for n in range(60)])
    content = bytearray(path.read_bytes())
    for page in range(2, len(content) // 4096):
        content[page * 4096 : page * 4096 + 64] = b"\xff" * 64
    path.write_bytes(content)
    with Rack.open(path) as rack:
        issues = rack.check()
    assert issues
    assert all(issue.code == "rack-damaged" for issue in issues)
    path.write_bytes(content[:100])
    with pytest.raises(RackError, match=r"is damaged|is not a rack"):
        Rack.open(path)


def test_a_loose_reference(tmp_path: Path) -> None:
    """A piece of an entry that is not there is told."""
    lines = meddled(tmp_path, "UPDATE stock SET entry = 77 WHERE id = 'O-1'")
    assert lines == ["row 1 of stock points at nothing in entries"]
    assert state_of(OAK)

"""The stock commands as a user types them."""

import errno
import json
import os
import re
import sqlite3
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result

from nester.cli.main import cli

STOCK = """\
units = "in"

[[board]]
id = "W-07"
species = "walnut"
length = 96
width = [8, 6]
thickness = "1 1/16"
sold_as = "4/4"
bow = "1/8"
price = 12
lot = "log 2"
flaws = [
  {kind = "knot", x = 40, y = 3, length = 2, width = 1},
  {kind = "stain", x = 70, y = 0, length = 10, width = 2, face = "b", note = "grey"},
]

[[sheet]]
id = "BP18"
material = "birch plywood"
length = 96
width = 48
thickness = "18 mm"
nominal = "3/4"
count = 3
price = 84
"""


class Shop:
    """A folder with a rack, in which commands are typed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.rack = folder / "rack.db"

    def file(self, text: str, name: str = "stock.toml") -> str:
        """Write a file and return its path."""
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    def run(self, *arguments: str, columns: int = 80) -> Result:
        """Type ``nester stock …`` with the rack of this folder."""
        environment = {"NESTER_RACK": str(self.rack), "COLUMNS": str(columns)}
        return CliRunner().invoke(cli, ["stock", *arguments], env=environment)

    def good(self, *arguments: str, columns: int = 80) -> str:
        """Return what a command that must succeed prints."""
        result = self.run(*arguments, columns=columns)
        assert (result.exit_code, result.stderr) == (0, "")
        return result.stdout


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop with an empty folder."""
    return Shop(tmp_path)


@pytest.fixture
def stocked(shop: Shop) -> Shop:
    """A shop with one board and three sheets on the rack."""
    shop.good("load", shop.file(STOCK))
    return shop


def refused(result: Result) -> str:
    """Return the last line of a command that had to fail, which is never a traceback."""
    assert result.exit_code == 1
    assert "Traceback" not in result.output
    assert isinstance(result.exception, SystemExit) or result.exception is None
    return result.stderr.splitlines()[-1]


def test_load_says_what_is_new_changed_and_unchanged(shop: Shop) -> None:
    """Loading the same file twice does not double the rack."""
    path = shop.file(STOCK)
    assert shop.good("load", path) == (
        "2 pieces read: 2 new, 0 changed, 0 unchanged\n  new      W-07, BP18\n"
    )
    assert shop.good("load", path) == "2 pieces read: 0 new, 0 changed, 2 unchanged\n"
    path = shop.file(STOCK.replace("count = 3", "count = 2"))
    assert shop.good("load", path) == (
        "2 pieces read: 0 new, 1 changed, 1 unchanged\n  changed  BP18\n"
    )
    report = json.loads(shop.good("load", path, "--json"))
    assert report == {
        "rack": str(shop.rack),
        "new": [],
        "changed": [],
        "unchanged": ["W-07", "BP18"],
    }
    assert shop.good("load", path, "--quiet") == ""


def test_load_with_a_fault_loads_nothing(shop: Shop) -> None:
    """All faults of all files are told, and the rack is not even made."""
    first = shop.file(STOCK.replace("length = 96", "lenght = 96"), "a.toml")
    second = shop.file("kind,id\nboard,1\n", "b.csv")
    result = shop.run("load", first, second)
    assert refused(result) == "nester: 8 faults; nothing was loaded"
    assert f'{first}:6: "W-07": unknown key (found "lenght")' in result.stderr
    assert f'{second}:1: there is no column "length"' in result.stderr
    assert not shop.rack.exists()


def test_an_id_in_two_files(shop: Shop) -> None:
    """Files that are loaded together share no id."""
    first, second = shop.file(STOCK, "a.toml"), shop.file(STOCK, "b.toml")
    result = shop.run("load", first, second)
    assert refused(result) == "nester: 2 faults; nothing was loaded"
    assert (
        f'{second}:3: "W-07": id: used already at {first}:3 (found "W-07"); '
        "accepted: an id of its own for each piece"
    ) in result.stderr


def test_cautions_do_not_hold_a_load_up(shop: Shop) -> None:
    """They are told on standard error, and the stock is loaded."""
    result = shop.run("load", shop.file(STOCK.replace('"1 1/16"', '"4/4"')))
    assert result.exit_code == 0
    assert 'caution: "W-07": thickness: a name is not a measure' in result.stderr
    assert "2 new" in result.stdout


def test_list(stocked: Shop) -> None:
    """Sizes, worth and place, with the sums of each material below."""
    assert (
        stocked.good("list")
        == """\
lengths in inches

id    material       length   width          thick  sold as  count  flaws   value  where
----  -------------  ------  ------  -------------  -------  -----  -----  ------  -----
W-07  walnut             96  8 to 6         1 1/16      4/4      1      2   56.00  log 2
BP18  birch plywood      96      48  11/16 (18 mm)      3/4      3         252.00

walnut: 4.67 bd ft true (4.00 bd ft by the yard's tally), worth 56.00
birch plywood: 96.00 sq ft, worth 252.00
4 pieces in all
"""
    )
    assert stocked.good("list", "--units", "mm").startswith("lengths in millimetres\n")
    assert stocked.good("list", "--quiet") == ""


def test_list_as_json(stocked: Shop) -> None:
    """The entries of a plan document, with value and measure."""
    report = json.loads(stocked.good("list", "--json"))
    board, sheet = report["stock"]
    assert board["id"] == "W-07"
    assert board["width"] == [203.2, 152.4]
    assert board["value"] == 56
    assert board["board_feet"] == 4.667
    assert sheet["thickness"] == 18
    assert sheet["square_metres"] == 2.972897


def test_an_empty_rack_is_said(stocked: Shop) -> None:
    """A rack whose last piece is gone."""
    from inventory.rack import Rack

    with Rack.open(stocked.rack) as rack, rack.transaction():
        rack.post("cut", "", {"W-07": None, "BP18": None})
    assert stocked.good("list") == "the rack is empty\n"


def test_show(stocked: Shop) -> None:
    """Facts, a picture to scale with flaws and taper, their key, and the clear pieces."""
    assert (
        stocked.good("show", "W-07", columns=64)
        == """\
W-07: walnut
96 long, 8 wide at end A, 6 at end B, 1 1/16 thick, sold as 4/4
surface rough, ends rough, edges rough
bow 1/8
4.67 bd ft true, 4.00 bd ft by the yard's tally
price 12.00 a board foot, worth 56.00
lot log 2

8 ┌─────────────────┐
  │                 └────────────────────────────────┐
  │                                                  └───────┐ 6
  │                                                          │
  │                        AA                                │
  │                        AA                                │
  │                                          bbbbbbb         │
  │                                          bbbbbbb         │
0 └──────┴──────┴───────┴──────┴──────┴───────┴──────┴───────┘
  0     12     24      36     48     60      72     84   96 in
to scale: one character is 1.66 by 1.14 in

A  knot, 40 to 42 from end A, 3 to 4 from the near edge, both faces
b  sound stain, 70 to 80 from end A, 0 to 2 from the near edge, face B, grey

clear of any flaw, before trims and margins:
  longest on both faces: 96 × 2 (at least 2 in wide), from 0 along and 4 across
  longest on face A: 96 × 3 (at least 2 in wide), from 0 along and 0 across
  widest on both faces: 12 × 7 3/4 (at least 12 in long), from 0 along and 0 across
  widest on face A: 12 × 7 3/4 (at least 12 in long), from 0 along and 0 across
"""
    )


def test_show_a_sheet_in_millimetres(stocked: Shop) -> None:
    """In the units asked for, with what is called and what is measured."""
    text = stocked.good("show", "BP18", "--units", "mm")
    assert "2438.5 (96 in) long, 1219 (48 in) wide, 18 thick, called 19 (3/4 in)" in text
    assert "grain along the length; 2.97 m²" in text
    assert "no flaws" in text
    assert "longest on both faces: 2438 × 1219 (at least 50 mm wide)" in text


def test_show_as_json(stocked: Shop) -> None:
    """The entry and the clear pieces in millimetres."""
    report = json.loads(stocked.good("show", "W-07", "--json"))
    assert report["stock"]["id"] == "W-07"
    assert report["clear"][0] == {
        "which": "longest",
        "face": "both",
        "piece": {"x": 0, "y": 101.6, "length": 2438.4, "width": 50.8},
    }


def test_show_what_is_not_there(stocked: Shop) -> None:
    """The id in double quotes, and the nearest one."""
    assert refused(stocked.run("show", "W-7")) == (
        f'nester: there is no piece "W-7" on the rack "{stocked.rack}"; did you mean "W-07"?'
    )
    assert "x" * 100 not in refused(stocked.run("show", "x" * 10_000))


@pytest.mark.parametrize("name", ["rack.toml", "rack.csv", "rack.tsv", "rack.xlsx"])
@pytest.mark.parametrize("units", ["in", "mm"])
def test_export_and_load_give_the_same_rack(stocked: Shop, name: str, units: str) -> None:
    """In every format and both systems."""
    path = str(stocked.folder / name)
    assert stocked.good("export", path, "--units", units) == f"{path}: 2 entries written\n"
    other = str(stocked.folder / f"{name}.db")
    assert "2 new" in stocked.good("load", path, "--rack", other)
    before = json.loads(stocked.good("list", "--json"))
    after = json.loads(stocked.good("list", "--json", "--rack", other))
    assert after["stock"] == before["stock"]
    assert stocked.good("load", path, "--quiet") == ""
    assert "2 unchanged" in stocked.good("load", path)


def test_export_where_nothing_can_be_written(
    stocked: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One line each: an ending that tells nothing, no folder, a full disk."""
    line = refused(stocked.run("export", "rack.ods"))
    assert line.endswith("accepted: .toml, .csv, .tsv, .xlsx")
    missing = str(stocked.folder / "none" / "rack.toml")
    assert refused(stocked.run("export", missing)) == (
        f'nester: cannot write "{missing}": no such file or directory; nothing was written'
    )

    def full(number: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    path = stocked.folder / "rack.toml"
    assert "no space left on device" in refused(stocked.run("export", str(path)))
    assert not path.exists()


def test_check(stocked: Shop) -> None:
    """A sound rack is said to be; a name that parts from a measure is a caution."""
    result = stocked.run("check")
    assert result.exit_code == 0
    assert result.stdout == f"{stocked.rack}: sound; 2 entries of stock, 1 command in the ledger\n"
    assert 'caution: "BP18": called 3/4 in but measures 18 mm' in result.stderr
    report = json.loads(stocked.run("check", "--json").stdout)
    assert [issue["code"] for issue in report["issues"]] == ["thickness-not-as-called"]


def test_check_finds_what_was_meddled_with(stocked: Shop) -> None:
    """Exit status 1 and a line for each fault."""
    import sqlite3

    connection = sqlite3.connect(stocked.rack)
    connection.execute("DELETE FROM stock WHERE id = 'W-07'")
    connection.commit()
    connection.close()
    result = stocked.run("check")
    assert refused(result) == "nester: 1 fault; the rack is not sound"
    assert f'{stocked.rack}: "W-07": the piece is not what the ledger makes of it' in result.stderr


@pytest.mark.parametrize("command", [["list"], ["show", "W-07"], ["export", "x.toml"], ["check"]])
def test_no_rack_yet(shop: Shop, command: list[str]) -> None:
    """Reading makes no rack."""
    assert refused(shop.run(*command)) == (
        f'nester: there is no rack "{shop.rack}" yet: load stock into it first'
    )
    assert not shop.rack.exists()


def test_a_file_that_is_no_rack(shop: Shop) -> None:
    """Neither read nor written over."""
    path = shop.file(STOCK)
    content = Path(path).read_text()
    for command in (["list"], ["check"], ["load", path]):
        line = refused(shop.run(*command, "--rack", path))
        assert line == f'nester: "{path}" is not a rack'
    assert Path(path).read_text() == content


@pytest.fixture
def read_only(stocked: Shop, monkeypatch: pytest.MonkeyPatch) -> Shop:
    """The shop with its rack opened as SQLite opens a file that may only be read."""
    connect = sqlite3.connect

    def reading(database: str, **options: Any) -> sqlite3.Connection:
        return connect(re.sub("mode=rwc?", "mode=ro", database), **options)

    monkeypatch.setattr(sqlite3, "connect", reading)
    return stocked


def test_a_rack_that_may_only_be_read(read_only: Shop) -> None:
    """Reading goes on, a load that changes nothing too; any other is told and changes nothing."""
    before = read_only.rack.read_bytes()
    assert "W-07" in read_only.good("list")
    assert read_only.good("show", "W-07").startswith("W-07: walnut\n")
    assert "sound" in read_only.run("check").stdout
    read_only.good("export", str(read_only.folder / "out.toml"))
    assert "0 new, 0 changed, 2 unchanged" in read_only.good("load", read_only.file(STOCK))
    result = read_only.run("load", read_only.file(STOCK.replace("W-07", "W-08"), "more.toml"))
    assert (result.exit_code, result.stdout) == (1, "")
    told = "may not be written to; nothing was changed"
    assert result.stderr == f'nester: the rack "{read_only.rack}" {told}\n'
    assert read_only.rack.read_bytes() == before


@pytest.mark.parametrize("mode", [0o000, 0o444])
@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to this user")
def test_a_rack_that_may_not_be_read(stocked: Shop, mode: int) -> None:
    """Permissions of the file are told in one line with the status of a fault."""
    stocked.rack.chmod(mode)
    path = stocked.file(STOCK.replace("W-07", "W-08"), "more.toml")
    commands = [["load", path], *([["list"], ["check"], ["show", "W-07"]] if mode == 0 else [])]
    for command in commands:
        result = stocked.run(*command)
        assert (result.exit_code, result.stdout, result.stderr.count("\n")) == (1, "", 1)
        assert f'the rack "{stocked.rack}"' in result.stderr
    stocked.rack.chmod(0o600)
    assert "W-08" not in stocked.good("list")


def test_no_path_is_refused_before_its_own_reader_says_why() -> None:
    """A file that may not be read is a fault of the input, not of the command line."""
    waiting: list[click.Command] = [cli]
    paths = 0
    while waiting:
        command = waiting.pop()
        if isinstance(command, click.Group):
            context = click.Context(command)
            names = command.list_commands(context)
            waiting += [found for n in names if (found := command.get_command(context, n))]
        for parameter in command.params:
            if isinstance(parameter.type, click.Path):
                paths += 1
                assert not parameter.type.readable, (command.name, parameter.name)
    assert paths >= 20


def test_names_from_outside_do_no_harm(shop: Shop) -> None:
    """Quotes, markup, separators and other scripts are shown as they are, on one line."""
    odd = ['<script>"&', "../../etc", "خشب الجوز", "天板 9"]
    body = "".join(
        f"[[board]]\nid = '{name}'\nspecies = 'oak'\nlength = 96\nwidth = 8\nthickness = 1\n"
        for name in odd
    )
    shop.good("load", shop.file(body))
    listed = shop.good("list")
    for name in odd:
        assert name in listed
        assert shop.good("show", name).startswith(f"{name}: oak\n")


def test_the_command_line_itself(shop: Shop) -> None:
    """A usage mistake ends with 2."""
    assert shop.run("load").exit_code == 2
    assert shop.run("list", "--units", "furlong").exit_code == 2
    assert shop.run("burn").exit_code == 2
    listing = shop.good("--help")
    for name in ("load", "list", "show", "export", "check"):
        assert f"  {name} " in listing
        assert f"nester stock {name}" in shop.good(name, "--help")

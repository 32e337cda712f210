"""The command line: help, exit statuses, and no traceback whatever happens."""

import os
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from nester.cli import main as main_module
from nester.cli.common import Exit, Refusal
from nester.cli.main import COMMANDS, cli

HEAVY = (
    "numpy", "pulp", "highspy", "numba", "pydantic", "rich", "openpyxl", "tomlkit", "svgwrite",
    "rectpack", "sqlite3", "platformdirs", "tomllib", "json",
)  # fmt: skip


def run_python(code: str, home: Path) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "HOME": str(home), "XDG_STATE_HOME": str(home / "state")}
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=env, timeout=60
    )


def raising(error: BaseException) -> click.Command:
    @click.command("broken")
    def broken() -> None:
        raise error

    return broken


@pytest.fixture
def broken(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    """Put a failing command in place of every real one."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))

    def run(error: BaseException):
        monkeypatch.setattr(
            main_module.Commands, "get_command", lambda self, ctx, name: raising(error)
        )
        return CliRunner().invoke(cli, ["broken"])

    return run


def test_help_imports_nothing_heavy(tmp_path: Path) -> None:
    """The help starts as fast as the argument parser does: no heavy module is loaded for it."""
    code = (
        "import sys\n"
        "from nester.cli.main import cli\n"
        "try:\n    cli.main(['--help'])\n"
        "except SystemExit as end:\n    assert end.code == 0, end.code\n"
        f"print('loaded:', [m for m in {HEAVY!r} if m in sys.modules])\n"
    )
    done = run_python(code, tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stdout.endswith("loaded: []\n"), done.stdout


def test_help_lists_every_command_in_the_order_of_a_job() -> None:
    """The help names all commands with a line each."""
    result = CliRunner().invoke(cli, ["--help"])
    assert result.exit_code == 0
    places = [result.output.index(f"\n  {name} ") for name in COMMANDS]
    assert places == sorted(places)
    for entry in COMMANDS.values():
        assert entry.help in result.output


def test_module_starts_as_a_program(tmp_path: Path) -> None:
    """``python -m nester`` is the same program."""
    code = "import runpy, sys; sys.argv = ['nester', '--version']; runpy.run_module('nester')"
    done = run_python(code.replace("'nester')", "'nester', run_name='__main__')"), tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("nester, version ")


@pytest.mark.parametrize("arguments", [["chekc"], ["--nonsense"]])
def test_wrong_command_line_ends_with_2(arguments: list[str]) -> None:
    """A command or option that does not exist is a fault of the command line."""
    result = CliRunner().invoke(cli, arguments)
    assert result.exit_code == Exit.USAGE
    assert arguments[0] in result.output


def test_refusal_is_one_line_and_ends_with_1(broken) -> None:
    """What cannot be done is said in one line under the program's name."""
    result = broken(Refusal("the saw is blunt"))
    assert (result.exit_code, result.output) == (1, "nester: the saw is blunt\n")


def test_system_refusal_names_the_file(broken) -> None:
    """A system error that nobody expected still names its file, without a traceback."""
    result = broken(OSError(28, "No space left on device", "plan.json"))
    assert (result.exit_code, result.output) == (
        1,
        'nester: "plan.json": No space left on device\n',
    )


def test_interruption_is_clean(broken) -> None:
    """Ctrl-C ends with one line and the shell's own status for it."""
    result = broken(KeyboardInterrupt())
    assert result.exit_code == 130
    assert result.output.strip() == "nester: interrupted; nothing half-done was left behind"


def test_fault_of_the_program_saves_a_report(broken, tmp_path: Path) -> None:
    """An unexpected exception is owned up to in one line; the traceback goes into a file."""
    result = broken(ZeroDivisionError("no kerf"))
    assert result.exit_code == 1
    assert result.output.count("\n") == 1
    assert "this is a fault of the program, not of your files" in result.output
    assert "Traceback" not in result.output
    (report,) = (tmp_path / "state").rglob("fault-*.txt")
    assert f'"{report}"' in result.output
    text = report.read_text()
    assert "ZeroDivisionError: no kerf" in text
    assert "command: broken" in text


def test_reader_that_hangs_up_is_no_fault(broken) -> None:
    """Output into a pipe that is closed early ends quietly."""
    done = subprocess.run(
        f'"{sys.executable}" -c "from nester.cli.main import run; run()" --help | true',
        shell=True,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.stderr == ""


def test_full_disk_behind_the_output_is_told() -> None:
    """Where what is printed finds no room, that is said of the output and ends with 1."""
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")
    done = subprocess.run(
        f'"{sys.executable}" -m nester --help >/dev/full',
        shell=True,
        capture_output=True,
        text=True,
        timeout=60,
    )
    told = "nester: cannot write to standard output: no space left on device\n"
    assert (done.returncode, done.stderr) == (1, told)


@pytest.mark.parametrize("closed", ["<&-", ">&-", "<&- >&-"])
def test_closed_streams_are_no_fault(closed: str) -> None:
    """A program started with closed streams prints into nothing, and into no file that it opens."""
    done = subprocess.run(
        f'"{sys.executable}" -m nester --help {closed}',
        shell=True,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_short_help_is_the_one_of_the_table() -> None:
    """The line of each command in the help is that of the command itself."""
    for name, entry in COMMANDS.items():
        command = getattr(import_module(entry.module), entry.name)
        assert command.name == name
        assert command.short_help == entry.help

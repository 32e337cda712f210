"""What the commands share: options, exit statuses and the way issues are printed."""

from collections.abc import Callable, Iterable
from enum import IntEnum
from pathlib import Path
from typing import Any, TypeVar

import click

from inventory.issue import Issue, Severity, one_line

Command = TypeVar("Command", bound=Callable[..., Any])


class Exit(IntEnum):
    """How a command ended."""

    DONE = 0
    FAULTS = 1  # the input or the plan has faults
    USAGE = 2  # the command line is wrong
    SHORT = 3  # a plan was written but parts are missing
    INTERRUPTED = 130  # stopped by hand


class Refusal(click.ClickException):
    """Something that cannot be done, told in one line; the command ends with status 1."""

    exit_code = Exit.FAULTS


def rack_option(command: Command) -> Command:
    """Add ``--rack FILE``."""
    return click.option(
        "--rack",
        type=click.Path(readable=False, path_type=Path),
        envvar="NESTER_RACK",
        metavar="FILE",
        help="The rack to use; else NESTER_RACK, else the one in your data folder.",
    )(command)


def stock_option(command: Command) -> Command:
    """Add ``--stock FILE``."""
    return click.option(
        "--stock",
        "stock_file",
        type=click.Path(readable=False, path_type=Path),
        metavar="FILE",
        help="A stock file (TOML, CSV, XLSX) to use in place of the rack.",
    )(command)


def shop_option(command: Command) -> Command:
    """Add ``--shop FILE``."""
    return click.option(
        "--shop",
        "shop_file",
        type=click.Path(readable=False, path_type=Path),
        envvar="NESTER_SHOP",
        metavar="FILE",
        help="The shop profile; else NESTER_SHOP, else shop.toml in your configuration folder.",
    )(command)


def json_option(command: Command) -> Command:
    """Add ``--json``."""
    return click.option("--json", "as_json", is_flag=True, help="Print the report as JSON.")(
        command
    )


def quiet_option(command: Command, prints: str = "Print nothing but faults.") -> Command:
    """Add ``--quiet``; ``prints`` says what is printed all the same."""
    return click.option("--quiet", is_flag=True, help=prints)(command)


def default_rack() -> Path:
    """Return the rack file in the user's data folder."""
    import platformdirs

    return Path(platformdirs.user_data_dir("nester", appauthor=False)) / "rack.db"


def shop_profile(given: Path | None) -> Path | None:
    """Return the shop profile to read: the one ``given``, else the user's own if there is one."""
    if given is not None:
        return given
    import platformdirs

    own = Path(platformdirs.user_config_dir("nester", appauthor=False)) / "shop.toml"
    return own if own.exists() else None


def errors_in(issues: Iterable[Issue]) -> list[Issue]:
    """Return the issues that forbid going on."""
    return [issue for issue in issues if issue.severity is Severity.ERROR]


def in_reading_order(issues: Iterable[Issue]) -> list[Issue]:
    """Return issues as a person meets them: errors first, then by file and line, then as found."""

    def place(issue: Issue) -> tuple[bool, str, int]:
        source = issue.source
        return (
            issue.severity is not Severity.ERROR,
            source.file if source else "",
            (source.line or 0) if source else 0,
        )

    return sorted(issues, key=place)


def print_issues(issues: Iterable[Issue]) -> None:
    """Print every issue on standard error, one line each."""
    for issue in in_reading_order(issues):
        click.echo(issue.line(), err=True)


def stop_on_errors(issues: Iterable[Issue], what: str) -> None:
    """Print all issues; where one is an error, say that ``what`` was not done and end with 1."""
    listed = list(issues)
    print_issues(listed)
    errors = len(errors_in(listed))
    if errors:
        raise Refusal(f"{counted(errors, 'fault')}; {what}")


def counted(number: int, noun: str, plural: str | None = None) -> str:
    """Return ``number`` with its noun: "1 fault", "2 faults"."""
    return f"{number:,} {noun if number == 1 else plural or noun + 's'}"


def tell(text: str) -> None:
    """Print one line on standard error, under the program's name."""
    click.echo(f"nester: {one_line(text)}", err=True)


def print_json(value: Any) -> None:
    """Print a report as JSON on standard output."""
    import json

    click.echo(json.dumps(value, ensure_ascii=False, indent=1))

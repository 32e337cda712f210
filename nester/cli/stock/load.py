"""``nester stock load``: boards and sheets from files into the rack."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from nester.cli.common import (
    counted,
    json_option,
    print_json,
    quiet_option,
    rack_option,
    stop_on_errors,
)
from nester.cli.stock.common import opened

if TYPE_CHECKING:
    from inventory.issue import Issue
    from inventory.stock import Stock


@click.command(short_help="Read boards and sheets into the rack.")
@click.argument(
    "files",
    nargs=-1,
    required=True,
    metavar="FILE…",
    type=click.Path(readable=False, path_type=Path),
)
@rack_option
@json_option
@quiet_option
def load(files: tuple[Path, ...], rack: Path | None, as_json: bool, quiet: bool) -> None:
    """Read boards and sheets from stock files (TOML, CSV, XLSX) into the rack.

    A piece whose id is on the rack already is replaced; one that is the same is left alone, so that
    loading a file twice does no harm. Where a file has faults, all are told and nothing is loaded.

    \b
    Example:
      nester stock load stock.toml
    """
    stocks, issues = read_files(files)
    stop_on_errors(issues, "nothing was loaded")
    with opened(rack, create=True) as store:
        report = store.load(stocks, note=", ".join(path.name for path in files))
        place = store.path
    groups = {"new": report.new, "changed": report.changed, "unchanged": report.unchanged}
    if as_json:
        print_json({"rack": str(place), **{word: list(ids) for word, ids in groups.items()}})
    elif not quiet:
        numbers = ", ".join(f"{len(ids)} {word}" for word, ids in groups.items())
        click.echo(f"{counted(len(stocks), 'piece')} read: {numbers}")
        for word in ("new", "changed"):
            for line in _listed(word, groups[word]):
                click.echo(line)


def read_files(files: tuple[Path, ...]) -> tuple[list["Stock"], list["Issue"]]:
    """Return the stock of several files, and their issues, ids used in two of them among them."""
    from inventory.issue import Issue
    from inventory.readers.stock import read_stock

    stocks: list[Stock] = []
    issues: list[Issue] = []
    seen: dict[str, Stock] = {}
    for path in files:
        found, faults = read_stock(path)
        issues += faults
        for stock in found:
            if stock.id in seen:
                message = f"id: used already at {seen[stock.id].source}"
                accepted = "an id of its own for each piece"
                issues.append(
                    Issue("duplicate-id", message, stock.id, accepted, stock.id, stock.source)
                )
            seen[stock.id] = stock
        stocks += found
    return stocks, issues


def _listed(word: str, ids: tuple[str, ...]) -> list[str]:
    """Return ids after a word, as many to a line as fit."""
    from textwrap import wrap

    from inventory.issue import one_line

    if not ids:
        return []
    text = ", ".join(one_line(name) for name in ids)
    indent = " " * 11
    return wrap(text, 88, initial_indent=f"  {word:<9}", subsequent_indent=indent)

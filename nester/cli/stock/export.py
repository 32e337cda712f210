"""``nester stock export``: the rack written to a file."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from nester.cli.common import Refusal, counted, quiet_option, rack_option
from nester.cli.stock.common import opened, units_option

if TYPE_CHECKING:
    from inventory.parse import Units


@click.command(short_help="Write the rack to a file.")
@click.argument("file", metavar="FILE", type=click.Path(readable=False, path_type=Path))
@rack_option
@units_option
@quiet_option
def export(file: Path, rack: Path | None, units: "Units | None", quiet: bool) -> None:
    """Write the whole rack to a stock file (.toml, .csv, .tsv, .xlsx).

    Loading that file into an empty rack gives the same rack. In CSV the flaws go into a second file
    beside it, FILE.flaws.csv.

    \b
    Example:
      nester stock export rack.toml
    """
    from inventory.files import WriteError
    from inventory.writers.stock import write_stock

    with opened(rack) as store:
        stocks = store.all()
    try:
        write_stock(file, stocks, units)
    except WriteError as error:
        raise Refusal(str(error)) from error
    if not quiet:
        click.echo(f"{file}: {counted(len(stocks), 'entry', 'entries')} written")

"""``nester stock check``: the rack's own integrity."""

from pathlib import Path

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


@click.command(short_help="Check that the rack is sound.")
@rack_option
@json_option
@quiet_option
def check(rack: Path | None, as_json: bool, quiet: bool) -> None:
    """Check the rack itself: the file, every record, and the ledger they are the sum of.

    Ends with 1 where something is wrong with it. Where only a name and a measure part, as with a
    sheet called 3/4 in that measures 18 mm, that is a caution.

    \b
    Example:
      nester stock check
    """
    from inventory.lumber_tables import size_cautions

    with opened(rack) as store:
        issues = store.check()
        stocks = store.all() if not issues else []
        entries = len(store.entries()) if not issues else 0
        place = store.path
    issues += [caution for stock in stocks for caution in size_cautions(stock)]
    if as_json:
        print_json({"rack": str(place), "issues": [issue.as_dict() for issue in issues]})
    stop_on_errors(issues, "the rack is not sound")
    if not quiet and not as_json:
        kept = f"{counted(len(stocks), 'entry', 'entries')} of stock"
        click.echo(f"{place}: sound; {kept}, {counted(entries, 'command')} in the ledger")

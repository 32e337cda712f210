"""``nester show``: a plan in the terminal."""

from functools import partial
from pathlib import Path

import click

from nester.cli.common import json_option, print_json, quiet_option

outcome_only = partial(quiet_option, prints="Print the outcome only, in two lines.")


@click.command(short_help="Show a plan in the terminal.")
@click.argument("plan_path", metavar="PLAN.json", type=click.Path(readable=False, path_type=Path))
@json_option
@outcome_only
def show(plan_path: Path, as_json: bool, quiet: bool) -> None:
    """Show a plan: its outcome, the wood it uses, and a cut list for each piece of stock.

    The cuts stand in the order they are made. Each has its line, measured from end A or the near
    edge to where the piece that is kept begins or ends, and the side of it on which the saw runs.

    \b
    Example:
      nester show plan.json
    """
    from nester.cli.plan_file import load_plan
    from nester.show import headline, plan_text, summary

    plan = load_plan(plan_path)
    if as_json:
        print_json(summary(plan))
    else:
        click.echo(headline(plan) if quiet else plan_text(plan))

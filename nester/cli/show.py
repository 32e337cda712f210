"""``nester show``: a plan in the terminal."""

from pathlib import Path

import click

from nester.cli.common import json_option, print_json, quiet_option


@click.command(short_help="Show a plan in the terminal.")
@click.argument("plan_path", metavar="PLAN.json", type=click.Path(path_type=Path))
@json_option
@quiet_option
def show(plan_path: Path, as_json: bool, quiet: bool) -> None:
    """Show a plan: its outcome, the wood it uses, and a cut list for each piece of stock.

    The cuts stand in the order they are made, measured from end A and the near edge. With --quiet
    only the outcome is shown.

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

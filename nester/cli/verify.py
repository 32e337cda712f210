"""``nester verify``: a plan derived again by code that shares nothing with the solver."""

from pathlib import Path

import click

from nester.cli.common import (
    Refusal,
    counted,
    json_option,
    print_json,
    quiet_option,
    stop_on_errors,
)


@click.command(short_help="Derive a plan again and name every fault.")
@click.argument("plan_path", metavar="PLAN.json", type=click.Path(readable=False, path_type=Path))
@json_option
@quiet_option
def verify(plan_path: Path, as_json: bool, quiet: bool) -> None:
    """Derive a plan again from what it says and name every fault.

    Every cut, size, flaw, stage, price and copy is checked by code that shares nothing with the
    solver. Ends with 1 where the plan does not hold.

    \b
    Example:
      nester verify plan.json
    """
    from inventory.issue import Issue
    from inventory.readers.text import load_text
    from nester.verify import verify_text

    text = load_text(plan_path)
    if isinstance(text, Issue):
        stop_on_errors([text], "the plan was not checked")
        return
    faults = verify_text(text)
    if as_json:
        listed = [fault.as_dict() for fault in faults]
        print_json({"plan": str(plan_path), "holds": not faults, "faults": listed})
    for fault in faults:
        click.echo(f"{plan_path}: {fault.line()}", err=True)
    if faults:
        raise Refusal(f"{counted(len(faults), 'fault')}; the plan does not hold")
    if not quiet and not as_json:
        click.echo(f"{plan_path}: the plan holds")

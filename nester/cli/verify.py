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
@click.argument("plan_path", metavar="PLAN.json", type=click.Path(path_type=Path))
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
    from nester.cli.plan_file import read_document
    from nester.verify import verify_document

    document, issues = read_document(plan_path)
    if document is None:
        stop_on_errors(issues, "the plan was not checked")
        return
    faults = verify_document(document)
    if as_json:
        print_json(
            {"plan": str(plan_path), "holds": not faults, "faults": [f.line() for f in faults]}
        )
    for fault in faults:
        click.echo(f"{plan_path}: {fault.line()}", err=True)
    if faults:
        raise Refusal(f"{counted(len(faults), 'fault')}; the plan does not hold")
    if not quiet and not as_json:
        click.echo(f"{plan_path}: the plan holds")

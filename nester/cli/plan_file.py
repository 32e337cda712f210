"""A plan to work with: read from its file, and checked, since wood is cut by it."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from nester.cli.common import Refusal, counted, stop_on_errors

if TYPE_CHECKING:
    from nester.plan import Plan


def load_plan(path: Path) -> "Plan":
    """Return the plan in a file.

    Raises
    ------
    Refusal
        Where there is none, or where it breaks a rule; each fault has been printed.
    """
    from inventory.issue import Issue
    from inventory.readers.text import load_text
    from nester.plan import parse_plan
    from nester.verify import verify_text

    text = load_text(path)
    if isinstance(text, Issue):
        stop_on_errors([text], "there is no plan to read")
        raise AssertionError
    faults = [fault.line() for fault in verify_text(text)]
    for line in faults:
        click.echo(f"{path}: {line}", err=True)
    if faults:
        raise Refusal(f"{counted(len(faults), 'fault')}; the plan does not hold and is not used")
    plan, issues = parse_plan(text)
    stop_on_errors(issues, "the plan is not used")
    if plan is None:
        raise Refusal(f'there is no plan in "{path}"')
    return plan

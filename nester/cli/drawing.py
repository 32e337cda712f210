"""Drawings put into a folder, and the old ones taken out of it."""

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from nester.cli.common import counted

if TYPE_CHECKING:
    from nester.draw import Cleared
    from nester.plan import Plan


def draw_into(plan: "Plan", folder: Path, paper: str) -> "tuple[list[Path], Cleared]":
    """Draw a plan into ``folder``, made where it is missing; old drawings of the project go.

    What is left in the folder and is not of the plan is told on standard error.

    Raises
    ------
    Refusal
        Where the folder cannot be made.
    inventory.files.WriteError
        Where it cannot be written.
    """
    from inventory.files import WriteError
    from nester.cli.output import make_folder
    from nester.draw import clear_stale, draw_plan, paper_called

    made = make_folder(folder)
    try:
        written = draw_plan(plan, folder, paper_called(paper))
    except WriteError:
        for place in made:
            with suppress(OSError):
                place.rmdir()
        raise
    cleared = clear_stale(folder, plan.project, written)
    for line in left_lines(cleared):
        click.echo(line, err=True)
    return written, cleared


def removed_line(cleared: "Cleared") -> str:
    """Return which drawings were removed, in one line."""
    what = counted(len(cleared.removed), "old drawing")
    return f"removed {what}, no longer in the plan: {named(cleared.removed)}"


def left_lines(cleared: "Cleared") -> list[str]:
    """Return a line for each kind of drawing that is not of the plan and was left."""
    folder = "in the same folder, left as it is:"
    return [
        f"{folder} {named(paths)} ({why})"
        for paths, why in (
            (cleared.changed, "no longer in the plan, but changed since it was drawn"),
            (cleared.stuck, "no longer in the plan, and cannot be removed"),
            (cleared.others, "of another project"),
        )
        if paths
    ]


def named(paths: Sequence[Path], most: int = 6) -> str:
    """Return the names of files in a row, the first few of many."""
    more = len(paths) - most
    return ", ".join(f'"{path.name}"' for path in paths[:most]) + (
        f" and {more} more" if more > 0 else ""
    )

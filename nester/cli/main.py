"""The ``nester`` command: a table of subcommands, each imported only when it is called."""

import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any, NamedTuple, NoReturn

import click

from nester import __version__
from nester.cli.guard import fill_closed_streams, guarded, speak_any_script


class Entry(NamedTuple):
    """Where a subcommand lives, and its line in ``--help``, so that help imports nothing."""

    module: str
    name: str
    help: str


COMMANDS = {
    "demo": Entry("nester.cli.demo", "demo", "Write, plan and draw the shipped example."),
    "check": Entry("nester.cli.check", "check", "Read a project and report all that matters."),
    "plan": Entry("nester.cli.plan", "plan", "Plan which board or sheet gives which part."),
    "verify": Entry("nester.cli.verify", "verify", "Derive a plan again and name every fault."),
    "show": Entry("nester.cli.show", "show", "Show a plan in the terminal."),
    "draw": Entry("nester.cli.draw", "draw", "Draw the cutting diagrams of a plan."),
    "stock": Entry("nester.cli.stock", "stock", "Keep the rack of boards and sheets."),
}


class Commands(click.Group):
    """A group that knows its commands by name and imports them late."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the commands in the order a job is done."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import and return the command of that name, None where there is none."""
        entry = COMMANDS.get(cmd_name)
        if entry is None:
            return None
        command: click.Command = getattr(import_module(entry.module), entry.name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the table of commands from what is known without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.help) for name, entry in COMMANDS.items()])

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command line; when on its own, end the process with the exit status."""

        def work() -> Any:
            return super(Commands, self).main(
                args, prog_name, complete_var, standalone_mode=False, **extra
            )

        if not standalone_mode:
            return work()
        sys.exit(guarded(work, sys.argv[1:] if args is None else args))


@click.command(cls=Commands)
@click.version_option(__version__, prog_name="nester")
def cli() -> None:
    """Plan which board or sheet gives which part of a piece of furniture.

    A part list and a rack of stock go in; a plan that a saw can follow, checked by independent
    code, and its diagrams come out. Boards and sheets are read by "nester stock load", a project
    is planned by "nester plan". "nester demo" shows it all on an example.
    """


def run() -> NoReturn:
    """Start the program."""
    fill_closed_streams()
    speak_any_script()
    cli.main(prog_name="nester")
    sys.exit()

"""The command reference of the README, generated from ``--help``.

``python -m tests.reference`` writes it into the README; ``tests/test_docs.py`` fails when it is
stale.
"""

import sys
from collections.abc import Iterator
from pathlib import Path

import click

from nester.cli.main import cli

README = Path(__file__).resolve().parent.parent / "README.md"
BEGIN = "<!-- reference: written by python -m tests.reference -->\n"
END = "<!-- end of reference -->\n"
WIDTH = 100  # columns


def commands(
    command: click.Command = cli, path: str = "nester", above: click.Context | None = None
) -> Iterator[tuple[str, click.Command, click.Context]]:
    """Yield every command with its full name, groups before what they hold."""
    context = click.Context(
        command,
        parent=above,
        info_name=path.rsplit(" ", 1)[-1],
        terminal_width=WIDTH,
        max_content_width=WIDTH,
    )
    yield path, command, context
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            below = command.get_command(context, name)
            assert below is not None, name
            yield from commands(below, f"{path} {name}", context)


def reference() -> str:
    """Return the help of every command as Markdown, marked at both ends."""
    pieces = []
    for path, command, context in commands():
        with context.scope(cleanup=False):
            text = "\n".join(line.rstrip() for line in command.get_help(context).splitlines())
        pieces.append(f"#### {path}\n\n```text\n{text}\n```\n")
    return BEGIN + "\n" + "\n".join(pieces) + "\n" + END


def split(text: str) -> tuple[str, str, str]:
    """Return a README before, inside and after the marks; the marks go with the inside."""
    before, found, rest = text.partition(BEGIN)
    inside, ended, after = rest.partition(END)
    if not found or not ended:
        raise ValueError(f"the marks of the reference are not in it: {BEGIN!r}, {END!r}")
    return before, BEGIN + inside + END, after


def main() -> None:
    """Write the reference into the README, and say whether it was stale."""
    before, inside, after = split(README.read_text(encoding="utf-8"))
    fresh = reference()
    README.write_text(before + fresh + after, encoding="utf-8")
    sys.stdout.write("up to date\n" if inside == fresh else "written anew\n")


if __name__ == "__main__":
    main()

"""``nester demo``: the shipped example, from its files to its drawings, in one command."""

from importlib.resources import files
from pathlib import Path

import click

from nester.cli.common import Exit, Refusal, counted, quiet_option, tell

FILES = ("project.toml", "stock.toml")
SECONDS = 20.0
ROOM = 3_000_000
"""What the example takes on the disk, drawings and all, with room to spare [bytes]."""


@click.command(short_help="Write, plan and draw the shipped example.")
@click.argument(
    "folder",
    metavar="[DIR]",
    required=False,
    default=Path("nester-demo"),
    type=click.Path(readable=False, path_type=Path),
)
@quiet_option
def demo(folder: Path, quiet: bool) -> None:
    """Write the shipped example into DIR, plan it and draw it.

    DIR (nester-demo where none is named) gets project.toml and stock.toml, a rack with that stock,
    the plan, and a folder of drawings. Your own rack and shop profile are left alone.

    \b
    Example:
      nester demo try-it
    """
    from nester.cli.drawing import draw_into, removed_line
    from nester.cli.output import check_folder, check_writable, make_folder
    from nester.cli.plan import plan_and_write, read_inputs, stop_rule
    from nester.show import headline

    rack_path, plan_path, drawings = folder / "rack.db", folder / "plan.json", folder / "drawings"
    check_folder(folder, ROOM)
    check_folder(drawings)
    make_folder(folder)
    check_writable(plan_path)
    project_path, stock_path = (_written(folder / name) for name in FILES)
    _load(stock_path, rack_path)
    project, stock = read_inputs([project_path], None, rack_path, None)
    if not quiet:
        pieces = sum(item.count for item in stock)
        blanks = sum(part.copies for part in project.parts)
        click.echo(
            f"{project.name}: {blanks} blanks to cut, {pieces} boards and sheets to cut from"
        )
    made = plan_and_write(
        project,
        stock,
        plan_path,
        stop_rule(0.0, SECONDS, None),
        quiet=quiet,
        project_paths=[project_path],
    )
    written, cleared = draw_into(made, drawings, "letter")
    if not quiet:
        click.echo(headline(made))
        click.echo(f'the plan is "{plan_path}"; read it with: nester show {plan_path}')
        click.echo(f'{counted(len(written), "drawing")} in "{drawings}"')
        if cleared.removed:
            click.echo(removed_line(cleared))
    for missing in made.missing:
        tell(f'missing: {missing.count} of "{missing.part}": {missing.reason}')
    if made.missing:
        raise click.exceptions.Exit(Exit.SHORT)


def _written(path: Path) -> Path:
    """Write a file of the example, unless it stands there already; another's is left alone."""
    from nester.cli.output import write_text

    text = files("nester").joinpath("data", "demo", path.name).read_text(encoding="utf-8")
    try:
        there = path.read_text(encoding="utf-8") if path.exists() else None
    except (OSError, UnicodeDecodeError):
        there = ""
    if there is None:
        write_text(path, text)
    elif there != text:
        raise Refusal(f'"{path}" is there already and is not the example; name another folder')
    return path


def _load(stock_path: Path, rack_path: Path) -> None:
    from inventory.readers.stock import read_stock
    from nester.cli.common import stop_on_errors
    from nester.cli.stock.common import opened

    stock, issues = read_stock(stock_path)
    stop_on_errors(issues, "the example was not loaded")
    with opened(rack_path, create=True) as store:
        store.load(stock, note=stock_path.name)

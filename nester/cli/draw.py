"""``nester draw``: the cutting diagrams of a plan."""

from pathlib import Path

import click

from nester.cli.common import counted, json_option, print_json, quiet_option


@click.command(short_help="Draw the cutting diagrams of a plan.")
@click.argument("plan_path", metavar="PLAN.json", type=click.Path(readable=False, path_type=Path))
@click.option(
    "-o",
    "--output",
    "folder",
    metavar="DIR",
    type=click.Path(readable=False, path_type=Path),
    default=Path("drawings"),
    show_default=True,
    help="The folder to draw into; made where it is missing.",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default=None,
    help="The paper, landscape.  [default: letter for a plan in inches, else a4]",
)
@json_option
@quiet_option
def draw(plan_path: Path, folder: Path, paper: str | None, as_json: bool, quiet: bool) -> None:
    """Draw the cutting diagrams of a plan, one SVG for each piece of stock.

    Drawings of the same project that are no longer in the plan are removed from DIR, so that nobody
    cuts from an old sheet. Only files that nester drew and nobody changed are removed.

    \b
    Example:
      nester draw plan.json -o drawings --paper letter
    """
    from nester.cli.drawing import draw_into, removed_line
    from nester.cli.output import check_folder
    from nester.cli.plan_file import load_plan

    check_folder(folder)
    plan = load_plan(plan_path)
    chosen = paper or ("letter" if plan.units.value == "in" else "a4")
    written, cleared = draw_into(plan, folder, chosen)
    if as_json:
        removed = [str(path) for path in cleared.removed]
        drawings = [str(path) for path in written]
        print_json({"plan": str(plan_path), "drawings": drawings, "removed": removed})
    elif not quiet:
        click.echo(f'{counted(len(written), "drawing")} in "{folder}"')
        if cleared.removed:
            click.echo(removed_line(cleared))

"""``nester stock show``: one board or sheet, drawn to scale, with its flaws and clear pieces."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from nester.cli.common import Refusal, json_option, print_json, quiet_option, rack_option
from nester.cli.stock.common import formatter_for, opened, units_option

if TYPE_CHECKING:
    from inventory.formatter import Formatter
    from inventory.parse import Units
    from inventory.stock import Stock


@click.command(short_help="Show one board or sheet with its flaws.")
@click.argument("name", metavar="ID")
@rack_option
@units_option
@json_option
@quiet_option
def show(name: str, rack: Path | None, units: "Units | None", as_json: bool, quiet: bool) -> None:
    """Show one board or sheet, drawn to scale with its flaws.

    Under the picture stand the flaws by letter, and the longest and the widest clear piece.

    Clear means without any flaw, before trims and margins. The longest is at least 2 in (50 mm)
    wide, the widest at least 12 in (300 mm) long.

    \b
    Example:
      nester stock show W-07
    """
    with opened(rack) as store:
        stock = store.get(name)
        stocks = store.all()
        place = store.path
    if stock is None:
        raise Refusal(_unknown(name, [other.id for other in stocks], place))
    formatter = formatter_for(stocks, units)
    if as_json:
        from nester.cli.stock.listing import entry

        clear = _clear_entries(stock, formatter)
        print_json({"rack": str(place), "stock": entry(stock), "clear": clear})
    elif not quiet:
        click.echo(_text(stock, formatter))


def _unknown(name: str, ids: list[str], place: Path) -> str:
    from inventory.issue import clipped
    from inventory.readers.values import nearest

    near = nearest(name, ids)
    hint = f'; did you mean "{near}"?' if near else ""
    return f'there is no piece "{clipped(name)}" on the rack "{place}"{hint}'


def _text(stock: "Stock", formatter: "Formatter") -> str:
    from shutil import get_terminal_size

    from inventory.issue import one_line
    from nester.cli.stock.facts import clear_lines, facts
    from nester.cli.stock.picture import LINES, PLAIN, key, picture

    width = min(get_terminal_size().columns, 120)
    pen = LINES if (sys.stdout.encoding or "").lower().startswith("utf") else PLAIN
    blocks = (
        facts(stock, formatter),
        picture(stock, formatter, width, pen),
        key(stock, formatter) or ["no flaws"],
        clear_lines(stock, formatter),
    )
    return "\n\n".join("\n".join(one_line(line) for line in block) for block in blocks)


def _clear_entries(stock: "Stock", formatter: "Formatter") -> list[dict[str, Any]]:
    """Return the clear pieces for ``--json``, in millimetres."""
    from nester.cli.stock.facts import clear_pieces
    from nester.plan.write import mm

    entries = []
    for word, face, clear in clear_pieces(stock, formatter):
        size = None
        if clear is not None:
            size = {key: mm(getattr(clear, key)) for key in ("x", "y", "length", "width")}
        entries.append({"which": word, "face": face.value, "piece": size})
    return entries

"""``nester stock list``: what is on the rack."""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from nester.cli.common import counted, json_option, print_json, quiet_option, rack_option
from nester.cli.stock.common import formatter_for, opened, sold_name, units_option

if TYPE_CHECKING:
    from inventory.formatter import Formatter
    from inventory.parse import Units
    from inventory.stock import Stock


@click.command("list", short_help="List what is on the rack.")
@rack_option
@units_option
@json_option
@quiet_option
def list_stock(rack: Path | None, units: "Units | None", as_json: bool, quiet: bool) -> None:
    """List the boards and sheets on the rack, with what they measure and are worth.

    Value is the price times the true measure. The yard's tally, by surface measure, stands beside
    the board feet; it rounds, and no plan uses it.

    \b
    Example:
      nester stock list --units mm
    """
    with opened(rack) as store:
        stocks = store.all()
        place = store.path
    if as_json:
        print_json({"rack": str(place), "stock": [entry(stock) for stock in stocks]})
    elif not quiet:
        click.echo(listing(stocks, formatter_for(stocks, units)))


def entry(stock: "Stock") -> dict[str, Any]:
    """Return a piece for ``--json``: its entry in a plan document, and what it is worth."""
    from inventory.measure import board_feet, square_metres, value_of
    from nester.plan.write import number, stock_entry

    return {
        **stock_entry(stock),
        "value": number(value_of(stock), 3),
        "board_feet": number(board_feet(stock), 3),
        "square_metres": number(square_metres(stock), 6),
    }


def listing(stocks: Sequence["Stock"], formatter: "Formatter") -> str:
    """Return the table of the rack, and its sums by material below."""
    from nester.table import table

    if not stocks:
        return "the rack is empty"
    head = (
        "id",
        "material",
        "length",
        "width",
        "thick",
        "sold as",
        "count",
        "flaws",
        "value",
        "where",
    )
    rows = [_row(stock, formatter) for stock in stocks]
    pieces = sum(stock.count for stock in stocks)
    return "\n".join(
        [
            f"lengths in {'inches' if formatter.units == 'in' else 'millimetres'}",
            "",
            table(head, rows, right=(2, 3, 4, 5, 6, 7, 8)),
            "",
            *_sums(stocks, formatter),
            f"{counted(pieces, 'piece')} in all",
        ]
    )


def _row(stock: "Stock", formatter: "Formatter") -> tuple[str, ...]:
    from inventory.formatter import money
    from inventory.measure import value_of
    from inventory.stock import Board

    width = formatter.length(stock.width)
    if isinstance(stock, Board) and stock.width_a != stock.width_b:
        width = f"{formatter.length(stock.width_a)} to {formatter.length(stock.width_b)}"
    return (
        stock.id,
        stock.material,
        formatter.near(stock.length),
        width,
        formatter.near(stock.thickness),
        sold_name(stock, formatter),
        str(stock.count),
        str(len(stock.flaws) or ""),
        money(value_of(stock) * stock.count),
        ", ".join(word for word in (stock.lot, stock.shelf) if word),
    )


def _sums(stocks: Sequence["Stock"], formatter: "Formatter") -> list[str]:
    """Return for each material its measure and value; for boards the yard's tally too."""
    from inventory.formatter import board_feet as in_board_feet
    from inventory.formatter import money
    from inventory.issue import clipped, one_line
    from inventory.measure import area, board_feet, value_of, yard_tally
    from inventory.stock import Board

    lines = []
    for kind in (True, False):
        names = dict.fromkeys(s.material for s in stocks if isinstance(s, Board) is kind)
        for name in names:
            group = [s for s in stocks if s.material == name and isinstance(s, Board) is kind]
            value = money(sum((value_of(s) * s.count for s in group), Fraction(0)))
            boards = [s for s in group if isinstance(s, Board)]
            if boards:
                true = sum((board_feet(s) * s.count for s in boards), Fraction(0))
                yard = in_board_feet(yard_tally(boards))
                much = f"{in_board_feet(true)} true ({yard} by the yard's tally)"
            else:
                much = formatter.area(sum((area(s) * s.count for s in group), Fraction(0)))
            lines.append(f"{clipped(one_line(name), 40)}: {much}, worth {value}")
    return lines

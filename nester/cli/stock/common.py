"""What the stock commands share: opening the rack, and the units to print in."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from nester.cli.common import Refusal, default_rack

if TYPE_CHECKING:
    from inventory.formatter import Formatter
    from inventory.parse import Units
    from inventory.rack import Rack
    from inventory.stock import Stock

Command = TypeVar("Command", bound=Callable[..., Any])


def units_option(command: Command) -> Command:
    """Add ``--units in|mm``."""
    return click.option(
        "--units",
        type=click.Choice(["in", "mm"]),
        help="Inches or millimetres; else those in which more of the stock is round.",
    )(command)


@contextmanager
def opened(path: Path | None, *, create: bool = False) -> Iterator["Rack"]:
    """Open the rack ``path``, else the one in the user's data folder.

    Raises
    ------
    Refusal
        For whatever goes wrong with the rack, in one line.
    """
    from inventory.rack import Rack, RackError

    try:
        with Rack.open(path if path is not None else default_rack(), create=create) as rack:
            yield rack
    except RackError as error:
        raise Refusal(str(error)) from error


def formatter_for(stocks: Sequence["Stock"], units: "Units | None") -> "Formatter":
    """Return the formatter for ``units``, else for the units most of the stock is round in."""
    from inventory.formatter import Formatter
    from inventory.writers.records import usual_units

    return Formatter.of(units or usual_units(list(stocks)))


def sold_name(stock: "Stock", formatter: "Formatter") -> str:
    """Return what a piece is sold as: 5/4 for a board, the name of a sheet."""
    from inventory.stock import Board
    from inventory.writers import records

    if isinstance(stock, Board):
        if records.is_named_in_quarters(stock.sold_as):
            return records.sold_name(stock.sold_as, formatter.units)
        return formatter.near(stock.sold_as)
    return formatter.near(stock.nominal)

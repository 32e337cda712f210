"""Where a command's stock and project come from."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from nester.cli.common import default_rack

if TYPE_CHECKING:
    from inventory.issue import Issue
    from inventory.stock import Stock


@dataclass(frozen=True, slots=True)
class StockSource:
    """The stock to plan from, where it came from, and the issues of its file."""

    name: str
    stock: "list[Stock]"
    issues: "list[Issue]"


def stock_from(stock_file: Path | None, rack: Path | None) -> StockSource | None:
    """Return the stock in a file, else on a rack; None where no rack was named and none is there.

    A rack that cannot be read is an issue like any other, so that it hides no fault of a project.
    """
    if stock_file is not None:
        from inventory.readers.stock import read_stock

        stock, issues = read_stock(stock_file)
        return StockSource(str(stock_file), stock, issues)
    if rack is None and not default_rack().exists():
        return None
    from inventory.issue import Issue
    from nester.cli.common import Refusal
    from nester.cli.stock.common import opened

    try:
        with opened(rack) as store:
            return StockSource(str(store.path), store.all(), [])
    except Refusal as refused:
        return StockSource(str(rack or default_rack()), [], [Issue("rack", str(refused))])

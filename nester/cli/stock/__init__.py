"""``nester stock``: the rack of boards and sheets, one command a file."""

import click

from nester.cli.stock.check import check
from nester.cli.stock.export import export
from nester.cli.stock.listing import list_stock
from nester.cli.stock.load import load
from nester.cli.stock.show import show


@click.group(short_help="Keep the rack of boards and sheets.")
def stock() -> None:
    """Keep the rack: the boards and sheets the shop owns.

    The rack is one file. It is the one named by --rack, else by NESTER_RACK, else the one in your
    data folder.
    """


for _command in (load, list_stock, show, export, check):
    stock.add_command(_command)

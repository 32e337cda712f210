"""The rack: the shop's stock in one SQLite file, as a ledger of dated entries.

``Rack.open(path)`` is the door; only the command line uses it.
"""

from inventory.rack.records import Entry, LoadReport, RackError
from inventory.rack.store import Rack

__all__ = ["Entry", "LoadReport", "Rack", "RackError"]

"""Reading what a person wrote: stock files, and the pieces that any reader of user files needs.

``text`` loads a file safely, ``toml`` finds the line of a key, ``tables`` reads CSV and XLSX,
``fields`` takes typed values out of a table or row and collects the issues. Nothing here raises for
a user's mistake.
"""

"""The commands. The only part of ``nester`` that opens a rack or writes to a terminal."""

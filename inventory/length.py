"""Exact lengths in one integer unit: 1/320 mm.

Both systems are exact in it: 1 mm is 320 units and 1/64 in is 127 units, so 23 3/8 in and 594 mm
are both whole numbers and nothing is lost when a file mixes them.
"""

from typing import TypeAlias

Length: TypeAlias = int
"""A length in units of 1/320 mm."""

MM: Length = 320
INCH: Length = 8128
FOOT: Length = 12 * INCH
LONGEST: Length = 30_000 * MM
"""Anything longer is taken for a slip of the pen."""

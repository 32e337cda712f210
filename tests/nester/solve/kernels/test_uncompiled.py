"""The kernels as plain Python: the same plans where nothing is compiled."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[4]

SCRIPT = """
from nester.plan import plan_json
from tests.nester.maker import Rounds, board, part, planned, sheet, shop
import hashlib, re

habits = shop(grid="1/2", tape="1/2", kerf={"crosscut": "1/2", "rip": "1/2", "sheet": "1/2"},
              offcut_min=[6, 1], sheet_offcut_min=[6, 2])
knot = {"kind": "knot", "x": "9", "y": "1", "length": "1", "width": "1"}
nail = {"kind": "metal", "x": "9", "y": "2", "length": "1/8", "width": "1/8"}
texts = [
    (board(length="30", flaws=[nail]), part(length="7", width="2", count=3)),
    (board(length="24", flaws=[knot]), part(length="8", width="2", count=3)),
    (board(length="24", width=["6", "5"]), part(length="8", width="2", count=3)),
    (sheet(length="16", width="10"), part(material="plywood", length="7", width="3", count=3)),
]
for stock, parts in texts:
    plan = planned(stock, parts, habits, Rounds(4))
    print(re.sub('"seconds": [0-9.e-]+', "", plan_json(plan)))
"""


def plans(**settings: str) -> str:
    """Return the plans made in a fresh process."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), **settings},
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_plans_do_not_depend_on_the_compiler() -> None:
    """With the compiler switched off the plans are the same, letter by letter."""
    compiled, plain = plans(), plans(NUMBA_DISABLE_JIT="1")
    assert compiled.count('"format"') == 4
    assert plain == compiled

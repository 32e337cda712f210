"""How much memory planning takes."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
MOST = 700  # MB

SCRIPT = """
import resource, sys
from pathlib import Path
from inventory.readers.stock import read_stock
from nester.plan import plan_json
from nester.planning import make_plan
from nester.readers.project import read_project
from nester.solve.stop import Seconds
from nester.verify import verify_text

folder = Path("examples/hall-cabinet")
project, _ = read_project(folder / "project.toml")
stock, _ = read_stock(folder / "stock.toml")
plan = make_plan(project, stock, stop=Seconds(6), made="2026-11-25T10:00:00Z")
assert not plan.missing and not verify_text(plan_json(plan))
most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(most / (1024 * 1024 if sys.platform == "darwin" else 1024))
"""


def test_the_shipped_example_stays_under_700_megabytes() -> None:
    """Planning the hall cabinet, compiled kernels, checker and all, peaks below the limit."""
    pytest.importorskip("resource", reason="this system does not tell how much memory was used")
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert done.returncode == 0, done.stderr
    assert 0 < float(done.stdout) < MOST
